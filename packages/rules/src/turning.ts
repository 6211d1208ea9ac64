import { runsOf, type Series } from "@goodgate/model";

/** The fastest turn over a window of time, the short way round at each step. */
export interface Turn {
  readonly degreesPerSecond: number;
  readonly atSeconds: number;
}

/**
 * Fastest mean turning over windows of `windowSeconds`, or of one record where records are further apart. A heading holds
 * until the next record, so a window takes in the changes from its start up to, but not at, its end. Undefined when the
 * records are shorter than a window.
 */
export function fastestTurn(heading: Series<number>, windowSeconds: number): Turn | undefined {
  const times: number[] = [];
  const headings: number[] = [];
  let unwrapped = 0;
  let last: number | undefined;
  for (const run of runsOf(heading)) {
    if (last !== undefined) unwrapped += ((((run.value - last) % 360) + 540) % 360) - 180;
    last = run.value;
    times.push(run.startMicroseconds / 1e6);
    headings.push(unwrapped);
  }
  const [begin = 0] = times;
  const length = heading.endMicroseconds / 1e6 - begin;
  const span = Math.max(windowSeconds, length / Math.max(1, heading.records));
  if (length < span) return undefined;
  let best: Turn = { degreesPerSecond: 0, atSeconds: begin };
  let to = 0;
  for (let from = 1; from < times.length; from += 1) {
    const start = times[from] as number;
    // A microsecond of slack: times are whole microseconds.
    while (to + 1 < times.length && (times[to + 1] as number) < start + span - 1e-6) to += 1;
    const turned = Math.abs((headings[Math.max(to, from)] as number) - (headings[from - 1] as number));
    if (turned / span > best.degreesPerSecond) best = { degreesPerSecond: turned / span, atSeconds: start };
  }
  return best;
}
