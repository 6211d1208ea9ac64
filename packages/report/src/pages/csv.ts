import { stringify } from "csv-stringify/sync";
import { visible } from "../visible.ts";
import type { ClipReport, FactReport, Report } from "../schema.ts";

type Cell = string | number | undefined;
interface Column {
  readonly name: string;
  readonly cell: (clip: ClipReport) => Cell;
}

/** Characters of one cell: spreadsheets stop at 32,767, a reader much earlier. */
const longestCell = 2000;

const fact = (clip: ClipReport, name: string): FactReport | undefined => {
  const found = clip.facts[name];
  return found?.state === "read" ? found : undefined;
};
const text = (clip: ClipReport, name: string): Cell => {
  const value = fact(clip, name)?.value;
  return typeof value === "string" ? value : undefined;
};
const amount = (clip: ClipReport, name: string): Cell => {
  const found = fact(clip, name);
  return found?.decimal ?? (typeof found?.value === "number" ? found.value : undefined);
};
/** A ratio with its unit: alone, a spreadsheet takes 1/50 or 25/1 for a date. */
const exact = (clip: ClipReport, name: string, unit: string): Cell => {
  const value = fact(clip, name)?.value;
  return typeof value === "string" ? `${value} ${unit}` : undefined;
};
/** A number out of a fact that holds several, as what the pictures say does. */
const part = (clip: ClipReport, name: string, key: string): number | undefined => {
  const value = fact(clip, name)?.value;
  const found = typeof value === "object" && value !== null ? Reflect.get(value, key) : undefined;
  return typeof found === "number" ? found : undefined;
};
const edge = (clip: ClipReport, name: string, which: "least" | "most"): Cell => {
  const value = fact(clip, name)?.series?.[which];
  return typeof value === "number" ? value : typeof value === "string" ? decimal(value) : undefined;
};

/** `1/50` as 0.02; undefined for what is no ratio. */
function decimal(ratio: string): number | undefined {
  const [above, below] = ratio.split("/").map(Number);
  return above === undefined || below === undefined || !(below > 0) ? undefined : above / below;
}

/** A number without the noise of floating point. */
const rounded = (value: number | undefined): number | undefined =>
  value === undefined || !Number.isFinite(value) ? undefined : Number(value.toPrecision(9));

const planned = (clip: ClipReport): ClipReport["uses"][number] | undefined =>
  clip.uses.find((use) => use.use === clip.plan.use);
const angleSource = (clip: ClipReport): Cell => {
  const use = planned(clip);
  if (use?.angleDegrees === undefined) return undefined;
  return use.angleOrigin === "measured" ? "motion blur" : "record";
};
const counted = (clip: ClipReport, grade: string): number =>
  clip.findings.filter((finding) => finding.grade === grade).length;
const seconds = (ratio: string | undefined): Cell => (ratio === undefined ? undefined : decimal(ratio));

/** The columns, in order; units stand in the names. */
const columns: readonly Column[] = [
  { name: "clip", cell: (clip) => clip.name },
  { name: "verdict", cell: (clip) => clip.verdict },
  { name: "use", cell: (clip) => clip.plan.use },
  { name: "speed (%)", cell: (clip) => (decimal(clip.plan.speed) ?? Number.NaN) * 100 },
  { name: "speed (exact)", cell: (clip) => `${clip.plan.speed} of full speed` },
  { name: "cadence", cell: (clip) => clip.plan.cadence },
  { name: "length on the timeline (s)", cell: (clip) => seconds(clip.plan.timelineSeconds) },
  { name: "frame rate (fps)", cell: (clip) => amount(clip, "frameRate") },
  { name: "frame rate (exact)", cell: (clip) => exact(clip, "frameRate", "fps") },
  { name: "capture rate (fps)", cell: (clip) => amount(clip, "captureRate") },
  { name: "frames", cell: (clip) => amount(clip, "frames") },
  { name: "duration (s)", cell: (clip) => amount(clip, "durationSeconds") },
  { name: "width (pixels)", cell: (clip) => amount(clip, "width") },
  { name: "height (pixels)", cell: (clip) => amount(clip, "height") },
  { name: "rotation (degrees)", cell: (clip) => amount(clip, "rotationDegrees") },
  { name: "codec", cell: (clip) => text(clip, "codec") },
  { name: "bit depth (bits)", cell: (clip) => amount(clip, "bitDepth") },
  { name: "primaries", cell: (clip) => text(clip, "primaries") },
  { name: "transfer", cell: (clip) => text(clip, "transfer") },
  { name: "sound", cell: (clip) => fact(clip, "sound")?.text },
  { name: "timecode", cell: (clip) => text(clip, "timecode") },
  { name: "recorded at", cell: (clip) => fact(clip, "createdAt")?.text },
  { name: "shutter typical (s)", cell: (clip) => amount(clip, "shutterSeconds") },
  { name: "shutter shortest (s)", cell: (clip) => edge(clip, "shutterSeconds", "least") },
  { name: "shutter longest (s)", cell: (clip) => edge(clip, "shutterSeconds", "most") },
  { name: "shutter", cell: (clip) => fact(clip, "shutterSeconds")?.text },
  { name: "shutter angle as seen (degrees)", cell: (clip) => planned(clip)?.angleDegrees },
  { name: "shutter angle taken from", cell: angleSource },
  { name: "ISO typical", cell: (clip) => amount(clip, "iso") },
  { name: "ISO lowest", cell: (clip) => edge(clip, "iso", "least") },
  { name: "ISO highest", cell: (clip) => edge(clip, "iso", "most") },
  { name: "aperture (f-number)", cell: (clip) => amount(clip, "fNumber") },
  { name: "pictures looked at (s)", cell: (clip) => part(clip, "lookedAt", "seconds") },
  { name: "shutter angle from blur (degrees)", cell: (clip) => part(clip, "measuredAngle", "degrees") },
  { name: "noise in the picture (% of the range)", cell: (clip) => part(clip, "noise", "sigmaPercent") },
  { name: "clipped (share of the picture)", cell: (clip) => part(clip, "pictureLevels", "clippedShare") },
  { name: "fastest motion (picture widths/s)", cell: (clip) => part(clip, "motion", "peakWidthsPerSecond") },
  { name: "shake (% of the width)", cell: (clip) => part(clip, "motion", "vibrationPercent") },
  { name: "findings: reshoot", cell: (clip) => counted(clip, "reshoot") },
  { name: "findings: workable", cell: (clip) => counted(clip, "workable") },
  { name: "findings: note", cell: (clip) => counted(clip, "note") },
  { name: "most urgent finding", cell: (clip) => clip.findings[0]?.says },
  { name: "remedy", cell: (clip) => clip.findings[0]?.remedy },
  { name: "not judged", cell: (clip) => clip.unknown.map((entry) => entry.says).join(" ") },
  { name: "files", cell: (clip) => clip.files.join("; ") },
  { name: "size (bytes)", cell: (clip) => clip.parts.reduce((sum, part) => sum + part.bytes, 0) },
];

/**
 * One row a clip as RFC 4180 text with a byte order mark, so that a spreadsheet opens it as UTF-8. Numbers are numbers;
 * text that a spreadsheet would compute is led by an apostrophe; controls and direction marks are made visible, so
 * that every clip is one line. Empty cells are facts that were not read.
 */
export function renderCsv(report: Report): string {
  const rows = report.clips.map((clip) => columns.map((column) => shown(column.cell(clip))));
  return stringify([columns.map((column) => column.name), ...rows], {
    bom: true,
    escape_formulas: true,
    record_delimiter: "windows",
  });
}

function shown(cell: Cell): string | number | undefined {
  if (typeof cell === "number") return rounded(cell);
  if (cell === undefined) return undefined;
  const line = visible(cell.length > longestCell ? `${cell.slice(0, longestCell)}…` : cell);
  // A formula may hide behind spaces in some spreadsheets; csv-stringify looks at the first character only.
  return /^\s+[=+\-@]/.test(line) ? line.trimStart() : line;
}
