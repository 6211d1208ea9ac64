import { type FactName, parseRatio, rateLabel, shutterLabel } from "@goodgate/model";
import { shortNames } from "../grouped-findings.ts";
import { fitted, fittedEnd, padded, width } from "../printed-text.ts";
import type { ClipReport, FactReport, Report } from "../schema.ts";
import { secondsText } from "../fact-values.ts";
import type { Paint } from "./terminal-colour.ts";

interface Column {
  readonly title: string;
  readonly cell: (clip: ClipReport) => string;
  /** Columns the widest cell may take. */
  readonly most: number;
  /** The higher, the earlier it is left out on a narrow terminal. */
  readonly spare: number;
}

const marked = (fact: FactReport | undefined, text: (fact: FactReport) => string): string =>
  fact?.state === "read" ? text(fact) : fact?.state === "damaged" ? "!" : "?";

function shutter(fact: FactReport): string {
  const time = typeof fact.value === "string" ? parseRatio(fact.value) : undefined;
  return time === undefined || time.numerator <= 0n ? "?" : shutterLabel(time);
}

function rate(fact: FactReport): string {
  const value = typeof fact.value === "string" ? parseRatio(fact.value) : undefined;
  return value === undefined ? "?" : rateLabel(value);
}

function iso({ series, value }: FactReport): string {
  if (series === undefined || series.least === series.most) return String(value);
  return `${series.least}-${series.most}`;
}

function plan({ plan: { use, percent } }: ClipReport): string {
  if (use === "none") return "no use";
  return percent === "100 %" ? use : `${use} ${percent}`;
}

/** Behind an angle that no record gives. */
const blurMark = " blur";

function angle({ uses, plan: { use } }: ClipReport): string {
  const found = uses.find((each) => each.use === use);
  if (found?.angleDegrees === undefined) return "?";
  return `${Math.round(found.angleDegrees)}${found.angleOrigin === "measured" ? blurMark : ""}`;
}

const columns: readonly Column[] = [
  { title: "verdict", cell: (clip) => clip.verdict.toUpperCase(), most: 8, spare: 0 },
  { title: "use", cell: plan, most: 14, spare: 1 },
  { title: "fps", cell: (clip) => marked(clip.facts["frameRate"], rate), most: 7, spare: 2 },
  { title: "shutter", cell: (clip) => marked(clip.facts["shutterSeconds"], shutter), most: 8, spare: 3 },
  { title: "degrees", cell: angle, most: 8, spare: 4 },
  { title: "ISO", cell: (clip) => marked(clip.facts["iso"], iso), most: 11, spare: 5 },
  {
    title: "length",
    cell: (clip) => marked(clip.facts["durationSeconds"], (fact) => secondsText(fact.decimal ?? 0)),
    most: 14,
    spare: 6,
  },
];

/** Facts this page prints or goes by; a report for nothing but this page needs no others. */
export const tableFacts = [
  "frameRate",
  "shutterSeconds",
  "iso",
  "durationSeconds",
  "createdAt",
  "lookedAt",
] as const satisfies readonly FactName[];

const gap = "  ";
/** Narrowest column for names that still tells one clip from the next. */
const leastName = 14;
/** Paths longer than this are cut at the front. */
const mostName = 48;
/** From this width on the most urgent finding stands in the clip's own line. */
const wideColumns = 132;

/** What stands beside or under a clip: its worst finding, or what its verdict hangs on. */
function urgent(clip: ClipReport): string {
  const finding = clip.findings.find((each) => each.grade !== "note");
  const unknown = clip.unknown.find((entry) => entry.decides);
  if (clip.verdict === "unknown" && unknown !== undefined) return unknown.says;
  return finding?.says ?? "";
}

/** The table of clips: one line a clip, the most urgent finding beside it or, below 132 columns, under it. */
export function clipTable(report: Report, across: number, paint: Paint): readonly string[] {
  if (report.clips.length === 0) return [];
  const short = shortNames(report);
  const rows = Array.from(report.clips, (clip) => ({
    verdict: clip.verdict,
    says: urgent(clip),
    name: short(clip.name),
    cells: new Map(columns.map((column) => [column, column.cell(clip)])),
  }));
  const widths = new Map(
    columns.map((column) => [
      column,
      Math.min(
        column.most,
        rows.reduce((most, row) => Math.max(most, width(row.cells.get(column) ?? "")), width(column.title)),
      ),
    ]),
  );
  let shown = [...columns];
  const taken = (): number => shown.reduce((sum, column) => sum + gap.length + (widths.get(column) ?? 0), 0);
  while (shown.length > 1 && across - taken() < leastName) {
    const spare = Math.max(...shown.map((column) => column.spare));
    shown = shown.filter((column) => column.spare !== spare);
  }
  const widest = rows.reduce((most, row) => Math.max(most, width(fittedEnd(row.name, mostName))), 4);
  const name = Math.max(1, Math.min(mostName, widest, across - taken()));
  const used = name + taken();
  const wide = across >= wideColumns;
  const line = (first: string, cells: readonly string[], says: string): string =>
    [padded(fittedEnd(first, name), name), ...cells, ...(wide ? [fitted(says, across - used - gap.length)] : [])]
      .join(gap)
      .trimEnd();
  const cell = (column: Column, text: string): string => {
    const most = widths.get(column) ?? 0;
    return padded(fitted(text, most), most);
  };
  const titles = shown.map((column) => cell(column, column.title));
  const lines = [paint.dim(line("clip", titles, "most urgent"))];
  for (const row of rows) {
    const cells = shown.map((column) => cell(column, row.cells.get(column) ?? ""));
    lines.push(paint.verdict(row.verdict, line(row.name, cells, row.says)));
    // A finding stands below its clip where it has no column.
    if (!wide && row.says !== "") lines.push(`    ${fitted(row.says, across - 4)}`);
  }
  const cells = rows.flatMap((row) => shown.map((column) => row.cells.get(column)));
  const marks = [
    ...(cells.includes("?") ? ["? not known"] : []),
    ...(cells.includes("!") ? ["! damaged"] : []),
    ...(cells.some((cell) => cell?.endsWith(blurMark)) ? ["blur: measured from motion blur"] : []),
  ];
  return marks.length === 0 ? lines : [...lines, paint.dim(marks.join(", "))];
}
