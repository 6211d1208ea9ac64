import { assumedDefaults, assumedItems, briefText } from "../brief-text.ts";
import { bytesText, counted, secondsText, shortNumber } from "../fact-values.ts";
import { type FindingGroup, groupFindings, groupSays, groupUnknowns, shortNames, whose } from "../grouped-findings.ts";
import { lookedLine } from "../looked-line.ts";
import { sentences, wrapped } from "../printed-text.ts";
import type { Report } from "../schema.ts";
import { clipTable } from "./table-clips.ts";

export { tableFacts } from "./table-clips.ts";
import { paint, type Paint } from "./terminal-colour.ts";

/** How the page is printed. */
export interface TableOptions {
  /** Columns of the terminal; no line is longer, from 60 up. */
  readonly columns: number;
  /** Whether to use colour; every line reads the same without. */
  readonly colour: boolean;
  /** Whether notes and what decides nothing are listed rather than counted. */
  readonly notes?: boolean;
  /** Files that were written, as the person named the folder. */
  readonly written?: readonly string[];
}

/** Narrower terminals get lines of this length, wider ones are not filled past the other: no eye follows. */
const leastColumns = 60;
const mostColumns = 240;
/** Lines within which the page must have answered: what stands on a small terminal without scrolling. */
const answerLines = 12;
/** Width of the word a line of the answer starts with. */
const label = 9;

/** The page for a terminal: the answer first, then the clips, the findings by cause, what is not known, the counts. */
export function renderTable(report: Report, options: TableOptions): string {
  const across = Math.max(leastColumns, Math.min(mostColumns, Math.floor(options.columns) || leastColumns));
  const ink = paint(options.colour);
  const notes = options.notes === true;
  const blocks = [
    answer(report, across, ink),
    clipTable(report, across, ink),
    findings(report, across, ink, notes),
    unknowns(report, across, ink, notes),
    nextFlight(report, across, notes),
    summary(report, across, options.written ?? []),
  ];
  const lines = blocks
    .filter((block) => block.length > 0)
    .flatMap((block, place) => (place === 0 ? block : ["", ...block]));
  return `${lines.join("\n")}\n`;
}

const spoken = (word: string): string => word.padEnd(label);

/** A line of the answer: a word, then text wrapped beside it in at most `most` lines. */
const labelled = (word: string, text: string, across: number, most: number): string[] =>
  wrapped(text, across - label, 0, most).map((line, place) => spoken(place === 0 ? word : "") + line);

/** What has to be known before anything else, in at most twelve lines. */
function answer(report: Report, across: number, ink: Paint): readonly string[] {
  const { counts } = report;
  const short = shortNames(report);
  const says = wrapped(report.answer.says, across, 0, 2);
  const tally =
    `${counted(counts.clips, "clip")}: RESHOOT ${counts.reshoot}, UNKNOWN ${counts.unknown}, WORKABLE ${counts.workable}, ` +
    `CLEAN ${counts.clean}. Not copied: keep the card.`;
  const assumed = assumedItems(report);
  const brief = `${briefText(report)}${assumed.length === 0 ? "" : `; assumed: ${assumed.join(", ")}`}`;
  const opening = [...says.map(ink.bold), ...wrapped(tally, across, 2, 2), ...labelled("BRIEF", brief, across, 1)];

  const again = groupFindings(report, "reshoot").filter((group) => group.clips.length > 0);
  const flight = report.nextFlight;
  const asks = counts.reshoot > 0 || counts.unknown > 0;
  const caution = again.length > 0 && flight !== undefined ? wrapped(flight.caution, across, 2, 3) : [];
  const rows = asks ? nextRows(flight?.rows ?? []) : [];
  const next = rows.flatMap((row) => labelled("NEXT", row.says, across, 1));
  const missing = groupUnknowns(report).filter((group) => group.decides);
  const unknown = missing
    .slice(0, 1)
    .flatMap((group) =>
      labelled("UNKNOWN", `${whose(group.clips, short)}: ${sentences(group.says, group.supply)}`, across, 1),
    )
    .map((line) => ink.verdict("unknown", line));
  const room = Math.max(1, answerLines - opening.length - caution.length - next.length - unknown.length);
  const lines = again.map((group) => ({ says: againSays(group, short), names: group.clips.map(short) }));
  const reshoot = againLines(lines, across, room);
  return [...opening, ...reshoot.map((line) => ink.verdict("reshoot", line)), ...caution, ...next, ...unknown];
}

type Row = NonNullable<Report["nextFlight"]>["rows"][number];

/**
 * Two settings to fly with: the first the light allows, which is the timeline's own rate, and the first that serves slow
 * motion as well as real time. What the light does not allow stands in only when there is nothing else.
 */
function nextRows(rows: readonly Row[]): readonly Row[] {
  const possible = rows.filter((row) => row.possible);
  const [first, ...others] = possible.length > 0 ? possible : rows;
  const second = others.find((row) => row.uses.length > 1) ?? others[0];
  return [first, second].filter((row) => row !== undefined);
}

/** Reshoot lines in `room` lines: two lines each while there is room, then one each, then the rest by name. */
function againLines(
  groups: readonly { readonly says: string; readonly names: readonly string[] }[],
  across: number,
  room: number,
): readonly string[] {
  const word = "RESHOOT";
  const whole = groups.flatMap(({ says }) => labelled(word, says, across, 2));
  if (whole.length <= room) return whole;
  if (groups.length <= room) return groups.flatMap(({ says }) => labelled(word, says, across, 1));
  const kept = groups.slice(0, room - 1);
  const names = [...new Set(groups.slice(kept.length).flatMap((group) => group.names))];
  const rest = `${counted(groups.length - kept.length, "cause")}${kept.length > 0 ? " more" : ""}, listed below: ${names.join(", ")}`;
  return [...kept.map(({ says }) => says), rest].flatMap((text) => labelled(word, text, across, 1));
}

/** The short form of a reshoot line: whose, measured, limit, what to set. */
function againSays(group: FindingGroup, short: (name: string) => string): string {
  const { first } = group;
  const measured = [...group.measured].slice(0, 2).join(", ");
  const names = group.clips.length <= 2 ? group.clips.map(short).join(", ") : `${group.clips.length} clips`;
  return `${names}: ${measured}, limit ${first.limit.text}: ${first.onLocation ?? first.remedy}`;
}

const headings = { reshoot: "RESHOOT", workable: "WORKABLE", note: "NOTES" } as const;

/** Findings by cause, the worst first. */
function findings(report: Report, across: number, ink: Paint, notes: boolean): readonly string[] {
  const short = shortNames(report);
  const lines: string[] = [];
  for (const grade of ["reshoot", "workable", "note"] as const) {
    const groups = groupFindings(report, grade);
    if (groups.length === 0) continue;
    if (grade === "note" && !notes) {
      const count = groups.reduce((sum, group) => sum + group.count, 0);
      lines.push(`${headings.note} ${count}, listed with --notes`);
      continue;
    }
    lines.push(grade === "note" ? headings.note : ink.verdict(grade, headings[grade]));
    for (const group of groups) lines.push(...groupLines(group, short, across));
  }
  if (notes) {
    for (const remark of report.card.remarks) lines.push(...wrapped(`  card: ${remark.says}`, across, 4, 3));
  } else if (report.card.remarks.length > 0) {
    lines.push(`CARD ${counted(report.card.remarks.length, "remark")} on its folders, listed with --notes`);
  }
  return lines;
}

/** Lines given to the names of one group's clips. */
const mostNameLines = 3;

function groupLines(group: FindingGroup, short: (name: string) => string, across: number): readonly string[] {
  const lines = indented(`${whose(group.clips, short)}: ${groupSays(group)}`, across, 2, 4);
  const { onLocation, inEdit, remedy } = group.first;
  const differ = group.differs.has("inEdit") || group.differs.has("onLocation");
  if (!differ && onLocation !== undefined && onLocation !== remedy)
    lines.push(...indented(`on location: ${onLocation}`, across, 4, 3));
  if (!differ && inEdit !== undefined && inEdit !== remedy)
    lines.push(...indented(`in the edit: ${inEdit}`, across, 4, 3));
  if (group.clips.length > 1) lines.push(...indented(group.clips.map(short).join(", "), across, 4, mostNameLines));
  return lines;
}

/** Wrapped text with every line moved in, the first included. */
const indented = (text: string, across: number, by: number, most: number): string[] =>
  wrapped(text, across - by, by, most).map((line) => " ".repeat(by) + line);

/** What could not be judged, and what would supply it. */
function unknowns(report: Report, across: number, ink: Paint, notes: boolean): readonly string[] {
  const short = shortNames(report);
  const groups = groupUnknowns(report);
  const listed = notes ? groups : groups.filter((group) => group.decides);
  const lines = listed.length === 0 ? [] : [ink.verdict("unknown", "NOT JUDGED")];
  for (const group of listed) {
    lines.push(...indented(`${whose(group.clips, short)}: ${sentences(group.says, group.supply)}`, across, 2, 5));
    if (group.clips.length > 1) lines.push(...indented(group.clips.map(short).join(", "), across, 4, mostNameLines));
  }
  if (listed.length < groups.length) {
    const left = groups.length - listed.length;
    lines.push(
      `NOT JUDGED ${counted(left, "question")} that ${left === 1 ? "decides" : "decide"} no verdict, listed with --notes`,
    );
  }
  return lines;
}

/** Settings for a next flight, where something asks for one; the caution stands in the answer or here. */
function nextFlight(report: Report, across: number, notes: boolean): readonly string[] {
  const { nextFlight: flight, counts } = report;
  if (flight === undefined || (counts.reshoot === 0 && counts.unknown === 0 && !notes)) return [];
  const lines = flight.says.flatMap((says) => indented(says, across, 2, 4));
  return ["NEXT FLIGHT", ...lines, ...indented(flight.caution, across, 2, 5)];
}

/** Reasons for skipping that are named before the rest is counted. */
const mostReasons = 3;

/** Counts, what was read, and where the report went. */
function summary(report: Report, across: number, written: readonly string[]): readonly string[] {
  const { audit, card, counts, usable } = report;
  const found =
    `Card ${card.label}: ${counted(counts.clips, "clip")}, ${counted(counts.stills, "still")}, ` +
    `${counted(card.files, "file")}, ${bytesText(card.bytes)} (${card.layout}).`;
  const lines = wrapped(found, across, 2, 3);
  lines.push(
    ...wrapped(
      `Usable on the timeline: ${secondsText(usable.realTimeSeconds)} in real time, ${secondsText(usable.slowSeconds)} slow.`,
      across,
      2,
    ),
  );
  const looked = lookedLine(report);
  if (looked !== undefined) lines.push(...wrapped(looked, across, 2));
  const assumed = assumedDefaults(report);
  if (assumed.length > 0) lines.push(...wrapped(`Assumed: ${assumed.join("; ")}.`, across, 2, 10));
  const reasons = new Map<string, string[]>();
  for (const { path, why } of audit.skipped) reasons.set(why, [...(reasons.get(why) ?? []), path]);
  for (const [why, paths] of [...reasons].slice(0, mostReasons)) {
    lines.push(
      ...wrapped(
        `Skipped ${paths.length}: ${why} (${paths.slice(0, 2).join(", ")}${paths.length > 2 ? ", …" : ""})`,
        across,
        2,
        2,
      ),
    );
  }
  const rest = [...reasons.values()].slice(mostReasons).reduce((sum, paths) => sum + paths.length, 0);
  if (rest > 0) lines.push(`Skipped ${rest} more for other reasons, all listed in the report.`);
  lines.push(
    ...wrapped(
      `Read ${bytesText(audit.bytesRead)} in ${audit.readCalls} reads, ${shortNumber(audit.seconds, 1)} s, by ${audit.readers.join(", ") || "nobody"}.` +
        `${report.partial ? " Interrupted: this report is partial." : ""}`,
      across,
      2,
      3,
    ),
  );
  for (const path of written) lines.push(...wrapped(`Written: ${path}`, across, 2));
  return lines;
}
