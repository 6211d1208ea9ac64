import type { Rate } from "@goodgate/model";
import type { TelemetrySummary } from "@goodgate/model";
import type { Sampled } from "./sampling.ts";

/** Holes kept of one file. */
const mostGaps = 64;

/** How the records of a stream lie in time. */
export interface Spacing {
  /** Median time from record to record, in microseconds; zero for a single record. */
  readonly medianMicroseconds: number;
  /** Share of the steps within a half of the median, 0 to 1. */
  readonly evenShare: number;
}

/** Different steps up to which they are counted instead of sorted: times in milliseconds give two or three. */
const mostCounted = 12;

/** Median and evenness of the steps between starts, steps of zero left out. */
export function spacingOf(starts: ArrayLike<number>, counted = countedSteps(starts)): Spacing {
  const { steps, counts } = counted ?? sortedSteps(starts);
  let count = 0;
  for (const many of counts) count += many;
  if (count === 0) return { medianMicroseconds: 0, evenShare: 1 };
  let median = 0;
  let below = 0;
  for (let place = 0; below <= count >> 1; place += 1) {
    median = steps[place] as number;
    below += counts[place] as number;
  }
  let even = 0;
  steps.forEach((step, place) => {
    if (Math.abs(step - median) <= median / 2) even += counts[place] as number;
  });
  return { medianMicroseconds: median, evenShare: even / count };
}

/** Steps by rising length, each with how often it occurs. */
export interface Steps {
  readonly steps: readonly number[] | Float64Array;
  readonly counts: readonly number[] | Uint32Array;
}

/** The different steps, when there are few. */
function countedSteps(starts: ArrayLike<number>): Steps | undefined {
  const steps: number[] = [];
  const counts: number[] = [];
  for (let place = 1; place < starts.length; place += 1) {
    const step = (starts[place] as number) - (starts[place - 1] as number);
    if (step <= 0) continue;
    let at = 0;
    while (at < steps.length && steps[at] !== step) at += 1;
    if (at === mostCounted) return undefined;
    if (at === steps.length) {
      steps.push(step);
      counts.push(0);
    }
    counts[at] = (counts[at] as number) + 1;
  }
  return stepsInOrder(steps, counts);
}

/** Steps with how often each occurs, by rising length. */
export function stepsInOrder(steps: readonly number[], counts: readonly number[]): Steps {
  const order = steps.map((_, place) => place).sort((a, b) => (steps[a] as number) - (steps[b] as number));
  return { steps: order.map((place) => steps[place] as number), counts: order.map((place) => counts[place] as number) };
}

function sortedSteps(starts: ArrayLike<number>): Steps {
  const steps = new Float64Array(Math.max(0, starts.length - 1));
  let count = 0;
  for (let place = 1; place < starts.length; place += 1) {
    const step = (starts[place] as number) - (starts[place - 1] as number);
    if (step <= 0) continue;
    steps[count] = step;
    count += 1;
  }
  return { steps: steps.subarray(0, count).sort(), counts: new Uint32Array(count).fill(1) };
}

/** The step a value is taken to hold for: between places that were read, what was not read is no hole. */
export const stepOf = (spacing: Spacing, sampled: Sampled | undefined): number =>
  Math.max(spacing.medianMicroseconds, spacing.medianMicroseconds > 0 ? (sampled?.everyMicroseconds ?? 0) : 0);

/**
 * Until when a record holds: until the next when that comes within two median steps, else for one step, the rest being
 * a hole. The last record, which has no next, holds for one step, or until `ownEnd`, where its carrier ends it, if that is
 * no more than two steps away.
 */
export function holdEnd(start: number, next: number | undefined, ownEnd: number, medianMicroseconds: number): number {
  const own = Math.max(start, ownEnd);
  if (medianMicroseconds === 0) return own;
  if (next !== undefined && next - start <= 2 * medianMicroseconds) return next;
  const step = start + medianMicroseconds;
  return next === undefined && own - start <= 2 * medianMicroseconds ? Math.max(own, step) : step;
}

/** Holes of more than two median steps between records, in seconds; the first 64. `places` are those worth looking at. */
export function gapsIn(
  starts: ArrayLike<number>,
  medianMicroseconds: number,
  places?: readonly number[],
): TelemetrySummary["gaps"] {
  const gaps: { fromSeconds: number; toSeconds: number }[] = [];
  if (medianMicroseconds <= 0) return gaps;
  const count = places?.length ?? starts.length - 1;
  for (let at = 0; at < count && gaps.length < mostGaps; at += 1) {
    const place = places === undefined ? at : (places[at] as number);
    const from = (starts[place] as number) + medianMicroseconds;
    const to = starts[place + 1] as number;
    if (to - from > medianMicroseconds) gaps.push({ fromSeconds: from / 1e6, toSeconds: to / 1e6 });
  }
  return gaps;
}

/** Frame interval assumed when the clip's rate is not known: the slowest a film camera has. */
const longestFrame = 1e6 / 23.976;

/** Per frame up to one and a half frames apart, per second around a second, else irregular. */
export function cadenceOf(
  spacing: Spacing,
  sampledStep: number | undefined,
  frameRate: Rate | undefined,
): TelemetrySummary["cadence"] {
  const frame =
    frameRate === undefined ? longestFrame : (1e6 * Number(frameRate.denominator)) / Number(frameRate.numerator);
  const step = sampledStep ?? spacing.medianMicroseconds;
  // What was chosen for reading says nothing of how evenly the camera writes.
  if (sampledStep === undefined && spacing.evenShare < 0.8) return "irregular";
  if (step > 0 && step <= 1.5 * frame) return "per frame";
  return step >= 0.5e6 && step <= 1.5e6 ? "per second" : "irregular";
}
