import { reportOrder, type KeyOrder } from "../report-order.ts";
import type { Report } from "../schema.ts";

/**
 * The report as JSON text: keys in the order of the schema, two spaces a level, lists of plain values on one line, a
 * newline at the end. Characters that a terminal or an editor would obey (controls, text direction marks) are escaped,
 * so that the text can be printed as it is; reading it back gives the same report.
 */
export const renderJson = (report: Report): string => [...jsonPieces(report)].join("");

/**
 * The same text piece by piece, one clip or still at a time: the report of a large archive is longer than a text in
 * memory can be.
 */
export function* jsonPieces(report: Report): Generator<string> {
  const indent = "  ";
  let lead = "{\n";
  for (const [key, value] of sorted(Object.entries(report), reportOrder.keys)) {
    if (value === undefined) continue;
    yield `${lead}${indent}${quoted(key)}: `;
    lead = ",\n";
    const order = reportOrder.inside?.[key];
    if (Array.isArray(value) ? value.every(isShort) : !isGoneThrough(value)) yield written(value, order, indent);
    else yield* itemPieces(value as Iterable<unknown>, (item) => [written(item, order, `${indent}  `)], indent);
  }
  yield "\n}\n";
}

/**
 * Any plain value as JSON in the same form, keys by name, piece by piece. A list in it may be anything that can be gone
 * through: its items are asked for one by one. Half a surrogate pair is escaped, as JSON itself does.
 */
export function* textPieces(value: unknown, indent = ""): Generator<string> {
  const inner = `${indent}  `;
  if (isGoneThrough(value)) yield* itemPieces(value, (item) => [written(item, undefined, inner)], indent);
  else if (Array.isArray(value) && value.some(holdsMuch)) {
    yield* itemPieces(value, (item) => textPieces(item, inner), indent);
  } else if (typeof value === "object" && value !== null && !Array.isArray(value)) {
    let lead = "{\n";
    for (const [key, item] of sorted(Object.entries(value))) {
      if (item === undefined) continue;
      yield `${lead}${inner}${quoted(key)}: `;
      yield* textPieces(item, inner);
      lead = ",\n";
    }
    yield lead === "{\n" ? "{}" : `\n${indent}}`;
  } else yield written(value, undefined, indent);
}

/** The items of a list, one a line. */
function* itemPieces<T>(items: Iterable<T>, text: (item: T) => Iterable<string>, indent: string): Generator<string> {
  let before = "[\n";
  for (const item of items) {
    yield `${before}${indent}  `;
    yield* text(item);
    before = ",\n";
  }
  yield before === "[\n" ? "[]" : `\n${indent}]`;
}

/** A list that is no array: its items are made while it is gone through. */
const isGoneThrough = (value: unknown): value is Iterable<unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value) && Symbol.iterator in value;

/** Whether a list to be gone through lies directly in an object, or deeper. */
const holdsMuch = (value: unknown): boolean =>
  typeof value === "object" &&
  value !== null &&
  (isGoneThrough(value) || Object.values(value).some((item) => typeof item === "object" && holdsMuch(item)));

function written(value: unknown, order: KeyOrder | undefined, indent: string): string {
  if (typeof value === "string") return quoted(value);
  if (Array.isArray(value)) return list(value, order, indent);
  if (typeof value === "object" && value !== null) return object(value, order, indent);
  return JSON.stringify(value) ?? "null";
}

function list(items: readonly unknown[], order: KeyOrder | undefined, indent: string): string {
  // Hundreds of points of a series on lines of their own would make most of the file.
  if (items.every(isNumeric)) return JSON.stringify(items);
  if (items.every(isShort)) return `[${items.map((item) => written(item, undefined, "")).join(", ")}]`;
  const inner = `${indent}  `;
  return `[\n${items.map((item) => inner + written(item, order, inner)).join(",\n")}\n${indent}]`;
}

/** A number, or a list of numbers: text that needs no second look. */
const isNumeric = (item: unknown): boolean =>
  typeof item === "number" || (Array.isArray(item) && item.every((each) => typeof each === "number"));
/** A plain value or a list of plain values. */
const isShort = (item: unknown): boolean => isPlain(item) || (Array.isArray(item) && item.every(isPlain));
const isPlain = (item: unknown): boolean => typeof item !== "object" || item === null;

function object(value: object, order: KeyOrder | undefined, indent: string): string {
  const inner = `${indent}  `;
  const lines: string[] = [];
  for (const [key, item] of sorted(Object.entries(value), order?.keys)) {
    if (item === undefined) continue;
    lines.push(`${inner}${quoted(key)}: ${written(item, order?.inside?.[key] ?? order?.each, inner)}`);
  }
  return lines.length === 0 ? "{}" : `{\n${lines.join(",\n")}\n${indent}}`;
}

/** Entries in the order of `keys`, those it does not name behind them by name. */
function sorted(
  entries: readonly (readonly [string, unknown])[],
  keys: readonly string[] = [],
): readonly (readonly [string, unknown])[] {
  const places = rank(keys);
  const place = (key: string): number => places.get(key) ?? keys.length;
  return [...entries].sort(([a], [b]) => place(a) - place(b) || (a < b ? -1 : 1));
}

const ranks = new WeakMap<readonly string[], ReadonlyMap<string, number>>();
function rank(keys: readonly string[]): ReadonlyMap<string, number> {
  let places = ranks.get(keys);
  if (places === undefined) {
    places = new Map(keys.map((key, place) => [key, place]));
    ranks.set(keys, places);
  }
  return places;
}

/** Controls past ASCII, marks that change the direction of text, and the two line ends JSON leaves as they are. */
const obeyed = /[\u007F-\u009F\u2028\u2029\p{Cf}]/gu;

/** Printable ASCII without quote and backslash: nearly every text of a report. */
const asItIs = /^[ !#-[\]-~]*$/;

/** JSON text of a string; JSON itself escapes the controls below a space and lone surrogates. */
function quoted(text: string): string {
  if (asItIs.test(text)) return `"${text}"`;
  return JSON.stringify(text).replace(obeyed, (found) =>
    // By code unit: a mark past U+FFFF is two escapes.
    found
      .split("")
      .map((unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, "0")}`)
      .join(""),
  );
}
