import { fromNumber, parseRatio, type Ratio, ratio, ratioText, toNumber } from "../ratio.ts";

/** One worked value from outside the project: what is given, what must come out, and who says so. */
export interface CheckRow {
  readonly id: string;
  readonly given: Readonly<Record<string, unknown>>;
  readonly expect: Readonly<Record<string, unknown>>;
  /** `exact`, or how far a number may be off; texts and lists must always be the same. */
  readonly tolerance: "exact" | { readonly abs: number } | { readonly rel: number };
  readonly unit: string;
  /** Who printed the value, or the formula it was computed from. */
  readonly source: string;
  readonly source_kind: "published" | "tool-run" | "computed" | "common-practice" | "memory";
  readonly note?: string;
}

/** Title of the test of one row: its id, what is asked and the source. */
export const rowTitle = (row: CheckRow): string =>
  `outside check ${row.id}: ${Object.keys(row.expect).join(", ")} (${row.source_kind}: ${row.source})`;

/** A fraction of a row: a number, `24000/1001`, or numerator and denominator. Throws when it is none of them. */
export function fraction(value: unknown): Ratio {
  if (typeof value === "object" && value !== null && "num" in value && "den" in value) {
    return ratio(Number(value.num), Number(value.den));
  }
  const parsed = typeof value === "number" ? fromNumber(value) : parseRatio(String(value));
  if (parsed === undefined) throw new TypeError(`no fraction: ${JSON.stringify(value)}`);
  return parsed;
}

/** A number of a row. Throws when it is none. */
export function number(value: unknown): number {
  if (typeof value !== "number") throw new TypeError(`no number: ${JSON.stringify(value)}`);
  return value;
}

/**
 * What is wrong with an answer, one line for each key of the row that is missing or off; empty when all is well. Keys
 * in `notJudged` are those no function of the model answers.
 */
export function mismatches(
  row: CheckRow,
  answer: Readonly<Record<string, unknown>>,
  notJudged: readonly string[] = [],
): readonly string[] {
  const judged = Object.entries(row.expect).filter(([key]) => !notJudged.includes(key));
  if (judged.length === 0) return [`${row.id}: nothing is judged`];
  return judged
    .filter(([key, expected]) => !agrees(answer[key], expected, row.tolerance))
    .map(([key, expected]) => `${row.id} ${key}: ${shown(answer[key])} instead of ${shown(expected)}`);
}

function agrees(actual: unknown, expected: unknown, tolerance: CheckRow["tolerance"]): boolean {
  if (Array.isArray(expected)) {
    return (
      Array.isArray(actual) &&
      actual.length === expected.length &&
      expected.every((value, place) => agrees(actual[place], value, tolerance))
    );
  }
  if (isFraction(actual)) {
    if (typeof expected === "number") return near(toNumber(actual), expected, tolerance);
    if (typeof expected === "string") return ratioText(actual) === expected;
    return typeof expected === "object" && ratioText(actual) === ratioText(fraction(expected));
  }
  if (typeof expected === "number") return typeof actual === "number" && near(actual, expected, tolerance);
  if (typeof expected === "object" && expected !== null && typeof actual === "object" && actual !== null) {
    const found = actual as Readonly<Record<string, unknown>>;
    return (
      Object.keys(found).length === Object.keys(expected).length &&
      Object.entries(expected).every(([key, value]) => agrees(found[key], value, tolerance))
    );
  }
  return actual === expected;
}

/** Rounding of doubles allowed where a row says exact and the formula has logarithms. */
const doubleRounding = 1e-12;

function near(actual: number, expected: number, tolerance: CheckRow["tolerance"]): boolean {
  const allowed =
    tolerance === "exact"
      ? doubleRounding * Math.max(1, Math.abs(expected))
      : "abs" in tolerance
        ? tolerance.abs
        : tolerance.rel * Math.abs(expected);
  // Printed values end in a five now and then, so the last place may round either way.
  return Math.abs(actual - expected) <= allowed * (1 + 1e-9) + doubleRounding;
}

const isFraction = (value: unknown): value is Ratio =>
  typeof value === "object" && value !== null && "numerator" in value && "denominator" in value;

const shown = (value: unknown): string =>
  isFraction(value)
    ? ratioText(value)
    : (JSON.stringify(value, (_, part) => (typeof part === "bigint" ? String(part) : part)) ?? "nothing");
