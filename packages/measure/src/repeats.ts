import { type ConversionLook, joined } from "./conversion.ts";
import { cannotTell, type Measured, type MeasuredRepeats } from "./measurement.ts";
import { countMixes, type MixCounts, type MixRun } from "./mixes.ts";
import { median } from "./numbers.ts";

/** Difference from the frame before, as a share of that of frames around, below which a frame is a repeat. */
export const repeatShare = 0.12;
/** Frames on either side that are compared with. */
const reach = 10;
/** Difference in 8 bit codes that frames around must have: below it noise and coding are all that changes. */
const leastDifference = 0.8;
/** Longest run of repeats: 24 in 120 has four; longer ones are frozen pictures. */
const longestRun = 7;
/** A real frame beside a repeat differs at least by this share of the frames around: slow starts and stops do not. */
const besideShare = 0.5;
/** A jump is this many times the motion around it, and no more than dropping a handful of frames gives. */
const jump = { least: 1.7, most: 6.5 } as const;
/** Frames of which it has to be known whether they are mixes, and share of those in doubt against them. */
const leastMixJudged = 8;
const mostDoubtful = 0.05;
/** From this share on mixes are there, whatever else is. */
export const leastMixedShare = 0.05;
/** Places kept. */
const mostPlaces = 64;
/** Rates that cameras capture at, for naming the true rate. */
const standardRates = [12, 15, 24000 / 1001, 24, 25, 30000 / 1001, 30, 48, 50, 60000 / 1001, 60, 100, 120] as const;

/** One run of frames without gaps. */
export interface FrameRun extends MixRun {
  readonly fromSeconds: number;
  /** Difference of each frame from the one before, in 8 bit codes; the first is NaN. */
  readonly differences: Float64Array;
}

/** What was counted in runs of frames. */
export interface RepeatCounts {
  readonly judged: number;
  readonly repeated: number;
  /** Lengths of time between new frames, in frames, and how often each came; up to `longestRun + 1`. */
  readonly intervals: readonly number[];
  readonly repeatedAtSeconds: readonly number[];
  readonly droppedAtSeconds: readonly number[];
  readonly mixes: MixCounts;
}

/** Counts repeats, jumps and mixes in one run. */
export function countRepeats(run: FrameRun, framesPerSecond: number): RepeatCounts {
  const { differences } = run;
  const frames = differences.length;
  const low = new Uint8Array(frames);
  const judgeable = new Uint8Array(frames);
  for (let k = 1; k < frames; k += 1) {
    const around = highest(differences, k);
    if (around < leastDifference) continue;
    judgeable[k] = 1;
    if ((differences[k] ?? 0) < repeatShare * around) low[k] = 1;
  }
  const intervals = Array.from({ length: longestRun + 2 }, () => 0);
  const repeatedAt: number[] = [];
  let repeated = 0;
  let sinceNew = 0;
  for (let k = 1; k < frames; k += 1) {
    if (low[k] === 1) {
      let end = k;
      while (end + 1 < frames && low[end + 1] === 1) end += 1;
      const around = besideShare * highest(differences, k);
      const bounded = (differences[k - 1] ?? 0) >= around && (differences[end + 1] ?? 0) >= around;
      const length = end - k + 1;
      // At the ends of a run the frames beyond are not known: such repeats are left out.
      if (bounded && length <= longestRun) {
        repeated += length;
        for (let j = k; j <= end; j += 1) repeatedAt.push(run.fromSeconds + j / framesPerSecond);
        sinceNew += length;
      } else sinceNew = 0;
      k = end;
      continue;
    }
    if (sinceNew > 0 && sinceNew < intervals.length) intervals[sinceNew] = (intervals[sinceNew] ?? 0) + 1;
    sinceNew = judgeable[k] === 1 ? 1 : 0;
  }
  const steps = run.across.map((x, k) => Math.hypot(x, run.down[k] ?? Number.NaN));
  // Where little changes, noise and coding are all that lies between neighbours.
  const mixes = run.mixes.map((mix, k) => (judgeable[k] === 1 ? mix : undefined));
  return {
    judged: judgeable.reduce((sum, one) => sum + one, 0),
    repeated,
    intervals,
    repeatedAtSeconds: repeatedAt.slice(0, mostPlaces),
    droppedAtSeconds: jumps(steps, low).map((k) => run.fromSeconds + k / framesPerSecond),
    mixes: countMixes({ ...run, mixes }),
  };
}

/** Joins the counts of all runs, and what each shows of a conversion by mixing, to an answer. */
export function repeatsOf(
  counts: readonly RepeatCounts[],
  framesPerSecond: number,
  conversions: readonly ConversionLook[],
): Measured<MeasuredRepeats> {
  const judged = counts.reduce((sum, run) => sum + run.judged, 0);
  if (judged < 12) return cannotTell("the picture is too still: a repeated frame would look like any other");
  const repeated = counts.reduce((sum, run) => sum + run.repeated, 0);
  const intervals = Array.from({ length: longestRun + 2 }, () => 0);
  for (const run of counts) run.intervals.forEach((n, i) => (intervals[i] = (intervals[i] ?? 0) + n));
  const repeatedShare = repeated / judged;
  const mixed = mixedOf(
    counts.map((run) => run.mixes),
    joined(conversions),
    framesPerSecond,
  );
  const common = {
    repeatedShare,
    repeatedAtSeconds: counts.flatMap((run) => run.repeatedAtSeconds).slice(0, mostPlaces),
    droppedAtSeconds: counts.flatMap((run) => run.droppedAtSeconds).slice(0, mostPlaces),
    ...mixed,
  };
  if (repeated === 0) return { state: "read", pattern: "none", ...common };
  const mean = meanInterval(intervals);
  const even = mean !== undefined && isEven(intervals, mean);
  if (!even || repeated < 4) return { state: "read", pattern: "single", ...common };
  return { state: "read", pattern: "regular", ...common, trueFramesPerSecond: nearStandard(framesPerSecond / mean) };
}

/**
 * Share of mixes, with the rate they were mixed from; nothing when it is not known. No mixes of neighbours are not yet
 * none at all: most conversions mix others, and have to be ruled out by what they show.
 */
function mixedOf(
  counts: readonly MixCounts[],
  conversion: ConversionLook,
  framesPerSecond: number,
): Pick<MeasuredRepeats, "blendedShare" | "mixedFromFramesPerSecond"> {
  const [judged, mixed, doubtful] = (["judged", "mixed", "doubtful"] as const).map((of) =>
    counts.reduce((sum, run) => sum + run[of], 0),
  ) as [number, number, number];
  // Frames beside mixes are unlike those further off; without mixes nothing excuses them.
  const excused = Math.max(mostDoubtful * judged, 2 * mixed);
  const share = judged < leastMixJudged || doubtful > excused ? undefined : mixed / judged;
  if (conversion.state === "found") {
    const { fromFramesPerSecond, mixedShare } = conversion;
    return { blendedShare: mixedShare, mixedFromFramesPerSecond: nearStandard(fromFramesPerSecond) };
  }
  if (share === undefined || (share < leastMixedShare && conversion.state !== "none")) return {};
  const everySecond = Math.abs(share - 0.5) <= 0.06;
  return everySecond
    ? { blendedShare: share, mixedFromFramesPerSecond: nearStandard(framesPerSecond / 2) }
    : { blendedShare: share };
}

/** Mean number of frames that show one picture. */
function meanInterval(intervals: readonly number[]): number | undefined {
  const count = intervals.reduce((sum, n) => sum + n, 0);
  return count < 4 ? undefined : intervals.reduce((sum, n, length) => sum + n * length, 0) / count;
}

/** A lower rate spread evenly holds each picture for floor or ceil of the mean; nothing else, but for a few slips. */
function isEven(intervals: readonly number[], mean: number): boolean {
  const count = intervals.reduce((sum, n) => sum + n, 0);
  const fitting = intervals.reduce((sum, n, length) => sum + (Math.abs(length - mean) < 1 ? n : 0), 0);
  return fitting / count >= 0.97 && mean > 1.08;
}

function nearStandard(rate: number): number {
  const near = standardRates.reduce((a, b) => (Math.abs(b - rate) < Math.abs(a - rate) ? b : a));
  return Math.abs(near - rate) / rate <= 0.015 ? near : rate;
}

/** The second largest difference around a frame: one cut of the scene must not make all others look like repeats. */
function highest(differences: Float64Array, k: number): number {
  let [first, second] = [0, 0];
  for (let j = Math.max(1, k - reach); j <= Math.min(differences.length - 1, k + reach); j += 1) {
    const d = differences[j] ?? 0;
    if (d > first) [first, second] = [d, first];
    else if (d > second) second = d;
  }
  return second;
}

/** Frames that moved twice as far as those around, or more, amid even motion. */
function jumps(steps: Float64Array, low: Uint8Array): readonly number[] {
  const found: number[] = [];
  for (let k = 3; k + 3 < steps.length && found.length < mostPlaces; k += 1) {
    const step = steps[k] ?? Number.NaN;
    const beside = [-3, -2, -1, 1, 2, 3].map((off) => steps[k + off] ?? Number.NaN);
    if (
      !Number.isFinite(step) ||
      beside.some((s) => !Number.isFinite(s)) ||
      [-1, 0, 1].some((off) => low[k + off] === 1)
    )
      continue;
    const usual = median(beside);
    const uneven = Math.max(...beside) - Math.min(...beside);
    if (usual < 0.5 || uneven > 0.3 * usual) continue;
    if (step >= jump.least * usual && step <= jump.most * usual) found.push(k);
  }
  return found;
}
