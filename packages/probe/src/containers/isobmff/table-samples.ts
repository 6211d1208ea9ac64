import { eachChunk, sizeOf, type SampleTable } from "./sample-table.ts";

/** One sample wherever it is listed. Times are ticks of the track's clock. Returns false to stop. */
export type SampleVisit = (
  offset: number,
  size: number,
  decodeTick: number,
  duration: number,
  shift: number,
  sync: boolean,
) => boolean | void;

/** Calls `visit` for every sample of a track's tables in decode order; returns the tick after the last one. */
export function eachTableSample(table: SampleTable, visit: SampleVisit): number {
  const { view } = table.bytes;
  const { stts, ctts, stss } = table;
  const duration = runReader(view, stts.at, stts.count);
  const shift = runReader(view, ctts?.at ?? 0, ctts?.count ?? 0);
  let tick = 0;
  let nextSync = 0;
  eachChunk(table, (chunk, first, samples) => {
    let offset = chunk;
    for (let sample = first; sample < first + samples; sample += 1) {
      const size = sizeOf(view, table.sizes, sample);
      let sync = stss === undefined;
      if (stss !== undefined && nextSync < stss.count && view.getUint32(stss.at + 4 * nextSync) === sample + 1) {
        sync = true;
        nextSync += 1;
      }
      const lasts = duration();
      if (visit(offset, size, tick, lasts, shift(), sync) === false) return false;
      offset += size;
      tick += lasts;
    }
    return true;
  });
  return tick;
}

/** Gives the values of a run-length table one by one; 0 past its end. Offsets may be negative, durations are not. */
function runReader(view: DataView, at: number, count: number): () => number {
  let entry = -1;
  let left = 0;
  let value = 0;
  return () => {
    while (left === 0) {
      entry += 1;
      if (entry >= count) return 0;
      left = view.getUint32(at + 8 * entry);
      value = view.getInt32(at + 8 * entry + 4);
    }
    left -= 1;
    return value;
  };
}
