import {
  type CreationTime,
  ratioText,
  type Seconds,
  seconds,
  type Series,
  seriesBuilder,
  type TelemetrySummary,
  type Timecode,
  timecodeFrame,
  type Timing,
} from "@goodgate/model";

/** Examples and tests build their facts with these; each stretch lasts ten seconds. */
const stretchMicroseconds = 10_000_000;

function series<T>(values: readonly T[], key: (value: T) => string | number, each: number): Series<T> {
  const builder = seriesBuilder(key);
  values.forEach((value, place) => builder.add(value, place * each, (place + 1) * each));
  const made = builder.finish(values.length * each);
  if (made === undefined) throw new RangeError("an example needs a value");
  return made;
}

/** A series of numbers, each held for ten seconds. */
export const steps = (...values: readonly number[]): Series<number> =>
  series(values, (value) => value, stretchMicroseconds);

/** A series of numbers, each held for `each` seconds. */
export const stepsEvery = (each: number, ...values: readonly number[]): Series<number> =>
  series(values, (value) => value, Math.round(each * 1e6));

/** A series of words. */
export const words = (...values: readonly string[]): Series<string> =>
  series(values, (value) => value, stretchMicroseconds);

/** A series of shutter times, each one over the number given. */
export const oneOver = (...inverses: readonly number[]): Series<Seconds> =>
  series(
    inverses.map((inverse) => seconds(1, inverse)),
    ratioText,
    stretchMicroseconds,
  );

/** The same as if the records spoke for a share of the clip only. */
export const partly = <T>(of: Series<T>, coverage: number): Series<T> => ({ ...of, coverage });

/** Frame times without a fault at a timescale of 1000 ticks and 40 ticks a frame, changed as given. */
export const timing = (change: Partial<Timing> = {}): Timing => ({
  kind: "constant",
  timescale: 1000,
  medianTicks: 40,
  leastTicks: 40,
  mostTicks: 40,
  histogram: [{ ticks: 40, count: 250 }],
  slips: [],
  lostFrames: 0,
  offShare: 0,
  ...change,
});

/** Timecode of a label. */
export function timecodeAt(start: string, labelsPerSecond: number): Timecode {
  const startFrame = timecodeFrame(start, labelsPerSecond);
  if (startFrame === undefined) throw new RangeError(`${start} is no label`);
  return { start, dropFrame: start.includes(";"), labelsPerSecond, startFrame };
}

/** A start of recording in UTC. */
export const startedAt = (text: string, suspect?: string): CreationTime => ({
  text,
  zone: "utc",
  epochMilliseconds: Date.parse(text),
  ...(suspect === undefined ? {} : { suspect }),
});

/** Telemetry once a second for ten seconds, changed as given. */
export const telemetryOf = (change: Partial<TelemetrySummary> = {}): TelemetrySummary => ({
  dialect: "example",
  records: 10,
  unreadRecords: 0,
  spacingSeconds: 1,
  cadence: "per second",
  coverage: 1,
  gaps: [],
  lagSeconds: 0,
  endSeconds: 10,
  unknownKeys: {},
  ...change,
});
