import { type Rate, rate, standardRates, type Timing, toNumber } from "@goodgate/model";
import { clockStep, inSteps } from "./clock-step.ts";

/** Runs of equal intervals, handed over by the hundred: `ticks[i]` long, `counts[i]` of them, for i below `length`. */
export type RunBatch = (ticks: Float64Array, counts: Float64Array, length: number) => void;

/** The intervals between shown pictures in time order, as runs; the time the last picture lasts is not among them. */
export interface IntervalRuns {
  readonly timescale: number;
  /** Calls `each` with all runs in order; the arrays are only good until it returns. Can be called again. */
  visit(each: RunBatch): void;
}

/** Kinds of interval that are told apart; a file with more is variable whatever the rest says. */
const mostKinds = 65_536;
/** Kinds listed in the report. */
const listedKinds = 32;
/** Slips listed with their place. */
const listedSlips = 256;
/**
 * Largest share of intervals that may be slips. Above it single frames are not missing from a constant clip: the clip
 * is variable. House limit; the rule that grades lost frames is stricter.
 */
const mostSlipShare = 0.1;
/** A rate is that of the standard when the total length differs by no more than this share (telling 30 from 29.97). */
const snapShare = 2e-4;
/** A clip so short in ticks that one tick is a larger share than this cannot be snapped by ticks. */
const tickShare = 0.02;

const candidates = standardRates.map((standard) => ({ standard, perSecond: toNumber(standard) }));

/**
 * The frame rate of `intervals` intervals that last `ticks` in all: the standard rate whose total is nearest, if it is
 * within one tick or 200 parts per million of the total, else the exact quotient.
 */
export function rateOf(ticks: number, intervals: number, timescale: number): Rate {
  let best = candidates[0];
  let error = Infinity;
  for (const candidate of candidates) {
    const off = Math.abs(ticks - (intervals * timescale) / candidate.perSecond);
    if (off < error) {
      error = off;
      best = candidate;
    }
  }
  const near = error <= snapShare * ticks || (error <= 1 && tickShare * ticks >= 1);
  return best !== undefined && near ? best.standard : rate(intervals * timescale, ticks);
}

/** Interval lengths added up, each kind with its count. */
interface Tally {
  readonly intervals: number;
  readonly ticks: number;
  readonly least: number;
  readonly most: number;
  /** Length and count, shortest first. */
  readonly kinds: readonly (readonly [number, number])[];
}

function tallyOf(runs: IntervalRuns): Tally {
  const counted = new Map<number, number>();
  let beyondCount = 0;
  let beyondTicks = 0;
  let least = Infinity;
  let most = -Infinity;
  // A clip on a coarse clock alternates between two lengths: these two are counted without asking the map.
  let one = Number.NaN;
  let ones = 0;
  let two = Number.NaN;
  let twos = 0;
  const file = (ticks: number, count: number): void => {
    if (count === 0) return;
    const known = counted.get(ticks);
    if (known === undefined && counted.size >= mostKinds) {
      beyondCount += count;
      beyondTicks += count * ticks;
      return;
    }
    counted.set(ticks, (known ?? 0) + count);
  };
  runs.visit((batchTicks, batchCounts, length) => {
    for (let at = 0; at < length; at += 1) {
      const ticks = batchTicks[at] as number;
      const count = batchCounts[at] as number;
      if (ticks === one) ones += count;
      else if (ticks === two) twos += count;
      else {
        file(two, twos);
        two = one;
        twos = ones;
        one = ticks;
        ones = count;
        if (ticks < least) least = ticks;
        if (ticks > most) most = ticks;
      }
    }
  });
  file(one, ones);
  file(two, twos);
  const kinds = [...counted].sort((a, b) => a[0] - b[0]);
  const intervals = kinds.reduce((sum, [, count]) => sum + count, beyondCount);
  const ticks = kinds.reduce((sum, [kind, count]) => sum + kind * count, beyondTicks);
  return { intervals, ticks, least, most, kinds };
}

/**
 * How regular the pictures come and the rate that follows from it; undefined when there are no two pictures. A clip
 * whose intervals differ by one tick is constant on a coarse clock; one with holes of whole frames has its nominal rate.
 */
export function timingOf(runs: IntervalRuns): { readonly timing: Timing; readonly frameRate?: Rate } | undefined {
  const tally = tallyOf(runs);
  if (tally.intervals === 0) return undefined;
  const known = tally.kinds.length < mostKinds;
  const step = known ? clockStep(tally.kinds, medianOf(tally.kinds, tally.intervals), runs.timescale) : 1;
  const stepped = step > 1 ? judge(inSteps(runs, step), tallyInSteps(tally, step)) : undefined;
  return stepped !== undefined && stepped.timing.kind !== "variable" ? stepped : judge(runs, tally);
}

const tallyInSteps = (tally: Tally, step: number): Tally => ({
  intervals: tally.intervals,
  ticks: tally.ticks / step,
  least: tally.least / step,
  most: tally.most / step,
  kinds: tally.kinds.map(([ticks, count]) => [ticks / step, count]),
});

function judge(runs: IntervalRuns, tally: Tally): { readonly timing: Timing; readonly frameRate?: Rate } {
  const { timescale } = runs;
  const sorted = tally.kinds;
  const median = medianOf(sorted, tally.intervals);
  const base = {
    timescale,
    medianTicks: median,
    leastTicks: tally.least,
    mostTicks: tally.most,
    histogram: sorted
      .map(([ticks, count]) => ({ ticks, count }))
      .sort((a, b) => b.count - a.count || a.ticks - b.ticks)
      .slice(0, listedKinds),
    slips: [],
    lostFrames: 0,
    offShare: offShareOf(sorted, median, tally.intervals),
  };
  if (median <= 0) return { timing: { ...base, kind: "variable" } };
  const even = tally.least === tally.most;
  if (even || (tally.most - median <= 1 && median - tally.least <= 1 && keepsPace(runs, median, tally, 0))) {
    const kind = even ? "constant" : "rounded";
    return { timing: { ...base, kind }, frameRate: rateOf(tally.ticks, tally.intervals, timescale) };
  }
  return withHoles(runs, tally, sorted, median, base);
}

/** The lower median of a sorted list of counted lengths. */
function medianOf(sorted: readonly (readonly [number, number])[], intervals: number): number {
  let left = Math.ceil(intervals / 2);
  for (const [ticks, count] of sorted) {
    left -= count;
    if (left <= 0) return ticks;
  }
  return sorted[sorted.length - 1]?.[0] ?? 0;
}

function offShareOf(sorted: readonly (readonly [number, number])[], median: number, intervals: number): number {
  let off = 0;
  let seen = 0;
  for (const [ticks, count] of sorted) {
    const distance = Math.abs(ticks - median);
    seen += count;
    if (distance > 1 && distance > 0.05 * median) off += count;
  }
  // Kinds past the bound were not kept: nothing is known of them, so they are counted as off.
  return (off + intervals - seen) / intervals;
}

/** How many whole frames an interval lasts when it is a hole; 0 when it is neither a frame nor a hole. */
function framesIn(ticks: number, median: number): number {
  if (Math.abs(ticks - median) <= 1) return 1;
  const frames = Math.round(ticks / median);
  // The median itself is rounded by up to half a tick, which adds up over the hole.
  return frames >= 2 && Math.abs(ticks - frames * median) <= Math.max(0.1 * median, 1 + frames / 2) ? frames : 0;
}

/** From this many ticks a frame on, one tick is half a percent and its rounding says nothing of the pace. */
const fineTicks = 200;

/**
 * Whether pictures stay within half a frame of the times an even rate gives them, lost frames counted. Where a tick is
 * a good part of a frame, intervals one tick apart may be the rounding of one rate or two different rates.
 */
function keepsPace(runs: IntervalRuns, median: number, tally: Tally, lostFrames: number): boolean {
  if (median >= fineTicks) return true;
  const perFrame = tally.ticks / (tally.intervals + lostFrames);
  let ahead = 0;
  let least = 0;
  let most = 0;
  runs.visit((batchTicks, batchCounts, length) => {
    for (let at = 0; at < length; at += 1) {
      const ticks = batchTicks[at] as number;
      ahead += (batchCounts[at] as number) * (ticks - framesIn(ticks, median) * perFrame);
      if (ahead < least) least = ahead;
      if (ahead > most) most = ahead;
    }
  });
  // Two ticks are what rounding both ends of an interval can add up to.
  return most - least <= Math.max(2, median / 2);
}

function withHoles(
  runs: IntervalRuns,
  tally: Tally,
  sorted: readonly (readonly [number, number])[],
  median: number,
  base: Omit<Timing, "kind">,
): { readonly timing: Timing; readonly frameRate: Rate } {
  const { timescale } = runs;
  let holes = 0;
  let lostFrames = 0;
  let whole = tally.kinds.length < mostKinds;
  for (const [ticks, count] of sorted) {
    const frames = framesIn(ticks, median);
    if (frames === 0) whole = false;
    else if (frames > 1) {
      holes += count;
      lostFrames += (frames - 1) * count;
    }
  }
  const few = holes > 0 && holes <= Math.max(1, mostSlipShare * tally.intervals);
  if (!whole || !few || !keepsPace(runs, median, tally, lostFrames)) {
    return { timing: { ...base, kind: "variable" }, frameRate: modeRate(sorted, timescale) };
  }
  const slips: { frame: number; seconds: number; ticks: number; lost: number }[] = [];
  let frame = 0;
  let at = 0;
  runs.visit((batchTicks, batchCounts, length) => {
    for (let run = 0; run < length; run += 1) {
      const ticks = batchTicks[run] as number;
      const count = batchCounts[run] as number;
      const frames = framesIn(ticks, median);
      const listed = frames > 1 ? Math.min(count, listedSlips - slips.length) : 0;
      for (let place = 0; place < listed; place += 1) {
        slips.push({ frame: frame + place, seconds: (at + place * ticks) / timescale, ticks, lost: frames - 1 });
      }
      frame += count;
      at += count * ticks;
    }
  });
  const frameRate = rateOf(tally.ticks, tally.intervals + lostFrames, timescale);
  return { timing: { ...base, kind: "slips", slips, lostFrames }, frameRate };
}

/**
 * The rate of the most frequent interval. Those one tick beside it are taken with it where a tick is a small part, or
 * where both together make a standard rate, as the rounding of one does on a coarse clock.
 */
function modeRate(sorted: readonly (readonly [number, number])[], timescale: number): Rate {
  let mode = 0;
  let most = 0;
  for (const [ticks, count] of sorted) {
    if (ticks > 0 && count > most) {
      most = count;
      mode = ticks;
    }
  }
  let intervals = 0;
  let ticksInAll = 0;
  for (const [ticks, count] of sorted) {
    if (ticks > 0 && Math.abs(ticks - mode) <= 1) {
      intervals += count;
      ticksInAll += ticks * count;
    }
  }
  const together = rateOf(ticksInAll, intervals, timescale);
  return mode >= 20 || standardRates.includes(together) ? together : rateOf(mode * most, most, timescale);
}
