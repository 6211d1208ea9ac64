import { cadencePicture } from "../../charts/cadence-picture.ts";
import { intervalPicture } from "../../charts/interval-picture.ts";
import { lightPicture } from "../../charts/light-picture.ts";
import { noisePicture } from "../../charts/noise-picture.ts";
import type { Picture } from "../../charts/picture.ts";
import { seenPicture } from "../../charts/seen-picture.ts";
import { shutterPicture } from "../../charts/shutter-picture.ts";
import { clockText, numberFrom, short } from "../../charts/values.ts";
import { bytesText } from "../../fact-values.ts";
import type { ClipReport, FactReport, FindingReport, Report } from "../../schema.ts";
import { useWord, worstFindings } from "./clip-row.ts";
import { count, factLabel, plainWords, speedText, splitPath } from "./words.ts";

/** One finding as the page prints it. */
export interface FindingLines {
  readonly grade: FindingReport["grade"];
  readonly says: string;
  readonly measured: string;
  readonly limit: string;
  readonly remedy: string;
  readonly onLocation: string | undefined;
  readonly inEdit: string;
  readonly rule: string;
  readonly use: string | undefined;
  readonly times: string | undefined;
  readonly assumed: string | undefined;
  readonly clips: readonly string[];
}

/** One fact as the page prints it. */
export interface FactLine {
  readonly label: string;
  readonly text: string;
  readonly state: FactReport["state"];
  readonly origin: string;
  readonly conflict: string | undefined;
}

/** Questions that one thing would answer. */
export interface OpenQuestions {
  readonly says: readonly string[];
  readonly supply: string;
  readonly decides: boolean;
}

/** The open questions of a clip by what would answer them; those that decide the verdict first. */
function openQuestions(clip: ClipReport): readonly OpenQuestions[] {
  const groups = new Map<string, { readonly says: string[]; readonly supply: string; readonly decides: boolean }>();
  for (const { says, supply, decides } of clip.unknown
    .filter((each) => each.aside !== true)
    .sort((a, b) => Number(b.decides) - Number(a.decides))) {
    const key = `${decides}|${supply}`;
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { says: [says], supply, decides });
    else group.says.push(says);
  }
  return [...groups.values()];
}

/** Everything the sheet of one clip prints. */
export interface ClipSheet {
  readonly number: number;
  readonly verdict: ClipReport["verdict"];
  readonly folder: string;
  readonly base: string;
  readonly plan: string;
  readonly planDetail: string;
  readonly uses: readonly {
    readonly use: string;
    readonly planned: boolean;
    readonly speed: string;
    readonly cadence: string;
    readonly angle: string;
    /** Whether the angle is from motion blur, not from a record. */
    readonly blur: boolean;
    readonly fills: string;
    readonly verdict: ClipReport["verdict"];
  }[];
  readonly pictures: readonly Picture[];
  readonly findings: readonly FindingLines[];
  /** The flying caution, beside findings with something to do on location, which may mean another flight. */
  readonly caution: string | undefined;
  readonly unknown: readonly OpenQuestions[];
  readonly passed: string;
  readonly suppressed: string;
  /** Facts read or damaged. */
  readonly facts: readonly FactLine[];
  /** Facts that are not there, with the reason. */
  readonly absent: readonly FactLine[];
  readonly files: readonly { readonly path: string; readonly role: string; readonly bytes: string }[];
  readonly joints: readonly string[];
  readonly read: string;
}

/** Times of one finding printed; the rest are counted. */
const mostTimes = 12;

/** The lines of a finding; `assumed` names the items of the brief nobody stated. */
export function findingLines(finding: FindingReport): FindingLines {
  const times = finding.atSeconds ?? [];
  const more = times.length > mostTimes ? ` and ${count(times.length - mostTimes, "more place")}` : "";
  return {
    grade: finding.grade,
    says: finding.says,
    measured: finding.measured.text,
    limit: `${finding.limit.text} (${finding.limit.origin === "default" ? "default, assumed" : finding.limit.origin})`,
    remedy: finding.remedy,
    onLocation: finding.onLocation,
    inEdit: finding.inEdit ?? "no remedy in the edit",
    rule: finding.case === undefined ? finding.rule : `${finding.rule}, ${finding.case}`,
    use: finding.use,
    times: times.length === 0 ? undefined : `${times.slice(0, mostTimes).map(clockText).join(", ")}${more}`,
    assumed:
      finding.assumed === undefined || finding.assumed.length === 0
        ? undefined
        : finding.assumed.map(factLabel).join(", "),
    clips: [...(finding.clips ?? []), ...(finding.stills ?? [])],
  };
}

/** The line of a fact: text, where it was read, and who disagrees. */
export function factLine(name: string, fact: FactReport): FactLine {
  const disagreeing = (fact.witnesses ?? []).filter(({ agrees }) => !agrees);
  const others = [
    ...disagreeing.map((witness) => `${witness.value} (${originText(witness.origin)})`),
    ...(fact.broken ?? []).map(({ why, origin }) => `damaged: ${why} (${originText(origin)})`),
  ];
  const agreeing = (fact.witnesses ?? []).length - disagreeing.length;
  const origin = fact.origin === undefined ? "" : originText(fact.origin);
  const unit = fact.unit === undefined ? "" : ` ${fact.unit}`;
  return {
    label: factLabel(name),
    state: fact.state,
    text: fact.state === "read" ? (fact.text ?? `${plainWords(fact.value)}${unit}`) : (fact.why ?? "no reason given"),
    origin:
      agreeing === 0 ? origin : `${origin}; ${count(agreeing, "more source")} ${agreeing === 1 ? "agrees" : "agree"}`,
    conflict: others.length === 0 ? undefined : others.join("; "),
  };
}

/** `container: moov/mvhd`; the reader when it is not goodgate, the file's own name when it is beside the clip. */
function originText(origin: NonNullable<FactReport["origin"]>): string {
  const reader = origin.reader === undefined || origin.reader === "goodgate" ? "" : `, ${origin.reader}`;
  const beside =
    origin.file === undefined || origin.kind === "container" || origin.kind === "file system"
      ? ""
      : ` in ${splitPath(origin.file).base}`;
  return `${origin.kind}: ${origin.place}${beside}${reader}`;
}

/** What the sheet of a clip prints; without `pictures` it has none. */
export function clipSheet(clip: ClipReport, number: number, report: Report, pictures: boolean): ClipSheet {
  const { folder, base } = splitPath(clip.name);
  const { plan } = clip;
  const fills = numberFrom(plan.timelineSeconds);
  const facts = Object.entries(clip.facts).map(([name, fact]) => factLine(name, fact));
  const scene = clip.uses.find((use) => use.use === plan.use)?.sceneSpeed;
  const even = clip.uses.some((use) => use.use === plan.use && use.clean);
  const planned =
    plan.use === "none"
      ? "No clean use"
      : `${plan.use === "slow" ? "Slow" : "Real time"} at ${speedText(plan.percent, plan.speed)}${
          scene === undefined || scene === plan.speed ? "" : ` (${percentOf(scene)} of real life)`
        }`;
  return {
    number,
    verdict: clip.verdict,
    folder,
    base,
    plan: planned,
    planDetail: `${plan.cadence}${even && !/even|for one/.test(plan.cadence) ? ", even" : ""}${
      fills === undefined ? "" : `; fills ${clockText(fills)} of timeline`
    }`,
    uses: clip.uses.map((use) => ({
      use: useWord(use.use),
      planned: use.use === plan.use,
      speed: speedText(percentOf(use.speed), use.speed),
      cadence: use.cadence,
      angle: use.angleDegrees === undefined ? "\u2013" : short(use.angleDegrees, 0),
      blur: use.angleOrigin === "measured",
      fills: use.timelineSeconds === undefined ? "\u2013" : clockText(numberFrom(use.timelineSeconds) ?? 0),
      verdict: use.verdict,
    })),
    pictures: pictures ? clipPictures(clip, report) : [],
    findings: worstFindings(clip).map(findingLines),
    caution: clip.findings.some(({ grade, onLocation }) => grade !== "note" && onLocation !== undefined)
      ? report.nextFlight?.caution
      : undefined,
    unknown: openQuestions(clip),
    passed: clip.passed.join(", "),
    suppressed: (clip.suppressed ?? []).join(", "),
    facts: facts.filter(({ state }) => state !== "absent"),
    absent: facts.filter(({ state }) => state === "absent"),
    files: clip.parts.map((part) => ({ path: part.path, role: part.role, bytes: bytesText(part.bytes) })),
    joints: (clip.joints ?? []).map(
      ({ afterPart, gapFrames, evidence }) =>
        `After part ${afterPart + 1}: ${
          gapFrames === undefined
            ? "gap not known"
            : gapFrames === 0
              ? "no frame missing"
              : count(
                  Math.abs(gapFrames),
                  gapFrames > 0 ? "frame missing" : "frame doubled",
                  gapFrames > 0 ? "frames missing" : "frames doubled",
                )
        }, joined by ${evidence.join(", ")}`,
    ),
    read: `Read by ${clip.readers.join(", ") || "no reader"}, ${bytesText(clip.bytesRead)} of the file.`,
  };
}

const percentOf = (speed: string): string => `${Number(((numberFrom(speed) ?? 0) * 100).toPrecision(4))} %`;

/** The pictures a clip's facts allow, in reading order. */
export const clipPictures = (clip: ClipReport, report: Report): readonly Picture[] =>
  [
    cadencePicture(clip, report.brief),
    shutterPicture(clip, report.brief),
    lightPicture(clip, report.brief),
    seenPicture(clip),
    noisePicture(clip, report.brief),
    intervalPicture(clip),
  ].filter((picture) => picture !== undefined);
