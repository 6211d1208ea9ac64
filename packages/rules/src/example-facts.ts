import {
  type CreationTime,
  type FactValues,
  type MeasuredAngle,
  type MeasuredExposure,
  type MeasuredMotion,
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

/** Facts of a clip whose pictures were asked: 20 of 95 s, changed as given. */
export const seen = (facts: Partial<FactValues>, seconds = 20): Partial<FactValues> => ({
  lookedAt: { seconds, ofSeconds: 95, stretches: [{ fromSeconds: 0, toSeconds: seconds }] },
  ...facts,
});

/** Brightness without a fault, changed as given. */
export const levels = (change: Partial<MeasuredExposure> = {}): MeasuredExposure => ({
  clippedShare: 0,
  crushedShare: 0,
  mostClipped: { atSeconds: 12.5, share: 0 },
  mostCrushed: { atSeconds: 12.5, share: 0 },
  meanPercent: 45,
  darkestPercent: 44,
  brightestPercent: 46,
  jumps: [],
  codes: {
    bitDepth: 8,
    least: 16,
    most: 235,
    belowNarrowShare: 0,
    aboveNarrowShare: 0,
    outsideToleratedShare: 0,
  },
  ribbon: [],
  ...change,
});

/** A picture that moves at one speed for three seconds, in widths a second, and shakes by a share of its width. */
export const moving = (widthsPerSecond: number, vibrationPercent = 0): MeasuredMotion => ({
  medianWidthsPerSecond: widthsPerSecond,
  peakWidthsPerSecond: widthsPerSecond,
  peakAtSeconds: 4,
  vibrationPercent,
  secondsPerPoint: 0.5,
  ribbon: [0, 1, 2, 3, 4, 5].map((half) => ({
    atSeconds: 4 + half / 2,
    widthsPerSecond,
    acrossWidthsPerSecond: widthsPerSecond,
    downWidthsPerSecond: 0,
  })),
});

/** An angle read from blur with an interval of ten degrees either way, in a picture that moves 20 pixels a frame. */
export const blurOf = (degrees: number, off = 10): MeasuredAngle => ({
  degrees,
  low: degrees - off,
  high: degrees + off,
  pairs: 40,
  stretches: [{ fromSeconds: 4, toSeconds: 6, degrees, pixelsPerFrame: 20 }],
});
