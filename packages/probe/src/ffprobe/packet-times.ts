import {
  compare,
  distance,
  divide,
  equal,
  type Rate,
  type Ratio,
  rate,
  ratio,
  standardRates,
  type Timing,
} from "@goodgate/model";
import { timingOf } from "../containers/isobmff/timing.ts";

/** Regularity and rate of a list of presentation times. */
export interface MeasuredTimes {
  readonly timing: Timing;
  /**
   * The rate of the times: of the commonest interval when they vary; undefined when they fit several standard rates
   * within the rounding of their clock.
   */
  readonly rate?: Rate;
  /** The standard rates the times fit, nearest first. */
  readonly candidates: readonly Rate[];
  readonly spanSeconds: Ratio;
}

/**
 * Judges presentation times given in whole ticks of 1/`timescale` s, in any order. Undefined for fewer than three times.
 * Matroska counts in milliseconds, so intervals of 33 and 34 are one constant rate; on such a clock a second of film
 * cannot tell 30 from 30000/1001, and then both are candidates and neither is the rate.
 */
export function measureTimes(times: readonly number[], timescale: number): MeasuredTimes | undefined {
  if (times.length < 3 || !Number.isSafeInteger(timescale) || timescale <= 0) return undefined;
  const sorted = Float64Array.from(times).sort();
  const span = (sorted[sorted.length - 1] as number) - (sorted[0] as number);
  if (span <= 0) return undefined;
  const gaps = sorted.subarray(1).map((time, place) => time - (sorted[place] as number));
  const ones = new Float64Array(gaps.length).fill(1);
  const judged = timingOf({
    timescale,
    visit: (each) => each(gaps, ones, gaps.length),
  });
  if (judged === undefined) return undefined;
  const { timing, frameRate } = judged;
  const found = { timing, spanSeconds: ratio(span, timescale) };
  if (frameRate === undefined || timing.kind === "variable") {
    return { ...found, candidates: [], ...(frameRate === undefined ? {} : { rate: frameRate }) };
  }
  // A clock that counts frames, or one that the interval divides without rest, leaves nothing to guess.
  const clock = timing.timescale;
  const exact = rate(clock, timing.medianTicks);
  if (timing.kind !== "rounded" && standardRates.some((candidate) => equal(candidate, exact))) {
    return { ...found, rate: exact, candidates: [exact] };
  }
  const intervals = sorted.length - 1 + timing.lostFrames;
  const missBy = (candidate: Rate): Ratio =>
    distance(
      ratio(BigInt(span) * BigInt(clock), BigInt(timescale)),
      divide(ratio(BigInt(intervals) * BigInt(clock)), candidate),
    );
  const candidates = standardRates
    .filter((candidate) => compare(missBy(candidate), ratio(1n)) <= 0)
    .sort((a, b) => compare(missBy(a), missBy(b)));
  return candidates.length > 1 ? { ...found, candidates } : { ...found, rate: frameRate, candidates: [frameRate] };
}
