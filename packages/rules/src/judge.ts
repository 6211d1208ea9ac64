import {
  type Brief,
  type Clip,
  type ClipJudgement,
  compare,
  type Facts,
  type Finding,
  multiply,
  one,
  type Plan,
  type Suppressed,
  toNumber,
  treatmentOf,
  typicalValue,
  type Unknown,
  type Use,
  valueOf,
  type Verdict,
  viewedAngle,
  worse,
} from "@goodgate/model";
import { type Asked, asker, notAsked, type Outcome } from "./ask.ts";
import { cardFigures, type CardFigures, type ClipPlace, placeClips } from "./figures.ts";
import type { AboutClip, ClipRates, PossibleUse } from "./rule.ts";
import { clipRules, useRules } from "./rule-list.ts";
import { blurStands, viewedBlur } from "./measured-shutter.ts";
import { sceneLight } from "./scene-light.ts";
import { settledFacts } from "./settle.ts";
import { clipRates, evenAsPlanned, possibleUses, slowMotionFrom } from "./uses.ts";
import { cadenceText, longestSentence, midSentence } from "./words.ts";

/** What the judging of one clip needs to know beside the clip and the brief. */
export interface JudgeContext {
  /** Milliseconds since 1970. */
  readonly now: number;
  /** What is known of the other clips; without it the clip is judged as if it were alone on the card. */
  readonly figures?: CardFigures;
  readonly place?: ClipPlace;
  /** The facts as settled before, when the caller has them. */
  readonly facts?: Facts;
}

/** Judges one clip against a brief, in every use the brief allows, and plans the best one. */
export function judgeClip(clip: Clip, brief: Brief, context: JudgeContext): ClipJudgement {
  const facts = context.facts ?? settledFacts(clip);
  const rates = clipRates(facts);
  const alone = [{ clip, facts, rates }];
  const place = context.place ?? placeClips(alone).get(clip.name) ?? { camera: "" };
  const figures = context.figures ?? cardFigures(alone, new Map([[clip.name, place]]), brief);
  const pictures = facts.lookedAt === undefined ? undefined : facts;
  const about = { clip, brief, now: context.now, rates, figures, place, pictures, wants: facts };
  const uses = allowedUses(clip.name, brief, facts, rates);
  const clipOutcomes = askOfClip(about);
  const judged = uses.map((use) => judgeUse(about, use, uses));
  const best = bestUse(judged);
  const rest = judged.filter((use) => use !== best);
  const allFail = best !== undefined && best.use.verdict === "reshoot";
  const findings: Finding[] = [];
  const unknowns: Unknown[] = [];
  const answered: string[] = [];
  for (const outcomes of [clipOutcomes, best?.outcomes ?? questionsWithoutUse(facts, brief)]) {
    for (const outcome of outcomes) {
      if (outcome.passed) answered.push(outcome.rule);
      if (outcome.findings.length > 0) findings.push(...outcome.findings);
      if (outcome.unknowns.length > 0) unknowns.push(...outcome.unknowns);
    }
  }
  for (const other of rest) {
    for (const outcome of other.outcomes) {
      const label = other.use.use;
      // A use that nobody plans asks for nothing; when no use is left, every finding keeps its weight.
      for (const finding of outcome.findings) {
        if (!findings.some((known) => known.rule === finding.rule && known.says === finding.says)) {
          findings.push(allFail ? finding : asNoteOf(label, finding));
        }
      }
      for (const unknown of outcome.unknowns) {
        if (!unknowns.some((known) => known.rule === unknown.rule)) unknowns.push({ ...unknown, decides: false });
      }
    }
  }
  const kept = withoutConsequences(findings, unknowns);
  const open = decidingRules(kept.unknowns);
  const restsOnOpen = (rule: string): boolean => rules.get(rule)?.causedBy?.some((cause) => open.has(cause)) === true;
  const passed = open.size === 0 ? answered : answered.filter((rule) => !restsOnOpen(rule));
  if (kept.findings.length === 0 && kept.unknowns.length === 0 && passed.length === 0) {
    kept.unknowns.push(nothingAsked);
  }
  const verdict = verdictOf(kept.findings, kept.unknowns);
  const ofClip =
    verdict === "clean"
      ? verdict
      : verdictOf(
          kept.findings.filter((finding) => finding.use === undefined),
          kept.unknowns.filter((unknown) => clipRuleIds.has(unknown.rule)),
        );
  const light = lightOf(facts, brief, best, rates);
  return {
    name: clip.name,
    verdict,
    plan: planOf(best, verdict, brief),
    // A use is no better than the clip as it lies on the card.
    uses: judged.map(({ use }) => ({ ...use, verdict: worse(use.verdict, ofClip) })),
    findings: kept.findings,
    unknowns: kept.unknowns,
    passed,
    suppressed: kept.suppressed,
    ...(rates === undefined ? {} : { captureRate: rates.capture }),
    ...(light === undefined ? {} : { light }),
  };
}

/** Light against the shutter wanted for the best use: that of the capture rate when slowed, else of the timeline. */
function lightOf(facts: Facts, brief: Brief, best: JudgedUse | undefined, rates: ClipRates | undefined) {
  if (rates === undefined || rates.capture.numerator <= 0n) return undefined;
  return sceneLight(facts, brief, best?.use.use === "real time" ? brief.timelineRate : rates.capture);
}

const nothingAsked: Unknown = {
  rule: "unreadable",
  missing: [],
  says: "Nothing could be judged of this clip.",
  supply: "a file that can be read",
  decides: true,
};

/** The uses a brief allows for a clip; none when its frame rate is not known. */
export function allowedUses(
  name: string,
  brief: Brief,
  facts: Facts,
  rates: ClipRates | undefined,
): readonly PossibleUse[] {
  return rates === undefined
    ? []
    : possibleUses(rates, brief.timelineRate, treatmentOf(brief, name), valueOf(facts.durationSeconds));
}

// Clips of a card share a handful of cadences.
const cadenceTexts = new WeakMap<object, string>();

function knownCadenceText(of: PossibleUse["cadence"]): string {
  let text = cadenceTexts.get(of);
  if (text === undefined) cadenceTexts.set(of, (text = cadenceText(of)));
  return text;
}

interface JudgedUse {
  readonly possible: PossibleUse;
  readonly use: Use;
  readonly outcomes: readonly Outcome[];
}

function judgeUse(about: Asked<"clip">, possible: PossibleUse, uses: readonly PossibleUse[]): JudgedUse {
  const { clip, brief, now, rates, figures, place, pictures, wants } = about;
  const aboutUse = { clip, brief, now, rates, figures, place, pictures, wants, use: possible, uses };
  const outcomes = askOfUse(aboutUse);
  let verdict: Verdict = "clean";
  for (const outcome of outcomes) {
    if (outcome.findings.length + outcome.unknowns.length > 0) {
      verdict = worse(verdict, verdictOf(outcome.findings, outcome.unknowns));
    }
  }
  const { timelineSeconds } = possible;
  return {
    possible,
    outcomes,
    use: {
      use: possible.use,
      sceneSpeed: possible.sceneSpeed,
      speed: possible.fileSpeed,
      cadence: knownCadenceText(possible.cadence),
      clean: evenAsPlanned(possible.cadence),
      ...angleOf(wants, about, possible),
      verdict,
      ...(timelineSeconds === undefined ? {} : { timelineSeconds }),
    },
  };
}

/** The angle of one use, taken from where the rule about it takes it. */
function angleOf(
  facts: Facts,
  { pictures }: AboutClip,
  { rates, cadence }: PossibleUse,
): Pick<Use, "angleDegrees" | "angleOrigin"> {
  const shutter = valueOf(facts.shutterSeconds);
  const blur = pictures === undefined ? undefined : valueOf(facts.measuredAngle);
  if (blur !== undefined && blurStands(blur, shutter, rates.capture)) {
    return { angleDegrees: viewedBlur(blur.degrees, cadence.step), angleOrigin: "measured" };
  }
  if (shutter === undefined) return {};
  return { angleDegrees: toNumber(viewedAngle(rates.capture, typicalValue(shutter, compare), cadence.step)) };
}

/**
 * The use with the best verdict. On a tie a clip captured below 1.5 times the timeline rate plays in real time; any
 * other is slowed when its shutter suits slow motion better, and plays in real time else.
 */
function bestUse(judged: readonly JudgedUse[]): JudgedUse | undefined {
  const [first, second] = judged;
  if (first === undefined || second === undefined) return first;
  const [a, b] = [first.use.verdict, second.use.verdict];
  if (a !== b) return worse(a, b) === a ? second : first;
  const { rates, timeline } = first.possible;
  if (compare(rates.capture, multiply(slowMotionFrom, timeline)) < 0) return first;
  return shutterGrade(second) < shutterGrade(first) ? second : first;
}

const gradeOrder = ["note", "workable", "reshoot"] as const;
const shutterGrade = (of: JudgedUse): number =>
  Math.max(
    -1,
    ...of.outcomes.flatMap((outcome) =>
      outcome.rule === "shutter-angle" ? outcome.findings.map((finding) => gradeOrder.indexOf(finding.grade)) : [],
    ),
  );

function planOf(best: JudgedUse | undefined, verdict: Verdict, brief: Brief): Plan {
  if (best === undefined) return { use: "none", speed: one, cadence: "not judged: the frame rate is not known" };
  const { use, speed, cadence } = best.use;
  if (verdict !== "reshoot") return { use, speed, cadence };
  const rate = brief.assumed["timelineRate"] === undefined ? "" : " on the timeline assumed";
  return { use: "none", speed, cadence: `no use is left${rate}; at this speed ${cadence}` };
}

/** With no use to judge, the questions about uses that lack a fact end as unknown all the same. */
const questionsWithoutUse = (facts: Facts, brief: Brief): readonly Outcome[] =>
  useRules
    .filter((rule) => rule.needs.some((need) => facts[need]?.state !== "read"))
    .map((rule) => notAsked(rule, facts, brief));

function asNoteOf(use: Use["use"], finding: Finding): Finding {
  if (finding.grade === "note") return finding;
  const says = `${use === "slow" ? "If slowed" : "In real time"}: ${midSentence(finding.says)}`;
  return { ...finding, grade: "note", says: says.length > longestSentence ? finding.says : says };
}

/** The verdict that findings and unknowns add up to. */
export function verdictOf(findings: readonly Finding[], unknowns: readonly Unknown[]): Verdict {
  let verdict: Verdict = "clean";
  for (const { grade } of findings) if (grade !== "note") verdict = worse(verdict, grade);
  for (const { decides } of unknowns) if (decides) verdict = worse(verdict, "unknown");
  return verdict;
}

const askOfClip = asker(clipRules);
const askOfUse = asker(useRules);
const rules = new Map([...clipRules, ...useRules].map((rule) => [rule.id, rule]));
const clipRuleIds = new Set(clipRules.map((rule) => rule.id));

const noRules: ReadonlySet<string> = new Set();

/** Rules whose open question makes the verdict unknown. */
function decidingRules(unknowns: readonly Unknown[]): ReadonlySet<string> {
  let deciding: Set<string> | undefined;
  for (const unknown of unknowns) if (unknown.decides) (deciding ??= new Set()).add(unknown.rule);
  return deciding ?? noRules;
}

/** Sets aside what only follows from something else, so that one fault is one verdict. */
function withoutConsequences(
  findings: readonly Finding[],
  unknowns: readonly Unknown[],
): { findings: Finding[]; unknowns: Unknown[]; suppressed: Suppressed[] } {
  const suppressed: Suppressed[] = [];
  const kept: Finding[] = [];
  const serious = new Set<string>();
  for (const finding of findings) if (finding.grade !== "note") serious.add(finding.rule);
  // What rests on a question that is open is no claim either.
  const open = decidingRules(unknowns);
  for (const finding of findings) {
    const by = rules.get(finding.rule)?.causedBy?.find((cause) => serious.has(cause) || open.has(cause));
    if (by === undefined) kept.push(finding);
    else suppressed.push({ rule: finding.rule, says: finding.says, by });
  }
  kept.sort((a, b) => gradeOrder.indexOf(b.grade) - gradeOrder.indexOf(a.grade));
  const lost = kept.find((finding) => finding.grade === "reshoot" && rules.get(finding.rule)?.root === true);
  const unread = unknowns.find((unknown) => rules.get(unknown.rule)?.root === true);
  const root = lost?.rule ?? unread?.rule;
  const deciding = unknowns.filter((unknown) => unknown.decides);
  const explaining = kept.filter((finding) => rules.get(finding.rule)?.explains !== undefined);
  const still: Unknown[] = [];
  for (const unknown of unknowns) {
    // An aside hangs on nothing but the clip's being read at all.
    if (unknown.aside === true && root === undefined) {
      still.push(unknown);
      continue;
    }
    const by =
      root !== undefined && unknown.rule !== root
        ? root
        : (rules
            .get(unknown.rule)
            ?.causedBy?.find((cause) => serious.has(cause) || unknowns.some((other) => other.rule === cause)) ??
          (unknown.decides || rules.get(unknown.rule)?.ownUnknown === true
            ? undefined
            : (causeOf(unknown, deciding) ??
              explaining.find((finding) => covers(rules.get(finding.rule)?.explains ?? [], unknown.missing))?.rule)));
    if (by === undefined) still.push(unknown);
    else suppressed.push({ rule: unknown.rule, says: unknown.says, by });
  }
  return { findings: kept, unknowns: still, suppressed };
}

/** A side question whose facts are all missing from deciding ones adds nothing: the first of those is its cause. */
function causeOf(unknown: Unknown, deciding: readonly Unknown[]): string | undefined {
  const known = deciding.flatMap((other) => other.missing);
  if (!covers(known, unknown.missing)) return undefined;
  return deciding.find((other) => other.missing.includes(unknown.missing[0] ?? ""))?.rule;
}

const covers = (all: readonly string[], some: readonly string[]): boolean =>
  some.length > 0 && some.every((name) => all.includes(name));
