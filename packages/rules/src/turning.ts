import { runsOf, type Series } from "@goodgate/model";

/** The fastest turn over a window of time, the short way round at each step. */
export interface Turn {
  readonly degreesPerSecond: number;
  readonly atSeconds: number;
}

/** Fastest mean turning over windows of at least `windowSeconds`; undefined when the records are too few. */
export function fastestTurn(heading: Series<number>, windowSeconds: number): Turn | undefined {
  const times: number[] = [];
  const headings: number[] = [];
  let unwrapped = 0;
  let last: number | undefined;
  for (const run of runsOf(heading)) {
    if (last !== undefined) {
      const turn = (((run.value - last) % 360) + 540) % 360;
      unwrapped += turn - 180;
    }
    last = run.value;
    times.push(run.startMicroseconds / 1e6);
    headings.push(unwrapped);
  }
  // The last heading holds to the end of the records.
  times.push(heading.endMicroseconds / 1e6);
  headings.push(unwrapped);
  let best: Turn | undefined;
  let from = 0;
  for (let to = 1; to < times.length; to += 1) {
    while (from + 1 < to && (times[to] as number) - (times[from + 1] as number) >= windowSeconds) from += 1;
    const span = (times[to] as number) - (times[from] as number);
    if (span < windowSeconds) continue;
    const degreesPerSecond = Math.abs((headings[to] as number) - (headings[from] as number)) / span;
    if (best === undefined || degreesPerSecond > best.degreesPerSecond) {
      best = { degreesPerSecond, atSeconds: times[from] as number };
    }
  }
  return best;
}
