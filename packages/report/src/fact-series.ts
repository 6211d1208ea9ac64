import {
  compare,
  extremes,
  type FactName,
  firstValue,
  type Ratio,
  type Series,
  toNumber,
  typicalValue,
} from "@goodgate/model";
import { isRatio, plainValue, valueText } from "./fact-values.ts";
import type { FactReport } from "./schema.ts";

/** Points kept of a series for drawing: one for every four pixels of a 960 pixel wide page. */
export const mostPoints = 240;

type SeriesReport = NonNullable<FactReport["series"]>;
type Scalar = string | number | boolean;

/** Whether a fact's value is a series over the clip. */
export function isSeries(value: unknown): value is Series<unknown> {
  return (
    typeof value === "object" &&
    value !== null &&
    (value as { runValues?: unknown }).runValues instanceof Uint32Array &&
    (value as { runStarts?: unknown }).runStarts instanceof Float64Array &&
    Array.isArray((value as { values?: unknown }).values) &&
    (value as { values: readonly unknown[] }).values.length > 0
  );
}

/** Order of two values of one series: ratios and numbers by size, words by code unit. */
function order(a: unknown, b: unknown): number {
  if (isRatio(a) && isRatio(b)) return compare(a, b);
  if (typeof a === "number" && typeof b === "number") return a - b;
  const left = String(a);
  const right = String(b);
  return left < right ? -1 : left > right ? 1 : 0;
}

/** The typical value: for numbers the one half of the time lies at or below, for words the one held longest. */
function typical(series: Series<unknown>): unknown {
  const first = firstValue(series);
  if (isRatio(first) || typeof first === "number") return typicalValue(series, order);
  let best = 0;
  series.heldMicroseconds.forEach((held, place) => {
    if (held > (series.heldMicroseconds[best] ?? 0)) best = place;
  });
  return series.values[best] ?? first;
}

const scalar = (value: unknown): Scalar => {
  const plain = plainValue(value);
  return typeof plain === "string" || typeof plain === "number" || typeof plain === "boolean" ? plain : String(plain);
};

/** Six significant digits: more than a drawing can show. */
const drawnValue = (value: unknown): Scalar => {
  if (isRatio(value)) return Number(toNumber(value).toPrecision(6));
  return typeof value === "number" ? Number(value.toPrecision(6)) : scalar(value);
};

/** A series summed up for the report, and its text; without its points where nothing is `drawn`. */
export function seriesReport(
  name: FactName,
  series: Series<unknown>,
  drawn = true,
): { readonly typical: unknown; readonly text: string; readonly series: SeriesReport } {
  const middle = typical(series);
  const { least, most } = extremes(series, order);
  const text = (value: unknown): string => valueText(name, value);
  const changes = order(least, most) !== 0;
  const spread = !changes
    ? text(middle)
    : isRatio(middle) || typeof middle === "number"
      ? spreadText(text(least), text(most), text(middle))
      : `${series.values.slice(0, 4).map(text).join(", ")}${series.values.length > 4 ? ", …" : ""}, mostly ${text(middle)}`;
  const coverage = Number.isFinite(series.coverage) ? Math.min(1, Math.max(0, series.coverage)) : 0;
  // 99.5 % and more rounds to the whole clip.
  const share = coverage >= 0.995 ? "" : `, known for ${Math.floor(coverage * 100)} % of the clip`;
  return {
    typical: middle,
    text: `${spread}${share}`,
    series: {
      typical: scalar(middle),
      first: scalar(firstValue(series)),
      least: scalar(least),
      most: scalar(most),
      records: series.records,
      coverage: Number(coverage.toFixed(4)),
      points: (drawn ? points(series) : []).map((place) => [
        Number(((series.runStarts[place] ?? 0) / 1e6).toFixed(3)),
        drawnValue(series.values[series.runValues[place] ?? 0]),
      ]),
    },
  };
}

/** `ISO 100 to 400, typically 200`, `1/500 to 1/50 s, typically 1/100`: the unit stands once. */
function spreadText(least: string, most: string, middle: string): string {
  if ([least, most, middle].every((text) => text.startsWith("ISO "))) {
    return `${least} to ${most.slice(4)}, typically ${middle.slice(4)}`;
  }
  const unit = / [^ ]+$/.exec(most)?.[0] ?? "";
  if (unit !== "" && least.endsWith(unit) && middle.endsWith(unit)) {
    return `${least.slice(0, -unit.length)} to ${most}, typically ${middle.slice(0, -unit.length)}`;
  }
  return `${least} to ${most}, typically ${middle}`;
}

/** Places of the runs to draw: all, or the first and of each group its least and its most, so that no peak is lost. */
function points(series: Series<unknown>): readonly number[] {
  const count = series.runValues.length;
  if (count <= mostPoints) return Array.from({ length: count }, (_, place) => place);
  const kept = [0];
  const groups = Math.floor((mostPoints - 1) / 2);
  const at = (place: number): unknown => series.values[series.runValues[place] ?? 0] as Ratio | number | string;
  for (let group = 0; group < groups; group += 1) {
    const from = 1 + Math.floor((group * (count - 1)) / groups);
    const to = 1 + Math.floor(((group + 1) * (count - 1)) / groups);
    let least = from;
    let most = from;
    for (let place = from + 1; place < to; place += 1) {
      if (order(at(place), at(least)) < 0) least = place;
      if (order(at(place), at(most)) > 0) most = place;
    }
    kept.push(Math.min(least, most));
    if (least !== most) kept.push(Math.max(least, most));
  }
  return kept;
}
