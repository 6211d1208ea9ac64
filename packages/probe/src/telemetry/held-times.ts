import type { CueColumns } from "./cue-columns.ts";
import { holdEnd } from "./spacing.ts";

/** When the cues of a text are held, by their places, in microseconds within the clip. */
export interface HeldTimes {
  /** Start of a cue; behind the last one, its end. */
  startOf(place: number): number;
  /** Until when a cue holds. */
  endOf(place: number): number;
  /** Time for which the cues from one place to before another were held, and how many of them were read. */
  heldIn(from: number, to: number): number;
  readIn(from: number, to: number): number;
  /** Whether every cue was read and holds until the next. */
  readonly unbroken: boolean;
  /** End of the last cue that was read, wherever the clip ends. */
  readonly end: number;
}

/**
 * The times of the cues in columns, of which each holds for a step at most two steps long. A cue may be followed by a hole
 * only at one of these places; nearly every cue holds until the next, and costs nothing here.
 */
export function heldTimes(columns: CueColumns, step: number, holes: readonly number[]): HeldTimes {
  const { count, starts, ends, unread, lastEnd, clipEnd } = columns;
  const within = (time: number): number => Math.max(0, Math.min(time, clipEnd));
  const ownEnd = (place: number): number => {
    const isLast = place === count - 1;
    const own = isLast ? (lastEnd[0] as number) : (ends?.[place] ?? 0);
    return holdEnd(starts[place] as number, isLast ? undefined : starts[place + 1], own, step);
  };
  const startOf = (place: number): number =>
    place < count ? within(starts[place] as number) : count === 0 ? 0 : within(ownEnd(count - 1));
  const endOf = (place: number): number => within(ownEnd(place));
  const isUnread = new Set(unread);
  /** Places whose cue does not hold until the next begins, and the time lost up to and with each. */
  const broken: number[] = [];
  const lost: number[] = [];
  let sum = 0;
  for (const place of [...new Set([...holes, ...unread])].sort((a, b) => a - b)) {
    const held = isUnread.has(place) ? 0 : endOf(place) - startOf(place);
    const missing = startOf(place + 1) - startOf(place) - held;
    if (missing === 0 && !isUnread.has(place)) continue;
    sum += missing;
    broken.push(place);
    lost.push(sum);
  }
  const lostBefore = (place: number): number => lost[countBelow(broken, place) - 1] ?? 0;
  let end = 0;
  // Where ends rise with starts, the last cue that was read ends last.
  for (let place = count - 1; place >= 0; place -= 1) {
    if (isUnread.has(place)) continue;
    end = Math.max(end, ownEnd(place));
    if (step > 0) break;
  }
  return {
    startOf,
    endOf,
    heldIn: (from, to) => startOf(to) - startOf(from) - (lostBefore(to) - lostBefore(from)),
    readIn: (from, to) => to - from - (countBelow(unread, to) - countBelow(unread, from)),
    unbroken: broken.length === 0,
    end,
  };
}

/** How many of rising numbers lie below one. */
function countBelow(rising: readonly number[], least: number): number {
  let from = 0;
  let to = rising.length;
  while (from < to) {
    const middle = (from + to) >> 1;
    if ((rising[middle] as number) < least) from = middle + 1;
    else to = middle;
  }
  return from;
}
