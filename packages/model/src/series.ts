import { compare, type Ratio } from "./ratio.ts";
import { mostRuns, RunList } from "./run-list.ts";

export { mostRuns };

/**
 * A value that may change through a clip, kept as runs of equal values. Times are whole microseconds from the first
 * shown frame. The share of time of every distinct value is exact; the list of runs is thinned past `mostRuns`. A hole
 * between two records belongs to the run before it, but not to the time its value was held.
 */
export interface Series<T> {
  /** Distinct values, in order of first appearance. */
  readonly values: readonly T[];
  /** Time each distinct value was held, in microseconds; as long as `values`. */
  readonly heldMicroseconds: readonly number[];
  /** Start of each run, in microseconds. */
  readonly runStarts: Float64Array;
  /** For each run, the index into `values`. */
  readonly runValues: Uint32Array;
  /** End of the last run, in microseconds. */
  readonly endMicroseconds: number;
  /** Records this series was made from. */
  readonly records: number;
  /** Share of the clip's duration the records speak for, from 0 to 1. */
  readonly coverage: number;
  /** Whether runs were left out to stay within `mostRuns`; `values` and `heldMicroseconds` stay exact. */
  readonly thinned: boolean;
}

/** Collects records into a series; times must not fall, and a start before the last one is moved up to it. */
export interface SeriesBuilder<T> {
  /** Adds one record: the value holds from `start` to `end`, both in microseconds. */
  add(value: T, start: number, end: number): void;
  /**
   * Adds `count` neighbouring records of one value at once: from the start of the first to the end of the last, of which
   * the value was held for `held` microseconds, holes between them left out.
   */
  addRun(value: T, start: number, end: number, held: number, count: number): void;
  /**
   * The finished series, or undefined when nothing was added. `clipMicroseconds` gives the coverage, which is 1 when
   * the length of the clip is not known.
   */
  finish(clipMicroseconds: number | undefined): Series<T> | undefined;
}

/**
 * A builder; `key` tells equal values apart from different ones. `order` tells which runs stay when there are too many:
 * of every four neighbours the least and the most, so that a short excursion is never lost from a plot.
 */
export function seriesBuilder<T>(
  key: (value: T) => string | number,
  order: (a: T, b: T) => number = usualOrder,
): SeriesBuilder<T> {
  const index = new Map<string | number, number>();
  const values: T[] = [];
  const held: number[] = [];
  let records = 0;
  let lastEnd = 0;
  let lastValue: T | undefined;
  let lastAt: number | undefined;
  const runs = new RunList((a, b) => order(values[a] as T, values[b] as T));
  const addRun = (value: T, start: number, end: number, heldTime: number, count: number): void => {
    const isFirst = records === 0;
    records += count;
    // Most records repeat the value before them: then its place is known without making a key.
    let at = !isFirst && value === lastValue ? lastAt : undefined;
    if (at === undefined) {
      const name = key(value);
      at = index.get(name);
      if (at === undefined) {
        at = values.push(value) - 1;
        held.push(0);
        index.set(name, at);
      }
      lastValue = value;
      lastAt = at;
    }
    held[at] = (held[at] as number) + heldTime;
    runs.push(start, at);
    if (isFirst || end > lastEnd) lastEnd = end;
  };
  return {
    add: (value, start, end) => addRun(value, start, end, Math.max(0, end - start), 1),
    addRun,
    finish(clipMicroseconds) {
      if (records === 0) return undefined;
      return finishedSeries(values, held, runs, lastEnd, records, clipMicroseconds);
    },
  };
}

/** A series out of what a builder has collected. */
export function finishedSeries<T>(
  values: readonly T[],
  held: readonly number[],
  runs: RunList,
  lastEnd: number,
  records: number,
  clipMicroseconds: number | undefined,
): Series<T> {
  const covered = held.reduce((sum, time) => sum + time, 0);
  const { starts, values: runValues } = runs;
  // Most facts hold one value from the first picture on; the two lists of that cost more memory than all the rest.
  const fromStart = starts.length === 1 && starts[0] === 0;
  return {
    values,
    heldMicroseconds: held,
    runStarts: fromStart ? oneStart : starts,
    runValues: fromStart ? oneRun : runValues,
    endMicroseconds: lastEnd,
    records,
    coverage: clipMicroseconds === undefined || clipMicroseconds <= 0 ? 1 : Math.min(1, covered / clipMicroseconds),
    thinned: runs.thinned,
  };
}

/** The lists of a series of one run, which all such series share; nobody writes into a series. */
const oneStart = Float64Array.of(0);
const oneRun = Uint32Array.of(0);

/** Numbers and fractions by size, everything else by its text. */
function usualOrder(a: unknown, b: unknown): number {
  if (typeof a === "number" && typeof b === "number") return a - b;
  if (isRatio(a) && isRatio(b)) return compare(a, b);
  const [left, right] = [String(a), String(b)];
  return left < right ? -1 : left > right ? 1 : 0;
}

const isRatio = (value: unknown): value is Ratio =>
  typeof value === "object" && value !== null && "numerator" in value && "denominator" in value;

/** A series that holds one value for a whole clip. */
export function constantSeries<T>(value: T, microseconds: number): Series<T> {
  return {
    values: [value],
    heldMicroseconds: [microseconds],
    runStarts: oneStart,
    runValues: oneRun,
    endMicroseconds: microseconds,
    records: 1,
    coverage: 1,
    thinned: false,
  };
}

/** Distinct values a short series holds at most. */
const mostShort = 8;

/**
 * The series without its runs, for looking at many clips at once: the first, the typical, the least and the most value are
 * those of the whole. Up to eight distinct values all are there, each with the time it was held.
 */
export function shortSeries<T>(series: Series<T>, order: (a: T, b: T) => number = usualOrder): Series<T> {
  const { least, most } = extremes(series, order);
  const few = series.values.length <= mostShort;
  const all = series.heldMicroseconds.reduce((sum, time) => sum + time, 0);
  return {
    ...series,
    values: few ? series.values : [firstValue(series), typicalValue(series, order), least, most],
    heldMicroseconds: few ? series.heldMicroseconds : [0, all, 0, 0],
    runStarts: oneStart,
    runValues: oneRun,
    thinned: true,
  };
}

/** Whether a value is a series that `constantSeries` can make again, but for its end, records and coverage. */
export function isConstant(value: Partial<Series<unknown>>): value is Series<unknown> {
  const { values, heldMicroseconds, runStarts, runValues, endMicroseconds, records, coverage } = value;
  return (
    runStarts === oneStart &&
    runValues === oneRun &&
    values?.length === 1 &&
    heldMicroseconds?.length === 1 &&
    [heldMicroseconds[0], endMicroseconds, records, coverage].every(
      (number) => Number.isFinite(number) && !Object.is(number, -0),
    ) &&
    value.thinned === false
  );
}

/** The value in force at the first record. */
export const firstValue = <T>(series: Series<T>): T => series.values[0] as T;

/** The distinct values from least to most, each with its share of the recorded time (0 to 1). */
export function sortedShares<T>(
  series: Series<T>,
  order: (a: T, b: T) => number,
): readonly { readonly value: T; readonly share: number }[] {
  const total = series.heldMicroseconds.reduce((sum, time) => sum + time, 0);
  return series.values
    .map((value, place) => ({
      value,
      share: total > 0 ? (series.heldMicroseconds[place] ?? 0) / total : 1 / series.values.length,
    }))
    .sort((a, b) => order(a.value, b.value));
}

/** The value that half of the recorded time lies at or below: the typical value. */
export function typicalValue<T>(series: Series<T>, order: (a: T, b: T) => number): T {
  let typical = firstValue(series);
  if (series.values.length === 1) return typical;
  let sum = 0;
  for (const { value, share } of sortedShares(series, order)) {
    typical = value;
    sum += share;
    // Sums of shares round a little.
    if (sum >= 0.5 - 1e-12) break;
  }
  return typical;
}

/** The least and the most of the values, whatever time they held. */
export function extremes<T>(series: Series<T>, order: (a: T, b: T) => number): { readonly least: T; readonly most: T } {
  let least = series.values[0] as T;
  let most = least;
  for (let place = 1; place < series.values.length; place += 1) {
    const value = series.values[place] as T;
    if (order(value, least) < 0) least = value;
    else if (order(value, most) > 0) most = value;
  }
  return { least, most };
}

/** Share of the recorded time, 0 to 1, for which the claim holds. */
export function shareWhere<T>(series: Series<T>, claim: (value: T) => boolean): number {
  let yes = 0;
  let all = 0;
  series.values.forEach((value, place) => {
    const held = series.heldMicroseconds[place] ?? 0;
    all += held;
    if (claim(value)) yes += held;
  });
  return all > 0 ? yes / all : series.values.some(claim) ? 1 : 0;
}

/** One stretch of a series. */
export interface Run<T> {
  readonly startMicroseconds: number;
  readonly endMicroseconds: number;
  readonly value: T;
}

/** The runs as objects, for rules that look at changes over time. */
export function* runsOf<T>(series: Series<T>): Generator<Run<T>> {
  for (let place = 0; place < series.runValues.length; place += 1) {
    yield {
      startMicroseconds: series.runStarts[place] as number,
      endMicroseconds: series.runStarts[place + 1] ?? series.endMicroseconds,
      value: series.values[series.runValues[place] as number] as T,
    };
  }
}
