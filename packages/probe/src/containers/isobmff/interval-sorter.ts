import type { RunBatch } from "./timing.ts";

/** Runs handed over at once. */
export const batchRuns = 1024;

/** Pictures a decoder may hold back: 16 frames, or 32 fields (ITU-T H.264, annex A; H.265 allows 16). */
export const deepestReorder = 31;

/** Room of the sorter: pictures pass through it and it is tidied up once it is full. */
const sorterRoom = 1024;

/** Takes picture times in decode order and gives the intervals in time order; deeper disorder gives negative ones. */
export function intervalSorter(each: RunBatch | undefined): {
  add(time: number): void;
  finish(): { first: number; last: number };
} {
  const held = new Float64Array(sorterRoom);
  const ticksOut = new Float64Array(batchRuns);
  const countsOut = new Float64Array(batchRuns);
  let length = 0;
  let head = 0;
  let tail = 0;
  let first = Infinity;
  let last = -Infinity;
  let previous = 0;
  let given = 0;
  let interval = 0;
  let run = 0;
  const give = (time: number): void => {
    if (time < first) first = time;
    if (time > last) last = time;
    const ticks = time - previous;
    previous = time;
    given += 1;
    if (given === 1) return;
    if (ticks === interval) run += 1;
    else {
      if (run > 0) close();
      interval = ticks;
      run = 1;
    }
  };
  const close = (): void => {
    ticksOut[length] = interval;
    countsOut[length] = run;
    length += 1;
    if (length === batchRuns) flush();
  };
  const flush = (): void => {
    if (length > 0) each?.(ticksOut, countsOut, length);
    length = 0;
  };
  return {
    add(time) {
      if (tail === sorterRoom) {
        held.copyWithin(0, head, tail);
        tail -= head;
        head = 0;
      }
      let place = tail;
      while (place > head && (held[place - 1] as number) > time) {
        held[place] = held[place - 1] as number;
        place -= 1;
      }
      held[place] = time;
      tail += 1;
      if (tail - head > deepestReorder) {
        give(held[head] as number);
        head += 1;
      }
    },
    finish() {
      while (head < tail) {
        give(held[head] as number);
        head += 1;
      }
      if (run > 0) close();
      run = 0;
      flush();
      return { first, last };
    },
  };
}
