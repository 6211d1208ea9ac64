import { divide, fromNumber, type Rate, standardRates, toNumber } from "@goodgate/model";

/** Stretch of film a clock must span before it proves anything, in microseconds. */
const leastSpan = 2_000_000;
/** A difference between clock and film below this share is drift, not slow motion (common practice, no source). */
const leastDifference = 0.02;
/** A clock proves real time only when its own coarseness leaves less than this open: 25 against 30 is 20 %. */
const mostOpenForRealTime = 0.1;
/** A measured capture rate counts as a standard rate within this share (common practice, no source). */
const snapShare = 0.01;

/** What the clock in the records says of the speed of the film. */
export interface ClockVerdict {
  /** `real time`, `slow` or `fast` film, or `unproven` when the clock is too coarse or the clip too short. */
  readonly film: "real time" | "slow" | "fast" | "unproven";
  /** Clock seconds per second of film. */
  readonly ratio?: number;
  /** Capture rate, when the film rate is known and the measurement is fine enough for a standard rate. */
  readonly captureRate?: Rate;
}

/** Moments there is room for at first. */
const firstRoom = 256;

/** Collects the moments at which the clock changed. */
export interface ClockPoints {
  /** Takes what the clock says at moments of the film: pairs of both, in microseconds. Counts no records. */
  add(moments: Float64Array): void;
  /** Counts records that have a clock. */
  repeat(records: number): void;
  /** `spanMicroseconds` is the film from the first record to the end of the last. */
  verdict(stepMicroseconds: number, spanMicroseconds: number, frameRate: Rate | undefined): ClockVerdict;
}

/** An empty collection. */
export function clockPoints(): ClockPoints {
  let moments = new Float64Array(2 * firstRoom);
  let count = 0;
  let records = 0;
  return {
    add(more) {
      // A clock that stands still has not moved.
      const added = count > 0 && moments[2 * count - 1] === more[1] ? more.subarray(2) : more;
      if (2 * count + added.length > moments.length) {
        const longer = new Float64Array(2 * (2 * count + added.length));
        longer.set(moments);
        moments = longer;
      }
      moments.set(added, 2 * count);
      count += added.length / 2;
    },
    repeat(more) {
      records += more;
    },
    verdict(stepMicroseconds, spanMicroseconds, frameRate) {
      // A clock that stands still for several records is known best where it moves: its first value has no such moment.
      const everyRecord = count >= records * 0.9;
      const skipped = everyRecord ? 0 : 1;
      const ratio = trimmedSlope(moments.subarray(2 * skipped, 2 * count));
      if (ratio === undefined || ratio <= 0 || spanMicroseconds < leastSpan) return { film: "unproven" };
      const open = Math.max(leastDifference, (1.5 * stepMicroseconds) / spanMicroseconds);
      if (Math.abs(ratio - 1) <= open) {
        if (open > mostOpenForRealTime) return { film: "unproven", ratio };
        return { film: "real time", ratio, ...(frameRate === undefined ? {} : { captureRate: frameRate }) };
      }
      const verdict = { film: ratio < 1 ? "slow" : "fast", ratio } as const;
      if (frameRate === undefined) return verdict;
      const measured = (moments[2 * count - 2] as number) - (moments[2 * skipped] as number);
      const spacing = spanMicroseconds / Math.max(1, records);
      const coarseness = everyRecord ? stepMicroseconds / ratio : spacing;
      if (coarseness / measured > snapShare) return verdict;
      const captureRate = standardRateNear(toNumber(frameRate) / ratio, frameRate);
      return captureRate === undefined ? verdict : { ...verdict, captureRate };
    },
  };
}

/**
 * Mean slope between points half the list apart, the outer quarters left out; undefined with fewer than three points. A
 * point is two numbers: film and clock.
 */
function trimmedSlope(points: Float64Array): number | undefined {
  const count = points.length / 2;
  if (count < 3) return undefined;
  const apart = count >> 1;
  const slopes = new Float64Array(count - apart);
  let found = 0;
  for (let from = 0, to = 2 * apart; to < points.length; from += 2, to += 2) {
    const passed = (points[to] as number) - (points[from] as number);
    if (passed <= 0) continue;
    slopes[found] = ((points[to + 1] as number) - (points[from + 1] as number)) / passed;
    found += 1;
  }
  if (found === 0) return undefined;
  const sorted = slopes.subarray(0, found).sort();
  const cut = Math.floor(found / 4);
  let sum = 0;
  for (let place = cut; place < found - cut; place += 1) sum += sorted[place] as number;
  return sum / (found - 2 * cut);
}

/** The standard rate within one per cent, of the same 1000/1001 family as the film's rate where there are two. */
function standardRateNear(captureRate: number, frameRate: Rate): Rate | undefined {
  const stated = fromNumber(captureRate);
  if (stated === undefined || stated.numerator <= 0n) return undefined;
  const near = standardRates.filter((rate) => Math.abs(toNumber(divide(rate, stated)) - 1) <= snapShare);
  return near.find((rate) => pulled(rate) === pulled(frameRate)) ?? near[0];
}

const pulled = (rate: Rate): boolean => rate.denominator === 1001n;
