import type { Rate, Seconds, Speed } from "./quantities.ts";
import {
  absolute,
  compare,
  divide,
  equal,
  floor,
  invert,
  isWhole,
  multiply,
  one,
  partsPerMillion,
  type Ratio,
  ratio,
  round,
  subtract,
  toNumber,
} from "./ratio.ts";

/** How the frames of a clip fall on a timeline. */
export type CadenceKind =
  | "one for one" // each timeline frame shows the next source frame
  | "every nth" // each timeline frame shows the next m-th source frame
  | "held" // each source frame is shown k times
  | "near" // one of the three above but for a rate 1000/1001 off: one event every so many seconds
  | "uneven skip" // steps of two different lengths, forward
  | "uneven hold"; // frames held two different lengths

/** The exact pattern of source frames on the timeline. */
export interface Cadence {
  readonly kind: CadenceKind;
  /** Source frames advanced per timeline frame. */
  readonly step: Ratio;
  /** `m` of every nth, `k` of held, and the same of the pattern a near miss is near to; 1 for one for one. */
  readonly count: number;
  /** Whether `count` is frames skipped to (m) or frames held (k). */
  readonly counts: "source frames per timeline frame" | "timeline frames per source frame";
  /** Least and most, in the unit of `counts`. Near one for one they are 0 and 1 (a repeat) or 1 and 2 (a loss). */
  readonly least: number;
  readonly most: number;
  /** Odd steps or holds per second of timeline; the rarer of the two lengths. */
  readonly oddPerSecond: Ratio;
  /** Seconds between two odd events; undefined when there is none. */
  readonly eventSeconds?: Seconds;
  /** Timeline frames after which the pattern returns. */
  readonly periodFrames: bigint;
  /** The same in seconds. */
  readonly periodSeconds: Seconds;
  /** One odd step as a share of the mean step (T/C), for skips; zero when even. */
  readonly unevenness: Ratio;
  /**
   * Largest delay with which a source frame first comes to the screen after the time it belongs to, in timeline frame
   * intervals, 0 to 1: (q − 1)/p for a step p/q above one, (p − 1)/p below it.
   */
  readonly peakError: Ratio;
}

/** The 1000/1001 pairs are 999 ppm apart; a rate within this of a clean one is a near miss. */
export const nearMissPartsPerMillion = 1500;

/**
 * The cadence of a clip that advances `step` source frames per timeline frame on a timeline of rate `timeline`.
 * Real time is step = C/T; a speed s gives step = s·C/T. Throws a RangeError for a step that is not positive.
 * Timeline frame i shows source frame floor(i·step), as ffmpeg's fps filter does with round=down.
 */
export function cadence(step: Ratio, timeline: Rate): Cadence {
  if (step.numerator <= 0n) throw new RangeError("a cadence needs a positive step");
  const periodFrames = step.denominator;
  const base = {
    step,
    periodFrames,
    periodSeconds: divide(ratio(periodFrames), timeline),
    peakError: ratio((step.numerator < step.denominator ? step.numerator : step.denominator) - 1n, step.numerator),
  };
  const hold = invert(step);
  if (isWhole(step)) {
    const count = Number(step.numerator);
    return {
      ...base,
      kind: count === 1 ? "one for one" : "every nth",
      count,
      counts: skip,
      least: count,
      most: count,
      oddPerSecond: none,
      unevenness: none,
    };
  }
  if (isWhole(hold)) {
    const count = Number(hold.numerator);
    return {
      ...base,
      kind: "held",
      count,
      counts: holds,
      least: count,
      most: count,
      oddPerSecond: none,
      unevenness: none,
    };
  }
  const skipping = compare(step, one) > 0;
  const length = skipping ? step : hold;
  const low = floor(length);
  const fraction = subtract(length, ratio(low));
  const rarer = compare(fraction, half) <= 0 ? fraction : subtract(one, fraction);
  // Skips happen once a timeline frame, holds once a source frame.
  const oddPerSecond = multiply(skipping ? timeline : multiply(timeline, step), rarer);
  const nearest = round(length);
  const near = Math.abs(partsPerMillion(length, ratio(nearest))) <= nearMissPartsPerMillion;
  // A hold of 1.001 is one for one with a repeat now and then: told in steps, as the pattern it is near to.
  const repeats = near && nearest === 1n && !skipping;
  return {
    ...base,
    kind: near ? "near" : skipping ? "uneven skip" : "uneven hold",
    count: Number(near ? nearest : low),
    counts: skipping || (near && nearest === 1n) ? skip : holds,
    least: repeats ? 0 : Number(low),
    most: repeats ? 1 : Number(low + 1n),
    oddPerSecond,
    eventSeconds: invert(oddPerSecond),
    unevenness: skipping ? invert(step) : none,
  };
}

const none = ratio(0n);
const half = ratio(1n, 2n);
const skip = "source frames per timeline frame" as const;
const holds = "timeline frames per source frame" as const;

/** Real-time cadence of a clip captured at `capture` on a timeline of rate `timeline`. */
export const realTimeCadence = (capture: Rate, timeline: Rate): Cadence => cadence(divide(capture, timeline), timeline);

/** Whether every timeline frame gets its picture at even steps, near misses not counted. */
export const isEven = (of: Cadence): boolean =>
  of.kind === "one for one" || of.kind === "every nth" || of.kind === "held";

/** The source frame each of the first `count` timeline frames shows. */
export function shownFrames(step: Ratio, count: number): readonly bigint[] {
  const frames: bigint[] = [];
  for (let frame = 0n; frame < BigInt(count); frame += 1n) {
    frames.push((frame * step.numerator) / step.denominator);
  }
  return frames;
}

/** Steps between timeline frames over one whole period, as a list to be read in a circle; at most `most` of them. */
export function stepList(step: Ratio, most = 4096): readonly number[] {
  const length = Number(step.denominator < BigInt(most) ? step.denominator : BigInt(most));
  const frames = shownFrames(step, length + 1);
  return frames.slice(1).map((frame, place) => Number(frame - (frames[place] as bigint)));
}

/** A speed at which every timeline frame shows the next m-th source frame, or each frame is held k times. */
export interface CleanSpeed {
  readonly speed: Speed;
  /** Source frames per timeline frame; 1 when frames are held. */
  readonly everyNth: number;
  /** Timeline frames per source frame; 1 when none is held. */
  readonly heldFrames: number;
}

/** Clean speeds listed of one clip: 1000 frames/s on a timeline of 1 frame/s has no more. */
export const mostCleanSpeeds = 1000;

/**
 * All clean speeds below real time, fastest last: s = m·T/C for m = 1, 2, 3 … The first is the full conform, the
 * slowest with a new picture in every timeline frame. Speeds within 1500 ppm of real time are retimes, not slow motion.
 * The slowest `mostCleanSpeeds` of them when there are more.
 */
export function cleanSlowSpeeds(capture: Rate, timeline: Rate): readonly CleanSpeed[] {
  const conform = divide(timeline, capture);
  const speeds: CleanSpeed[] = [];
  for (let m = 1; m <= mostCleanSpeeds; m += 1) {
    const speed = multiply(ratio(m), conform);
    if (partsPerMillion(speed, one) >= -nearMissPartsPerMillion) break;
    speeds.push({ speed, everyNth: m, heldFrames: 1 });
  }
  return speeds;
}

/** Speeds slower than the full conform at which each frame is held k times, k from 2 to `most`. */
export function heldSlowSpeeds(capture: Rate, timeline: Rate, most = 4): readonly CleanSpeed[] {
  const conform = divide(timeline, capture);
  const speeds: CleanSpeed[] = [];
  for (let k = 2; k <= most; k += 1) {
    const speed = divide(conform, ratio(k));
    if (partsPerMillion(speed, one) < -nearMissPartsPerMillion) speeds.push({ speed, everyNth: 1, heldFrames: k });
  }
  return speeds;
}

/** The clean speed nearest to the one asked for, among skipping and held speeds and, if clean, real time. */
export function nearestCleanSpeed(capture: Rate, timeline: Rate, wanted: Speed): CleanSpeed | undefined {
  const candidates: CleanSpeed[] = [...cleanSlowSpeeds(capture, timeline), ...heldSlowSpeeds(capture, timeline, 8)];
  const real = divide(capture, timeline);
  if (isWhole(real) || isWhole(invert(real))) {
    candidates.push({ speed: one, everyNth: Number(real.numerator), heldFrames: Number(real.denominator) });
  }
  let best: CleanSpeed | undefined;
  for (const candidate of candidates) {
    if (
      best === undefined ||
      compare(absolute(subtract(candidate.speed, wanted)), absolute(subtract(best.speed, wanted))) < 0
    ) {
      best = candidate;
    }
  }
  return best;
}

/**
 * The speed nearest to real time, within `within` (a share, 1/20 is 5 %), at which the clip has an even cadence:
 * s = m·T/C or s = T/(k·C). Undefined when there is none.
 */
export function nearRealTimeSpeed(capture: Rate, timeline: Rate, within: Ratio = ratio(1n, 20n)): Speed | undefined {
  const step = divide(capture, timeline);
  let best: Speed | undefined;
  const consider = (target: Ratio): void => {
    const speed = divide(target, step);
    if (compare(absolute(subtract(speed, one)), within) > 0) return;
    if (best === undefined || compare(absolute(subtract(speed, one)), absolute(subtract(best, one))) < 0) best = speed;
  };
  if (compare(step, one) >= 0) {
    consider(ratio(floor(step)));
    consider(ratio(floor(step) + 1n));
  } else {
    const hold = invert(step);
    consider(invert(ratio(floor(hold))));
    consider(invert(ratio(floor(hold) + 1n)));
  }
  return best;
}

/** The speed at which a timeline of rate T shows every m-th frame of a clip of rate C: m·T/C; m = 1 is the conform. */
export const conformSpeed = (capture: Rate, timeline: Rate, everyNth = 1): Speed =>
  divide(multiply(ratio(everyNth), timeline), capture);

/** Time after which two rates laid side by side are one frame apart: 1/|a − b|; undefined when they are the same. */
export const slipSeconds = (a: Rate, b: Rate): Seconds | undefined =>
  equal(a, b) ? undefined : invert(absolute(subtract(a, b)));

/** Seconds of timeline a clip of `frames` frames fills when `everyNth` source frames pass per timeline frame. */
export const runningSeconds = (frames: number, everyNth: Ratio, timeline: Rate): Seconds =>
  divide(ratio(frames), multiply(everyNth, timeline));

/** Pitch change in cents of sound played at a speed: 1200·log2(speed). */
export const pitchCents = (speed: Ratio): number => 1200 * Math.log2(toNumber(speed));

/** Two rates that are the same. */
export const sameRate = (a: Rate, b: Rate): boolean => equal(a, b);
