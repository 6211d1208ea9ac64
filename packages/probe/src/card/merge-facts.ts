import {
  add,
  compare,
  type Facts,
  type FactName,
  type Position,
  ratioText,
  type Reading,
  type Ratio,
  read,
  type Series,
  seriesBuilder,
  seriesFacts,
  type TelemetrySummary,
  type Timing,
  toNumber,
} from "@goodgate/model";

/**
 * The facts of one recording from the facts of its parts in order. Counts and times add up, series follow each other,
 * timing is the worst of the parts, damage in any part is damage of the whole; everything else is as in the first part.
 */
export function mergeFacts(parts: readonly Facts[]): Facts {
  const [first, ...rest] = parts;
  if (first === undefined) return {};
  return rest.reduce<Facts>((joined, part) => mergeTwo(joined, part), first);
}

function mergeTwo(a: Facts, b: Facts): Facts {
  const shift = seconds(a.durationSeconds) * 1e6;
  const lengths = { left: seconds(a.durationSeconds), right: seconds(b.durationSeconds) };
  const merged: Record<string, Reading<unknown> | undefined> = { ...a };
  const join = <Name extends FactName>(
    name: Name,
    how: (left: ValueOf<Name>, right: ValueOf<Name>) => ValueOf<Name>,
  ): void => {
    const result = combine(
      a[name] as Reading<ValueOf<Name>> | undefined,
      b[name] as Reading<ValueOf<Name>> | undefined,
      how,
    );
    if (result === undefined) delete merged[name];
    else merged[name] = result;
  };
  join("structure", (left) => left);
  join("fileBytes", (left, right) => left + right);
  join("frames", (left, right) => left + right);
  join("durationSeconds", add);
  join("mediaSeconds", add);
  join("headerSeconds", add);
  // Behind a part that is cut short nothing follows on.
  const media = a.mediaSeconds?.state === "read" ? a.mediaSeconds.value : undefined;
  join("usableSeconds", (left, right) => (media !== undefined && compare(left, media) < 0 ? left : add(left, right)));
  join("timing", (left, right) => worseTiming(left, right, lengths.left));
  join("sound", (left, right) => ({ ...left, durationSeconds: add(left.durationSeconds, right.durationSeconds) }));
  join("syncSamples", (left, right) => ({
    count: left.count + right.count,
    firstFrame: left.firstFrame,
    longestGapSeconds: Math.max(left.longestGapSeconds, right.longestGapSeconds),
  }));
  join("bitRate", (left, right) => {
    const whole = lengths.left + lengths.right;
    const sum = left.averageBitsPerSecond * lengths.left + right.averageBitsPerSecond * lengths.right;
    const peaks = [left.peakBitsPerSecond, right.peakBitsPerSecond].filter((peak) => peak !== undefined);
    return {
      averageBitsPerSecond: whole > 0 ? sum / whole : left.averageBitsPerSecond,
      ...(peaks.length === 0 ? {} : { peakBitsPerSecond: Math.max(...peaks) }),
    };
  });
  // Byte positions are of one file; two files have none in common.
  delete merged["dataExtent"];
  // A part without telemetry must lower the coverage of the whole, so its silence is not passed over.
  mergeTelemetry(merged, a, b, shift, lengths);
  return merged as Facts;
}

type ValueOf<Name extends FactName> = Extract<NonNullable<Facts[Name]>, { readonly state: "read" }>["value"];

function combine<T>(
  a: Reading<T> | undefined,
  b: Reading<T> | undefined,
  how: (a: T, b: T) => T,
): Reading<T> | undefined {
  if (a === undefined || b === undefined) return a === undefined ? b : a;
  if (a.state === "damaged") return a;
  if (b.state === "damaged") return b;
  if (a.state !== "read") return a;
  if (b.state !== "read") return b;
  return { ...a, value: how(a.value, b.value) };
}

const seconds = (reading: Reading<Ratio> | undefined): number =>
  reading?.state === "read" ? toNumber(reading.value) : 0;

const severity: readonly Timing["kind"][] = ["constant", "rounded", "slips", "variable"];

/** Intervals of a clip, as far as its histogram lists them. */
const total = (of: Timing): number => of.histogram.reduce((sum, { count }) => sum + count, 0);

function worseTiming(a: Timing, b: Timing, shiftSeconds: number): Timing {
  const worse = severity.indexOf(b.kind) > severity.indexOf(a.kind) ? b : a;
  if (a.timescale !== b.timescale) return worse;
  const counts = new Map<number, number>();
  for (const { ticks, count } of [...a.histogram, ...b.histogram]) counts.set(ticks, (counts.get(ticks) ?? 0) + count);
  const all = total(a) + total(b);
  const stretch = [a.stretchSeconds, b.stretchSeconds].filter((value) => value !== undefined);
  return {
    ...worse,
    leastTicks: Math.min(a.leastTicks, b.leastTicks),
    mostTicks: Math.max(a.mostTicks, b.mostTicks),
    histogram: [...counts]
      .map(([ticks, count]) => ({ ticks, count }))
      .sort((x, y) => y.count - x.count || x.ticks - y.ticks)
      .slice(0, 32),
    slips: [
      ...a.slips,
      ...b.slips.map((slip) => ({ ...slip, frame: slip.frame + total(a) + 1, seconds: slip.seconds + shiftSeconds })),
    ].slice(0, 256),
    lostFrames: a.lostFrames + b.lostFrames,
    offShare: all === 0 ? worse.offShare : (a.offShare * total(a) + b.offShare * total(b)) / all,
    ...(stretch.length === 0 ? {} : { stretchSeconds: stretch.reduce((sum, value) => sum + value, 0) }),
  };
}

interface Lengths {
  readonly left: number;
  readonly right: number;
}

function mergeTelemetry(
  merged: Record<string, Reading<unknown> | undefined>,
  a: Facts,
  b: Facts,
  shift: number,
  lengths: Lengths,
): void {
  for (const name of seriesFacts) {
    const left = a[name] as Reading<Series<unknown>> | undefined;
    const right = b[name] as Reading<Series<unknown>> | undefined;
    const one = left?.state === "read" ? left : right?.state === "read" ? right : undefined;
    if (one === undefined) {
      // Damage in either part is worth more to the reader than silence in the other.
      const said = left?.state === "damaged" ? left : right?.state === "damaged" ? right : (left ?? right);
      if (said !== undefined) merged[name] = said;
      continue;
    }
    const series = appendSeries(
      left?.state === "read" ? left.value : undefined,
      right?.state === "read" ? right.value : undefined,
      shift,
      lengths,
    );
    if (series !== undefined) merged[name] = read(series, one.origin);
  }
  if (a.telemetry?.state === "read" && b.telemetry?.state === "read") {
    merged["telemetry"] = {
      ...a.telemetry,
      value: joinSummaries(a.telemetry.value, b.telemetry.value, shift / 1e6, lengths),
    };
  } else if (a.telemetry?.state !== "read" && b.telemetry !== undefined) merged["telemetry"] = b.telemetry;
  if (a.path?.state === "read" && b.path?.state === "read") {
    const later = b.path.value.map((point) => ({ ...point, atSeconds: point.atSeconds + shift / 1e6 }));
    merged["path"] = { ...a.path, value: thinned([...a.path.value, ...later]) };
  } else if (a.path?.state !== "read" && b.path?.state === "read") {
    merged["path"] = {
      ...b.path,
      value: b.path.value.map((point) => ({ ...point, atSeconds: point.atSeconds + shift / 1e6 })),
    };
  }
}

/** Points a path keeps (facts.ts). */
const mostPathPoints = 512;

function thinned<T extends Position>(points: readonly T[]): readonly T[] {
  if (points.length <= mostPathPoints) return points;
  const step = points.length / mostPathPoints;
  return Array.from({ length: mostPathPoints }, (_, place) => points[Math.floor(place * step)] as T);
}

const keyOf = (value: unknown): string =>
  typeof value === "object" && value !== null && "numerator" in value ? ratioText(value as Ratio) : String(value);

/** Numbers and fractions by size, anything else by its text. */
function orderOf(a: unknown, b: unknown): number {
  if (typeof a === "number" && typeof b === "number") return a - b;
  if (typeof a === "object" && typeof b === "object") return compare(a as Ratio, b as Ratio);
  return String(a) < String(b) ? -1 : String(a) > String(b) ? 1 : 0;
}

function appendSeries<T>(
  a: Series<T> | undefined,
  b: Series<T> | undefined,
  shift: number,
  lengths: Lengths,
): Series<T> | undefined {
  const some = a ?? b;
  if (some === undefined) return undefined;
  const values: T[] = [...(a?.values ?? [])];
  const held: number[] = [...(a?.heldMicroseconds ?? [])];
  const places = new Map(values.map((value, place) => [keyOf(value), place]));
  const moved = (b?.values ?? []).map((value, index) => {
    const key = keyOf(value);
    let place = places.get(key);
    if (place === undefined) {
      place = values.push(value) - 1;
      held.push(0);
      places.set(key, place);
    }
    held[place] = (held[place] ?? 0) + (b?.heldMicroseconds[index] ?? 0);
    return place;
  });
  // The builder keeps the runs within their bound without losing a short excursion; held times stay exact from here.
  const build = seriesBuilder<number>(
    (place) => place,
    (x, y) => orderOf(values[x], values[y]),
  );
  const addRuns = (series: Series<T> | undefined, by: number, placeOf: (run: number) => number): void => {
    if (series === undefined) return;
    for (let run = 0; run < series.runValues.length; run += 1) {
      const start = (series.runStarts[run] ?? 0) + by;
      const end = (series.runStarts[run + 1] ?? series.endMicroseconds) + by;
      build.add(placeOf(series.runValues[run] ?? 0), start, end);
    }
  };
  addRuns(a, 0, (value) => value);
  addRuns(b, shift, (value) => moved[value] ?? 0);
  const runs = build.finish(undefined);
  const whole = lengths.left + lengths.right;
  const spoken = (a?.coverage ?? 0) * lengths.left + (b?.coverage ?? 0) * lengths.right;
  return {
    values,
    heldMicroseconds: held,
    runStarts: runs?.runStarts ?? new Float64Array(0),
    runValues: Uint32Array.from(runs?.runValues ?? [], (place) => runs?.values[place] ?? 0),
    endMicroseconds: b === undefined ? some.endMicroseconds : b.endMicroseconds + shift,
    records: (a?.records ?? 0) + (b?.records ?? 0),
    coverage: whole > 0 ? Math.min(1, spoken / whole) : some.coverage,
    thinned: (a?.thinned ?? false) || (b?.thinned ?? false) || (runs?.thinned ?? false),
  };
}

function joinSummaries(a: TelemetrySummary, b: TelemetrySummary, shift: number, lengths: Lengths): TelemetrySummary {
  const whole = lengths.left + lengths.right;
  const gaps = b.gaps.map((gap) => ({ fromSeconds: gap.fromSeconds + shift, toSeconds: gap.toSeconds + shift }));
  const { lastClock: _last, clockSpanSeconds: _span, ...kept } = a;
  const remarks = [...new Set([...(a.remarks ?? []), ...(b.remarks ?? [])])];
  const damagedValues = sumCounts(a.damagedValues, b.damagedValues);
  const spans =
    a.clockSpanSeconds === undefined || b.clockSpanSeconds === undefined
      ? {}
      : { clockSpanSeconds: a.clockSpanSeconds + b.clockSpanSeconds };
  return {
    ...kept,
    records: a.records + b.records,
    unreadRecords: a.unreadRecords + b.unreadRecords,
    cadence: a.cadence === b.cadence ? a.cadence : "irregular",
    coverage: whole > 0 ? (a.coverage * lengths.left + b.coverage * lengths.right) / whole : a.coverage,
    gaps: [...a.gaps, ...gaps].slice(0, 64),
    endSeconds: b.endSeconds + shift,
    ...(b.lastClock === undefined ? {} : { lastClock: b.lastClock }),
    ...spans,
    unknownKeys: { ...b.unknownKeys, ...a.unknownKeys },
    ...(remarks.length === 0 ? {} : { remarks }),
    ...(damagedValues === undefined ? {} : { damagedValues }),
  };
}

type Counts = Readonly<Record<string, number>>;

function sumCounts(a: Counts | undefined, b: Counts | undefined): Counts | undefined {
  if (a === undefined || b === undefined) return a ?? b;
  const sums: Record<string, number> = { ...a };
  for (const [name, count] of Object.entries(b)) sums[name] = (sums[name] ?? 0) + count;
  return sums;
}
