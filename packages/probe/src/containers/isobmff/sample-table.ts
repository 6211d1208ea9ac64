import { type Bytes, type Fault, type Table, wide } from "./boxes.ts";

/** Sizes of samples (`stsz`, `stz2`), read in place. */
export interface SizeTable {
  readonly count: number;
  /** The one size all samples have; 0 when there is a table. */
  readonly uniform: number;
  readonly at: number;
  /** Bits of one entry: 32, or 4, 8, 16 in the compact form. */
  readonly bits: number;
}

/** Where the samples of a track lie and how large they are. */
export interface SampleTable {
  readonly bytes: Bytes;
  readonly sizes: SizeTable;
  /** `stsc`: first chunk, samples per chunk, description; 12 bytes an entry. */
  readonly chunkRuns: Table;
  readonly chunks: Table;
  /** Whether chunk offsets are 64-bit (`co64`). */
  readonly wideOffsets: boolean;
  readonly stts: Table;
  readonly ctts?: Table;
  /** Sync samples; absent when every sample is one. */
  readonly stss?: Table;
}

/** The size of one sample, counted from 0. */
export function sizeOf(view: DataView, sizes: SizeTable, sample: number): number {
  if (sizes.uniform > 0) return sizes.uniform;
  switch (sizes.bits) {
    case 32:
      return view.getUint32(sizes.at + 4 * sample);
    case 16:
      return view.getUint16(sizes.at + 2 * sample);
    case 8:
      return view.getUint8(sizes.at + sample);
    default: {
      const pair = view.getUint8(sizes.at + (sample >> 1));
      return sample % 2 === 0 ? pair >> 4 : pair & 15;
    }
  }
}

/** The sum of the 32-bit words between two places: the innermost loop of this reader, kept free of choices. */
function sumWords(view: DataView, from: number, to: number): number {
  let sum = 0;
  for (let at = from; at < to; at += 4) sum += view.getUint32(at);
  return sum;
}

/** Bytes of `count` samples from `first` on. */
export function sumSizes(view: DataView, sizes: SizeTable, first: number, count: number): number {
  if (sizes.uniform > 0) return sizes.uniform * count;
  if (sizes.bits === 32) return sumWords(view, sizes.at + 4 * first, sizes.at + 4 * (first + count));
  let sum = 0;
  for (let sample = first; sample < first + count; sample += 1) sum += sizeOf(view, sizes, sample);
  return sum;
}

/** The place in the file of a chunk, counted from 0. */
export const chunkOffset = (table: SampleTable, chunk: number): number =>
  table.wideOffsets
    ? wide(table.bytes.view, table.chunks.at + 8 * chunk)
    : table.bytes.view.getUint32(table.chunks.at + 4 * chunk);

/**
 * Calls `visit` for each chunk in order with its first sample and how many it holds; stops when it returns false or the
 * samples are used up. Returns the samples that were placed.
 */
export function eachChunk(
  table: SampleTable,
  visit: (offset: number, firstSample: number, samples: number) => boolean | void,
): number {
  const { view } = table.bytes;
  const { chunkRuns, chunks, sizes } = table;
  let sample = 0;
  for (let run = 0; run < chunkRuns.count; run += 1) {
    const at = chunkRuns.at + 12 * run;
    const first = view.getUint32(at) - 1;
    const perChunk = view.getUint32(at + 4);
    const after = run + 1 < chunkRuns.count ? view.getUint32(at + 12) - 1 : chunks.count;
    if (perChunk === 0) continue;
    for (let chunk = Math.max(0, first); chunk < after && chunk < chunks.count; chunk += 1) {
      const samples = Math.min(perChunk, sizes.count - sample);
      if (samples <= 0) return sample;
      if (visit(chunkOffset(table, chunk), sample, samples) === false) return sample;
      sample += samples;
    }
  }
  return sample;
}

/** The first and last byte of a track's samples, and their sum. */
export interface DataExtent {
  readonly firstByte: number;
  readonly endByte: number;
  readonly totalBytes: number;
  /** Samples that have a place in a chunk. */
  readonly placed: number;
  /** The most bytes whose decode times fall into one whole second; absent when none was asked for or filled. */
  readonly peakBytes?: number;
}

/** Whole seconds of one clip whose bytes are compared: eleven days. */
const mostSeconds = 1_000_000;

/** For each whole second of decode time, the number of the first sample after it. */
export function secondMarks(view: DataView, stts: Table, samples: number, timescale: number): readonly number[] {
  const marks: number[] = [];
  let boundary = timescale;
  let first = 0;
  let ticks = 0;
  const end = stts.at + 8 * stts.count;
  for (let at = stts.at; at < end && first < samples; at += 8) {
    const run = view.getUint32(at);
    const delta = view.getUint32(at + 4);
    const after = ticks + run * delta;
    while (after >= boundary && marks.length < mostSeconds) {
      const mark = delta === 0 ? first + run : first + Math.ceil((boundary - ticks) / delta);
      if (mark > samples) return marks;
      marks.push(mark);
      // An interval longer than a second leaves whole seconds without samples: they are passed over together.
      const reached = ticks + (mark - first) * delta;
      boundary = Math.max(boundary, Math.floor(reached / timescale) * timescale) + timescale;
    }
    first += run;
    ticks = after;
  }
  return marks;
}

/** Walks chunks and sizes once; `marks` are the samples at which a new second begins. */
export function extentOf(table: SampleTable, marks: readonly number[] = []): DataExtent {
  const { view } = table.bytes;
  const { sizes } = table;
  let firstByte = Infinity;
  let endByte = 0;
  let totalBytes = 0;
  let peakBytes = 0;
  let secondBytes = 0;
  let filled = 0;
  let mark = marks[0] ?? Infinity;
  const placed = eachChunk(table, (offset, first, samples) => {
    const end = first + samples;
    let bytes = 0;
    let sample = first;
    while (sample < end) {
      const stop = mark < end ? mark : end;
      const part = sumSizes(view, sizes, sample, stop - sample);
      bytes += part;
      secondBytes += part;
      sample = stop;
      if (sample < mark) continue;
      if (secondBytes > peakBytes) peakBytes = secondBytes;
      secondBytes = 0;
      filled += 1;
      mark = marks[filled] ?? Infinity;
    }
    totalBytes += bytes;
    if (offset < firstByte) firstByte = offset;
    if (offset + bytes > endByte) endByte = offset + bytes;
  });
  return {
    firstByte: placed === 0 ? 0 : firstByte,
    endByte,
    totalBytes,
    placed,
    ...(filled === 0 ? {} : { peakBytes }),
  };
}

/** The first sample, in decode order, that does not lie wholly before `fileBytes`; undefined when all do. */
export function firstMissing(table: SampleTable, fileBytes: number): number | undefined {
  const { view } = table.bytes;
  let missing: number | undefined;
  eachChunk(table, (offset, first, samples) => {
    if (offset + sumSizes(view, table.sizes, first, samples) <= fileBytes) return true;
    let end = offset;
    for (let sample = first; sample < first + samples; sample += 1) {
      end += sizeOf(view, table.sizes, sample);
      if (end > fileBytes) {
        missing = sample;
        return false;
      }
    }
    return true;
  });
  return missing;
}

/** The decode time, in ticks, of a sample counted from 0. */
export function decodeTick(view: DataView, stts: Table, sample: number): number {
  let left = sample;
  let ticks = 0;
  for (let entry = 0; entry < stts.count && left > 0; entry += 1) {
    const run = Math.min(left, view.getUint32(stts.at + 8 * entry));
    ticks += run * view.getUint32(stts.at + 8 * entry + 4);
    left -= run;
  }
  return ticks;
}

/** What the table of sync samples says. */
export interface SyncSamples {
  readonly count: number;
  /** Counted from 0. */
  readonly firstFrame: number;
  /** Longest time from one sync sample to the next, or from the last to the end, in ticks of decode time. */
  readonly longestGapTicks: number;
}

/** Walks sync samples and durations side by side; undefined when the numbers do not rise or leave the track. */
export function syncSamples(view: DataView, stss: Table, stts: Table, frames: number): SyncSamples | undefined {
  if (stss.count === 0) return undefined;
  let at = stts.at;
  const end = stts.at + 8 * stts.count;
  let run = stts.count === 0 ? 0 : view.getUint32(at);
  let delta = stts.count === 0 ? 0 : view.getUint32(at + 4);
  let runStart = 0;
  let runTick = 0;
  let longest = 0;
  let previousTick = 0;
  let previous = 0;
  for (let place = 0; place <= stss.count; place += 1) {
    // The end of the clip counts as one more sync sample.
    const number = place === stss.count ? frames + 1 : view.getUint32(stss.at + 4 * place);
    if (number <= previous || number > frames + (place === stss.count ? 1 : 0)) return undefined;
    const frame = number - 1;
    while (at < end && frame >= runStart + run) {
      runStart += run;
      runTick += run * delta;
      at += 8;
      if (at >= end) break;
      run = view.getUint32(at);
      delta = view.getUint32(at + 4);
    }
    const tick = at >= end ? runTick : runTick + (frame - runStart) * delta;
    if (place > 0 && tick - previousTick > longest) longest = tick - previousTick;
    previous = number;
    previousTick = tick;
  }
  return { count: stss.count, firstFrame: view.getUint32(stss.at) - 1, longestGapTicks: longest };
}

/** Faults between tables of one track: samples that one counts and another does not. */
export function tableConflict(table: SampleTable, timed: number, placed: number, place: string): Fault | undefined {
  const { sizes, bytes } = table;
  const at = bytes.base + table.stts.at;
  if (timed !== sizes.count) {
    return { at, place: `${place}/stts`, why: `${timed} samples have a duration, ${sizes.count} have a size` };
  }
  if (placed < sizes.count) {
    const why = `${placed} of ${sizes.count} samples have a place in a chunk`;
    return { at: bytes.base + table.chunks.at, place: `${place}/stsc`, why };
  }
  return undefined;
}
