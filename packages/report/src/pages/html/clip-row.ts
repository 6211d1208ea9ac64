import { captureLabel } from "../../charts/rates-picture.ts";
import { startOf } from "../../charts/day-picture.ts";
import { clockText, factNumber, numberFrom, readFact, short } from "../../charts/values.ts";
import type { ClipReport } from "../../schema.ts";
import { splitPath } from "./words.ts";

/** One line of the table of clips, every cell as text. */
export interface ClipRow {
  /** Place in the report, from 0. */
  readonly number: number;
  readonly verdict: ClipReport["verdict"];
  readonly folder: string;
  readonly base: string;
  readonly start: string;
  readonly length: string;
  readonly rate: string;
  readonly use: string;
  readonly percent: string;
  readonly angle: string;
  /** Whether the angle is from motion blur, not from a record. */
  readonly blur: boolean;
  readonly iso: string;
  readonly raster: string;
  /** What stands out: the worst finding that is no note, else what was not judged, else how it plays. */
  readonly headline: string;
  /** How many more findings and open questions there are. */
  readonly more: number;
}

/** What the table sorts and filters by; a missing number sorts last. */
export interface ClipKeys {
  readonly verdict: number;
  readonly start: number | null;
  readonly length: number | null;
  readonly rate: number | null;
  readonly rateLabel: string;
  readonly use: ClipReport["plan"]["use"];
  readonly speed: number | null;
  readonly angle: number | null;
  readonly iso: number | null;
  /** Ids of rules that found something, for the search. */
  readonly rules: string;
}

const nothing = "\u2013";
/** Verdicts from worst to best, the order the table starts in when sorted by verdict. */
export const worstFirst: readonly ClipReport["verdict"][] = ["reshoot", "unknown", "workable", "clean"];
const gradeOrder = ["reshoot", "workable", "note"];

/** What a use is called on the page. */
export const useWord = (use: ClipReport["plan"]["use"]): string => (use === "none" ? "no clean use" : use);

/** Findings from worst to least. */
export const worstFindings = (clip: ClipReport): ClipReport["findings"] =>
  [...clip.findings].sort((a, b) => gradeOrder.indexOf(a.grade) - gradeOrder.indexOf(b.grade));

/** The shutter angle as the viewer sees it in the planned use, in degrees. */
export const plannedAngle = (clip: ClipReport): number | undefined => plannedUse(clip)?.angleDegrees;

const plannedUse = (clip: ClipReport): ClipReport["uses"][number] | undefined =>
  clip.uses.find(({ use }) => use === clip.plan.use) ?? clip.uses[0];

/** The line of one clip. */
export function clipRow(clip: ClipReport, number: number): ClipRow {
  const { folder, base } = splitPath(clip.name);
  const seconds = factNumber(clip, "durationSeconds");
  const angle = plannedAngle(clip);
  const width = factNumber(clip, "width");
  const height = factNumber(clip, "height");
  const depth = factNumber(clip, "bitDepth");
  const raster = width === undefined || height === undefined ? nothing : `${short(width)}×${short(height)}`;
  const findings = worstFindings(clip);
  const told = findings.filter(({ grade }) => grade !== "note");
  const headline = told[0]?.says ?? clip.unknown.find(({ decides }) => decides)?.says;
  return {
    number,
    verdict: clip.verdict,
    folder,
    base,
    start: startText(clip),
    length: seconds === undefined ? nothing : clockText(seconds),
    rate: captureLabel(clip),
    use: useWord(clip.plan.use),
    percent: clip.plan.use === "none" ? nothing : clip.plan.percent.replace("%", "").trim(),
    angle: angle === undefined ? nothing : short(angle, 0),
    blur: plannedUse(clip)?.angleOrigin === "measured",
    iso: isoText(clip),
    raster: depth === undefined ? raster : `${raster} ${short(depth)} bit`,
    headline: headline ?? clip.plan.cadence,
    more: findings.length + clip.unknown.length - (headline === undefined ? 0 : 1),
  };
}

/** The keys of one clip. */
export function clipKeys(clip: ClipReport): ClipKeys {
  const label = captureLabel(clip);
  return {
    verdict: worstFirst.indexOf(clip.verdict),
    start: startOf(clip)?.milliseconds ?? null,
    length: rounded(factNumber(clip, "durationSeconds")),
    rate: rounded(factNumber(clip, "captureRate") ?? factNumber(clip, "frameRate")),
    rateLabel: label,
    use: clip.plan.use,
    speed: clip.plan.use === "none" ? null : rounded(numberFrom(clip.plan.speed)),
    angle: rounded(plannedAngle(clip)),
    iso: rounded(factNumber(clip, "iso")),
    rules: [...new Set(clip.findings.map(({ rule }) => rule))].join(" "),
  };
}

const rounded = (value: number | undefined): number | null => (value === undefined ? null : Number(value.toFixed(4)));

/** Month, day and time of the start as written in the clip; without the year, which the card line has. */
function startText(clip: ClipReport): string {
  const start = startOf(clip);
  return start === undefined ? nothing : `${start.day.slice(5)} ${start.time.slice(0, 5)}`;
}

function isoText(clip: ClipReport): string {
  const fact = readFact(clip, "iso");
  const least = numberFrom(fact?.series?.least);
  const most = numberFrom(fact?.series?.most);
  const typical = factNumber(clip, "iso");
  if (typical === undefined) return nothing;
  return least === undefined || most === undefined || least === most
    ? short(typical)
    : `${short(least)}–${short(most)}`;
}
