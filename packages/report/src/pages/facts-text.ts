import type { ReadCost } from "@goodgate/model";
import { bytesText, counted, shortNumber } from "../fact-values.ts";
import { fittedEnd, padded, width, wrapped } from "../printed-text.ts";
import type { FactReport } from "../schema.ts";

/** One file or recording with everything known of it. */
export interface FactsEntry {
  readonly name: string;
  readonly files?: readonly string[];
  readonly facts: Readonly<Record<string, FactReport>>;
  readonly readers: readonly string[];
  readonly cost: ReadCost;
  /** What a second reader says differently. */
  readonly disagreements?: readonly {
    readonly fact: string;
    readonly ours: string;
    readonly theirs: string;
    readonly reader: string;
  }[];
}

const leastColumns = 60;
const mostColumns = 240;
/** Column in which values start: past the longest name of a fact. */
const valueColumn = 22;
/** Lines one value may take. */
const mostValueLines = 6;

/** The page of `goodgate facts`: every fact with its value, where it was read, and what the reading cost. */
export function renderFacts(entries: readonly FactsEntry[], columns: number): string {
  const across = Math.max(leastColumns, Math.min(mostColumns, Math.floor(columns) || leastColumns));
  if (entries.length === 0) return "no clips and no stills\n";
  return `${entries.map((entry) => entryLines(entry, across).join("\n")).join("\n\n")}\n`;
}

function entryLines(entry: FactsEntry, across: number): readonly string[] {
  const lines = [fittedEnd(entry.name, across)];
  const beside = (entry.files ?? []).filter((file) => file !== entry.name);
  if (beside.length > 0) lines.push(...under(`with ${beside.join(", ")}`, across, 2, 3));
  lines.push(...under(costText(entry), across, 2, 2));
  for (const [name, fact] of Object.entries(entry.facts)) lines.push(...factLines(name, fact, entry.name, across));
  for (const { fact, ours, theirs, reader } of entry.disagreements ?? []) {
    lines.push(...under(`${reader} disagrees on ${fact}: ${theirs}; in use: ${ours}`, across, 2, 3));
  }
  return lines;
}

function costText({ cost, readers }: FactsEntry): string {
  const needed = cost.neededBytes === undefined ? "" : `, ${bytesText(cost.neededBytes)} needed`;
  return (
    `read ${bytesText(cost.bytes)}${needed} in ${counted(cost.calls, "call")}, ` +
    `${shortNumber(cost.milliseconds, 1)} ms, by ${readers.join(", ") || "nobody"}`
  );
}

/** Text moved in by `by` columns, the lines after the first by two more. */
const under = (text: string, across: number, by: number, most: number): readonly string[] =>
  wrapped(text, across - by, 2, most).map((line) => " ".repeat(by) + line);

function factLines(name: string, fact: FactReport, file: string, across: number): readonly string[] {
  const says = wrapped(valueText(fact), across - valueColumn, 0, mostValueLines);
  const lines = says.map((line, place) => padded(place === 0 ? `  ${name}` : "", valueColumn) + line);
  const from = originText(fact, file);
  const last = lines[lines.length - 1] ?? "";
  if (from !== "" && lines.length === 1 && width(last) + 2 + width(from) <= across && isShort(from)) {
    lines[0] = `${last}  ${from}`;
  } else if (from !== "") {
    lines.push(...wrapped(from, across - valueColumn, 2, 3).map((line) => " ".repeat(valueColumn) + line));
  }
  for (const witness of fact.witnesses ?? []) {
    const word = witness.agrees ? "also" : "but";
    const text = `${word} ${witness.value} (${placeText(witness.origin, file)})`;
    lines.push(...wrapped(text, across - valueColumn, 2, 3).map((line) => " ".repeat(valueColumn) + line));
  }
  for (const { why, origin } of fact.broken ?? []) {
    const text = `damaged: ${why} (${placeText(origin, file)})`;
    lines.push(...wrapped(text, across - valueColumn, 2, 3).map((line) => " ".repeat(valueColumn) + line));
  }
  return lines;
}

/** A text that may stand behind a value on the same line: one that printing does not change. */
const isShort = (text: string): boolean => /^[\x20-\x7E]*$/.test(text);

function valueText(fact: FactReport): string {
  if (fact.state !== "read") return `${fact.state}: ${fact.why ?? "no reason given"}`;
  const text = fact.text ?? String(fact.value);
  // The exact ratio beside its name: 29.97 fps is 30000/1001; 25 fps and 1/50 s say it already.
  const ratio = fact.decimal !== undefined && typeof fact.value === "string" ? fact.value.replace(/\/1$/, "") : "";
  const exact = ratio === "" || text === ratio || text.startsWith(`${ratio} `) ? "" : `, exactly ${ratio}`;
  const records = fact.series === undefined ? "" : `, ${counted(fact.series.records, "record")}`;
  return `${text}${exact}${records}`;
}

const originText = (fact: FactReport, file: string): string =>
  fact.origin === undefined ? "" : `(${placeText(fact.origin, file)})`;

function placeText(origin: NonNullable<FactReport["origin"]>, file: string): string {
  const elsewhere = origin.file === file || origin.file === "" ? "" : ` of ${origin.file}`;
  const reader = origin.reader === undefined || origin.reader === "goodgate" ? "" : `, read by ${origin.reader}`;
  return `${origin.kind}: ${origin.place}${elsewhere}${reader}`;
}
