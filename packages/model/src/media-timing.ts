import type { EditEntry } from "./facts.ts";
import type { Rate, Seconds } from "./quantities.ts";
import { add, compare, divide, multiply, type Ratio, ratio, zero } from "./ratio.ts";

/** One run of a time-to-sample table: `count` samples of `delta` ticks each (ISO/IEC 14496-12, box stts). */
export interface SampleRun {
  readonly count: number;
  readonly delta: number;
}

/** Samples and ticks of a time-to-sample table. */
export function tableSums(runs: readonly SampleRun[]): { readonly samples: bigint; readonly ticks: bigint } {
  let samples = 0n;
  let ticks = 0n;
  for (const { count, delta } of runs) {
    samples += BigInt(count);
    ticks += BigInt(count) * BigInt(delta);
  }
  return { samples, ticks };
}

/** Average rate of a table: samples · timescale / ticks. Undefined when the table holds no time. */
export function averageRate(runs: readonly SampleRun[], timescale: number): Rate | undefined {
  const { samples, ticks } = tableSums(runs);
  return samples > 0n && ticks > 0n ? ratio(samples * BigInt(timescale), ticks) : undefined;
}

/** Time of a table: ticks / timescale. Throws a RangeError on a timescale of zero: readers call that damage first. */
export const tableSeconds = (runs: readonly SampleRun[], timescale: number): Seconds =>
  ratio(tableSums(runs).ticks, timescale);

/** Decode times of the first `most` samples, in ticks: DT(n+1) = DT(n) + delta(n). */
export function decodeTimes(runs: readonly SampleRun[], most: number): readonly bigint[] {
  const times: bigint[] = [];
  let at = 0n;
  for (const { count, delta } of runs) {
    for (let sample = 0; sample < count; sample += 1) {
      if (times.length >= most) return times;
      times.push(at);
      at += BigInt(delta);
    }
  }
  return times;
}

/**
 * Whether every interval is less than one tick from the mean: then the table is of constant rate, rounded to its clock.
 * The last interval is left out when `lastMayDiffer`, because writers round the end of the track up.
 */
export function isConstantWithinOneTick(runs: readonly SampleRun[], lastMayDiffer = true): boolean {
  const used = runs.filter((run) => run.count > 0);
  const last = used[used.length - 1];
  if (last === undefined) return false;
  const judged = lastMayDiffer && tableSums(used).samples > 1n ? [...used.slice(0, -1), lessOne(last)] : used;
  const { samples, ticks } = tableSums(judged);
  const mean = ratio(ticks, samples);
  return judged.every(
    ({ count, delta }) =>
      count === 0 ||
      (compare(ratio(delta), add(mean, ratio(1n))) < 0 && compare(add(ratio(delta), ratio(1n)), mean) > 0),
  );
}

const lessOne = ({ count, delta }: SampleRun): SampleRun => ({ count: count - 1, delta });

/** Frames missing in an interval of `ticks` when a frame lasts `frameTicks`: whole frames beyond the first, rounded. */
export const framesMissing = (ticks: number, frameTicks: number): number =>
  Math.max(0, Math.round(ticks / frameTicks) - 1);

/** Ticks of a clock in one frame; not whole for 24000/1001 on 90 000 Hz. */
export const ticksPerFrame = (clockHertz: number, at: Rate): Ratio => divide(ratio(clockHertz), at);

/** Start, head trim and length of the shown picture that an edit list gives. */
export interface EditSummary {
  /** Time of the empty edits before the first picture. */
  readonly startSeconds: Seconds;
  /** Media time of the first picture shown: what is trimmed from the head. */
  readonly trimmedSeconds: Seconds;
  /** Time of the whole track on the movie's clock, empty edits included. */
  readonly trackSeconds: Seconds;
}

/** Sums up an edit list; an entry without media time is empty and shows nothing (ISO/IEC 14496-12, 8.6.6). */
export function editSummary(edits: readonly EditEntry[]): EditSummary {
  let startSeconds: Seconds = zero;
  let trackSeconds: Seconds = zero;
  let trimmedSeconds: Seconds | undefined;
  for (const { durationSeconds, mediaSeconds } of edits) {
    trackSeconds = add(trackSeconds, durationSeconds);
    if (mediaSeconds !== undefined) trimmedSeconds ??= mediaSeconds;
    else if (trimmedSeconds === undefined) startSeconds = add(startSeconds, durationSeconds);
  }
  return { startSeconds, trimmedSeconds: trimmedSeconds ?? zero, trackSeconds };
}

/** A 16.16 fixed-point number of a box as an exact fraction; 0x00010000 is one. */
export const fixedPoint16 = (value: number): Ratio => ratio(value, 65536);

/** Sound samples in `frames` frames: sample rate · frames / rate. */
export const samplesInFrames = (sampleRateHertz: number, frames: number, at: Rate): Ratio =>
  divide(multiply(ratio(sampleRateHertz), ratio(frames)), at);

/** The least number of frames that last a whole number of sound samples: 5 for 48 000 Hz at 30000/1001. */
export const framesToWholeSamples = (sampleRateHertz: number, at: Rate): number =>
  Number(samplesInFrames(sampleRateHertz, 1, at).denominator);
