import type { IntervalRuns } from "./timing.ts";

/** From this many steps a frame on, lengths that are whole steps tell a coarser clock from holes of whole frames. */
const leastSteps = 8;
/** The coarsest clock in common use (QuickTime's 600 a second); what divides by more is chance. */
const slowestClock = 600;

/**
 * Ticks of the coarser clock the times were once written by, from the kinds of interval and their median: a movie
 * rewrapped from a clock of milliseconds keeps 33 and 34 of them on whatever fine clock it is given. 1 when there is none.
 */
export function clockStep(
  kinds: readonly (readonly [ticks: number, count: number])[],
  medianTicks: number,
  timescale: number,
): number {
  if (kinds.length < 2 || kinds.some(([ticks]) => ticks <= 0)) return 1;
  const step = kinds.reduce((common, [ticks]) => commonDivisor(common, ticks), timescale);
  return medianTicks >= leastSteps * step && timescale >= slowestClock * step ? step : 1;
}

function commonDivisor(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b];
  return a;
}

/** The same runs counted in steps of the coarser clock. */
export function inSteps({ timescale, visit }: IntervalRuns, step: number): IntervalRuns {
  let stepped = new Float64Array(0);
  return {
    timescale: timescale / step,
    visit: (each) => {
      visit((ticks, counts, length) => {
        if (stepped.length < length) stepped = new Float64Array(length);
        for (let at = 0; at < length; at += 1) stepped[at] = (ticks[at] as number) / step;
        each(stepped, counts, length);
      });
    },
  };
}
