import { compare, type Exposure, extremes, type Seconds, type Series, toNumber, typicalValue } from "@goodgate/model";

const byNumber = (a: number, b: number): number => a - b;

/** Series that make up an exposure; a missing f-number is taken as fixed. */
export interface ExposureSeries {
  readonly shutterSeconds: Series<Seconds>;
  readonly iso: Series<number>;
  readonly fNumber?: Series<number>;
}

/** Exposure at one time of a clip in stops: log2(t·ISO/N²). Only differences of it mean anything. */
export interface ExposurePoint {
  readonly seconds: number;
  readonly stops: number;
}

// Several rules ask for the exposure of one clip in turn.
let last: (ExposureSeries & { readonly points: readonly ExposurePoint[] }) | undefined;

/** The exposure at every time one of the settings changed. */
export function exposureOverTime(of: ExposureSeries): readonly ExposurePoint[] {
  const { shutterSeconds, iso, fNumber } = of;
  if (last?.shutterSeconds === shutterSeconds && last.iso === iso && last.fNumber === fNumber) return last.points;
  const points = pointsOf([
    track(shutterSeconds, (time) => Math.log2(toNumber(time))),
    track(iso, Math.log2),
    ...(fNumber === undefined ? [] : [track(fNumber, (number) => -2 * Math.log2(number))]),
  ]);
  last = { ...of, points };
  return points;
}

/** One setting in stops, from the start of each run on. */
interface Track {
  readonly starts: readonly number[];
  readonly stops: readonly number[];
}

function pointsOf(tracks: readonly Track[]): readonly ExposurePoint[] {
  const at = tracks.map(() => 0);
  const points: ExposurePoint[] = [];
  let time = Math.max(...tracks.map(({ starts }) => starts[0] ?? 0));
  for (;;) {
    let stops = 0;
    let next = Number.POSITIVE_INFINITY;
    for (let place = 0; place < tracks.length; place += 1) {
      const { starts, stops: values } = tracks[place] as Track;
      let run = at[place] as number;
      while (run + 1 < starts.length && (starts[run + 1] as number) <= time) run += 1;
      at[place] = run;
      stops += values[run] ?? 0;
      const following = starts[run + 1];
      if (following !== undefined && following < next) next = following;
    }
    points.push({ seconds: time / 1e6, stops });
    if (next === Number.POSITIVE_INFINITY) return points;
    time = next;
  }
}

/** A series as stops at the start of each run; values that are no positive number are left out. */
function track<T>(series: Series<T>, stops: (value: T) => number): Track {
  const ofValue = series.values.map((value) => stops(value));
  const starts: number[] = [];
  const values: number[] = [];
  for (let run = 0; run < series.runValues.length; run += 1) {
    const found = ofValue[series.runValues[run] as number];
    if (found === undefined || !Number.isFinite(found)) continue;
    starts.push(series.runStarts[run] ?? 0);
    values.push(found);
  }
  return { starts, stops: values };
}

/** Times at which the value moved by at least `stops` within `seconds`; at most 64, the first of each run of steps. */
export function stepTimes(points: readonly ExposurePoint[], stops: number, seconds: number): readonly number[] {
  const times: number[] = [];
  let from = 0;
  for (let place = 1; place < points.length && times.length < 64; place += 1) {
    const point = points[place] as ExposurePoint;
    // The value before the first change inside the window still held when the window began.
    while (from + 1 < place && (points[from + 1] as ExposurePoint).seconds < point.seconds - seconds) from += 1;
    const before = points[from] as ExposurePoint;
    if (Math.abs(point.stops - before.stops) >= stops - 1e-9) {
      times.push(before === points[place - 1] ? point.seconds : (points[from + 1] as ExposurePoint).seconds);
      from = place;
    }
  }
  return times;
}

/** Least and most of the points, with their times. */
export function spread(points: readonly ExposurePoint[]): { least: ExposurePoint; most: ExposurePoint } | undefined {
  const [first] = points;
  if (first === undefined) return undefined;
  let [least, most] = [first, first];
  for (const point of points) {
    if (point.stops < least.stops) least = point;
    if (point.stops > most.stops) most = point;
  }
  return { least, most };
}

/** The typical exposure of a clip; undefined when one of its numbers cannot be one. */
export function typicalExposure(
  shutterSeconds: Series<Seconds>,
  iso: Series<number>,
  fNumber: Series<number>,
  ndStops?: Series<number>,
): Exposure | undefined {
  const exposure = {
    shutterSeconds: typicalValue(shutterSeconds, compare),
    iso: typicalValue(iso, byNumber),
    fNumber: typicalValue(fNumber, byNumber),
    ...(ndStops === undefined ? {} : { ndStops: typicalValue(ndStops, byNumber) }),
  };
  return exposure.shutterSeconds.numerator > 0n && exposure.iso > 0 && exposure.fNumber > 0 ? exposure : undefined;
}

/** Share of series values that are positive numbers is all a rule needs to trust: the least and the most of them. */
export function positiveExtremes(series: Series<number>): { least: number; most: number } | undefined {
  const { least, most } = extremes(series, byNumber);
  return least > 0 ? { least, most } : undefined;
}
