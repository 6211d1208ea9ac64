import type { Table } from "./boxes.ts";
import { batchRuns, deepestReorder, intervalSorter } from "./interval-sorter.ts";
import type { IntervalRuns, RunBatch } from "./timing.ts";

/**
 * Pictures whose times are worked out one by one at most: 55 hours at 50 frames/s. Only a damaged count is larger, and
 * this many take about a tenth of a second.
 */
export const mostPictures = 10_000_000;

/** Intervals kept in memory after sorting: five hours at 50 frames/s, 16 MB. */
const mostKeptIntervals = 1_000_000;

/** When the pictures of a track are shown, in ticks of its own clock, edit list not applied. */
export interface PictureTimes extends IntervalRuns {
  /** Pictures counted by the table of durations. */
  readonly timed: number;
  /** Sum of all durations, the last picture's included. */
  readonly mediaTicks: number;
  /** Duration of the last picture. */
  readonly lastTicks: number;
  /** Time of the first shown picture. */
  readonly firstTick: number;
  /** End of the last shown picture. */
  readonly endTick: number;
}

/** A table of durations (`stts`) as sums; both columns are read in place. */
export function sumDurations(view: DataView, stts: Table): { count: number; ticks: number; last: number } {
  let count = 0;
  let ticks = 0;
  let last = 0;
  const end = stts.at + 8 * stts.count;
  for (let at = stts.at; at < end; at += 8) {
    const run = view.getUint32(at);
    const delta = view.getUint32(at + 4);
    count += run;
    ticks += run * delta;
    if (run > 0) last = delta;
  }
  return { count, ticks, last };
}

/**
 * The times of the pictures from the tables of durations and composition offsets (`ctts`, read as signed in either
 * version, as writers use it); `samples` is how many the track has by its sizes. Offsets that only reorder pictures of equal length are recognised without sorting.
 */
export function pictureTimes(
  view: DataView,
  stts: Table,
  ctts: Table | undefined,
  timescale: number,
  samples: number = mostPictures,
): PictureTimes | undefined {
  const { count, ticks, last } = sumDurations(view, stts);
  if (count === 0) return undefined;
  const base = { timescale, timed: count, mediaTicks: ticks, lastTicks: last };
  const offset = ctts === undefined || ctts.count === 0 ? 0 : evenOffset(view, ctts);
  if (offset !== undefined || ctts === undefined) {
    return {
      ...base,
      firstTick: offset ?? 0,
      endTick: ticks + (offset ?? 0),
      visit: (each) => decodeRuns(view, stts, count - 1, each),
    };
  }
  // Sorting is for a list that fits its samples: a count twice theirs is damage, and would only cost time.
  if (count > mostPictures || count > 2 * samples + 1) return undefined;
  const even = evenDuration(view, stts, count);
  if (even !== undefined && even > 0) {
    const first = reorderedOnly(view, ctts, count, even);
    if (first !== undefined) {
      const firstTick = first;
      const visit = (each: RunBatch): void => {
        if (count > 1) each(Float64Array.of(even), Float64Array.of(count - 1), 1);
      };
      return { ...base, firstTick, endTick: firstTick + even * (count - 1) + last, visit };
    }
  }
  // Sorting costs more than keeping its outcome, but a damaged count must not claim the memory.
  const kept: { readonly ticks: Float64Array; readonly counts: Float64Array; readonly length: number }[] = [];
  const keep: RunBatch = (ticks, counts, length) => {
    kept.push({ ticks: ticks.slice(0, length), counts: counts.slice(0, length), length });
  };
  const keeps = count <= mostKeptIntervals;
  const ends = sortedIntervals(view, stts, ctts, count, keeps ? keep : undefined);
  return {
    ...base,
    firstTick: ends.first,
    endTick: ends.last + last,
    visit: (each) => {
      if (!keeps) return void sortedIntervals(view, stts, ctts, count, each);
      for (const { ticks, counts, length } of kept) each(ticks, counts, length);
    },
  };
}

/** The one offset all pictures have, or undefined when they differ. */
function evenOffset(view: DataView, ctts: Table): number | undefined {
  const offset = view.getInt32(ctts.at + 4);
  for (let entry = 1; entry < ctts.count; entry += 1) {
    if (view.getInt32(ctts.at + 8 * entry + 4) !== offset) return undefined;
  }
  return offset;
}

/** The duration all pictures but the last have, or undefined when they differ. */
function evenDuration(view: DataView, stts: Table, count: number): number | undefined {
  const delta = view.getUint32(stts.at + 4);
  let seen = 0;
  for (let entry = 0; entry < stts.count; entry += 1) {
    if (seen < count - 1 && view.getUint32(stts.at + 8 * entry) > 0) {
      if (view.getUint32(stts.at + 8 * entry + 4) !== delta) return undefined;
    }
    seen += view.getUint32(stts.at + 8 * entry);
  }
  return delta;
}

function decodeRuns(view: DataView, stts: Table, most: number, each: RunBatch): void {
  const size = Math.min(batchRuns, stts.count);
  const ticks = new Float64Array(size);
  const counts = new Float64Array(size);
  let left = most;
  let length = 0;
  const end = stts.at + 8 * stts.count;
  for (let at = stts.at; at < end && left > 0; at += 8) {
    let run = view.getUint32(at);
    if (run > left) run = left;
    if (run === 0) continue;
    ticks[length] = view.getUint32(at + 4);
    counts[length] = run;
    length += 1;
    left -= run;
    if (length === size) {
      each(ticks, counts, length);
      length = 0;
    }
  }
  if (length > 0) each(ticks, counts, length);
}

/**
 * When every offset moves its picture by whole frames and every place is filled once, shown pictures are as evenly
 * spaced as decoded ones. Returns the tick of the first, or undefined when the places are not filled exactly.
 */
function reorderedOnly(view: DataView, ctts: Table, count: number, delta: number): number | undefined {
  const origin = view.getInt32(ctts.at + 4);
  const base = leastPlace(view, ctts, count, origin, delta);
  if (base === undefined) return undefined;
  // As many different places as pictures, all inside the clip: then every place is filled once. One byte a place.
  const seen = new Uint8Array(count);
  let twice = 0;
  let frame = -base;
  const total = count - base;
  // An encoder uses a handful of offsets over and over; the last three are kept to spare the division.
  let offsetA = origin;
  let movedA = 0;
  let offsetB = origin;
  let movedB = 0;
  let offsetC = origin;
  let movedC = 0;
  const end = ctts.at + 8 * ctts.count;
  for (let at = ctts.at; at < end && frame < total; at += 8) {
    const run = view.getInt32(at);
    const offset = view.getInt32(at + 4);
    let moved: number;
    if (offset === offsetA) moved = movedA;
    else if (offset === offsetB) moved = movedB;
    else if (offset === offsetC) moved = movedC;
    else {
      const shift = (offset - origin) / delta;
      moved = shift | 0;
      if (moved !== shift) return undefined;
      offsetC = offsetB;
      movedC = movedB;
      offsetB = offsetA;
      movedB = movedA;
      offsetA = offset;
      movedA = moved;
    }
    if (run === 1) {
      const place = frame + moved;
      if (place < 0 || place >= count) return undefined;
      twice |= seen[place] as number;
      seen[place] = 1;
      frame += 1;
      continue;
    }
    const stop = run >= 0 && run < total - frame ? frame + run : total;
    for (; frame < stop; frame += 1) {
      const place = frame + moved;
      if (place < 0 || place >= count) return undefined;
      twice |= seen[place] as number;
      seen[place] = 1;
    }
  }
  return frame === total && twice === 0 ? origin + base * delta : undefined;
}

/** The lowest place among the first pictures, counted in frames from where the first one lies. */
function leastPlace(view: DataView, ctts: Table, count: number, origin: number, delta: number): number | undefined {
  let frame = 0;
  let least = 0;
  for (let entry = 0; entry < ctts.count && frame <= deepestReorder && frame < count; entry += 1) {
    const shift = (view.getInt32(ctts.at + 8 * entry + 4) - origin) / delta;
    if (view.getUint32(ctts.at + 8 * entry) > 0 && frame + shift < least) least = frame + shift;
    frame += view.getUint32(ctts.at + 8 * entry);
  }
  return Number.isInteger(least) ? least : undefined;
}

/** Sorts times within the depth a decoder may reorder and hands out the intervals as runs. */
function sortedIntervals(
  view: DataView,
  stts: Table,
  ctts: Table,
  count: number,
  each: RunBatch | undefined,
): { first: number; last: number } {
  const sorter = intervalSorter(each);
  let offsets = -1;
  let offsetLeft = 0;
  let offset = 0;
  let time = 0;
  let frame = 0;
  for (let entry = 0; entry < stts.count; entry += 1) {
    const run = view.getUint32(stts.at + 8 * entry);
    const delta = view.getUint32(stts.at + 8 * entry + 4);
    for (let place = 0; place < run && frame < count; place += 1, frame += 1) {
      while (offsetLeft === 0) {
        offsets += 1;
        // Pictures past the end of the offsets have none.
        if (offsets >= ctts.count) {
          offset = 0;
          offsetLeft = Infinity;
          break;
        }
        offsetLeft = view.getUint32(ctts.at + 8 * offsets);
        offset = view.getInt32(ctts.at + 8 * offsets + 4);
      }
      offsetLeft -= 1;
      sorter.add(time + offset);
      time += delta;
    }
  }
  return sorter.finish();
}
