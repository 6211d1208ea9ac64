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

/** Collects the moments at which the clock changed. */
export interface ClockPoints {
  add(filmMicroseconds: number, clockMicroseconds: number): void;
  /** `spanMicroseconds` is the film from the first record to the end of the last. */
  verdict(stepMicroseconds: number, spanMicroseconds: number, frameRate: Rate | undefined): ClockVerdict;
}

/** An empty collection. */
export function clockPoints(): ClockPoints {
  const film: number[] = [];
  const clock: number[] = [];
  let records = 0;
  return {
    add(filmMicroseconds, clockMicroseconds) {
      records += 1;
      if (clock.length > 0 && clock[clock.length - 1] === clockMicroseconds) return;
      film.push(filmMicroseconds);
      clock.push(clockMicroseconds);
    },
    verdict(stepMicroseconds, spanMicroseconds, frameRate) {
      // A clock that stands still for several records is known best where it moves: its first value has no such moment.
      const everyRecord = film.length >= records * 0.9;
      const skipped = everyRecord ? 0 : 1;
      const ratio = trimmedSlope(film, clock, skipped);
      if (ratio === undefined || ratio <= 0 || spanMicroseconds < leastSpan) return { film: "unproven" };
      const open = Math.max(leastDifference, (1.5 * stepMicroseconds) / spanMicroseconds);
      if (Math.abs(ratio - 1) <= open) {
        if (open > mostOpenForRealTime) return { film: "unproven", ratio };
        return { film: "real time", ratio, ...(frameRate === undefined ? {} : { captureRate: frameRate }) };
      }
      const verdict = { film: ratio < 1 ? "slow" : "fast", ratio } as const;
      if (frameRate === undefined) return verdict;
      const measured = (film[film.length - 1] as number) - (film[skipped] as number);
      const spacing = spanMicroseconds / Math.max(1, records);
      const coarseness = everyRecord ? stepMicroseconds / ratio : spacing;
      if (coarseness / measured > snapShare) return verdict;
      const captureRate = standardRateNear(toNumber(frameRate) / ratio, frameRate);
      return captureRate === undefined ? verdict : { ...verdict, captureRate };
    },
  };
}

/** Mean slope between points half the list apart, the outer quarters left out; undefined with fewer than three points. */
function trimmedSlope(film: readonly number[], clock: readonly number[], from: number): number | undefined {
  const count = film.length - from;
  if (count < 3) return undefined;
  const apart = count >> 1;
  const slopes = new Float64Array(count - apart);
  let found = 0;
  for (let place = from; place + apart < film.length; place += 1) {
    const passed = (film[place + apart] as number) - (film[place] as number);
    if (passed <= 0) continue;
    slopes[found] = ((clock[place + apart] as number) - (clock[place] as number)) / passed;
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
