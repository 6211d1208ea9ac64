import { type Bytes, code, eachBox, type Fault, wide } from "./boxes.ts";
import type { FragmentDefaults } from "./movie.ts";
import { intervalSorter } from "./interval-sorter.ts";
import { mostPictures, type PictureTimes } from "./presentation.ts";
import type { DataExtent, SampleTable, SyncSamples } from "./sample-table.ts";
import { eachTableSample, type SampleVisit } from "./table-samples.ts";

const trackFragment = code("traf");
const fragmentHeader = code("tfhd");
const decodeTime = code("tfdt");
const trackRun = code("trun");
/** Bit of the sample flags that says a sample is not a sync sample (ISO/IEC 14496-12, section 8.8.3.1). */
const notSync = 0x10000;

/**
 * Calls `visit` for every sample of one track in all fragments, in file order (ISO/IEC 14496-12, section 8.8), the
 * first at `startTick` unless the fragment says another time. Returns the first fault, after which nothing is visited.
 */
export function eachFragmentSample(
  fragments: readonly Bytes[],
  id: number,
  defaults: FragmentDefaults | undefined,
  visit: SampleVisit,
  startTick = 0,
): Fault | undefined {
  let fault: Fault | undefined;
  let tick = startTick;
  let samples = 0;
  for (const bytes of fragments) {
    const { view, base } = bytes;
    const note = (at: number, place: string, why: string): void => {
      fault ??= { at: base + at, place: `moof/traf/${place}`, why };
    };
    let dataEnd = base;
    const broken = eachBox(bytes, view.getUint32(0) === 1 ? 16 : 8, view.byteLength, "moof", (box) => {
      if (box.type !== trackFragment || fault !== undefined) return;
      let mine = false;
      let start = dataEnd;
      let duration = defaults?.duration ?? 0;
      let size = defaults?.size ?? 0;
      let flags = defaults?.flags ?? 0;
      const inner = eachBox(bytes, box.body, box.end, "moof/traf", (child) => {
        const { body, end } = child;
        const room = end - body;
        if (child.type === fragmentHeader) {
          if (room < 8) return note(child.start, "tfhd", "the box is too short");
          const has = view.getUint32(body) & 0xffffff;
          mine = view.getUint32(body + 4) === id;
          let at = body + 8;
          const fields = (has & 1) * 8 + bitsOf(has & 0x3a) * 4;
          if (room < 8 + fields) return note(child.start, "tfhd", "the box is too short");
          if ((has & 1) !== 0) {
            start = wide(view, at);
            at += 8;
          } else if ((has & 0x20000) !== 0) start = base;
          if ((has & 2) !== 0) at += 4;
          if ((has & 8) !== 0) duration = view.getUint32((at += 4) - 4);
          if ((has & 16) !== 0) size = view.getUint32((at += 4) - 4);
          if ((has & 32) !== 0) flags = view.getUint32(at);
        } else if (child.type === decodeTime && mine) {
          const long = room > 0 && view.getUint8(body) === 1;
          if (room < (long ? 12 : 8)) return note(child.start, "tfdt", "the box is too short");
          const stated = long ? wide(view, body + 4) : view.getUint32(body + 4);
          if (!Number.isSafeInteger(stated)) return note(child.start, "tfdt", "the decode time is past all clocks");
          tick = stated;
        } else if (child.type === trackRun) {
          readRun(body, end);
        }
      });
      if (inner !== undefined) fault ??= inner;

      function readRun(body: number, end: number): void {
        if (end - body < 8 || fault !== undefined) return note(body, "trun", "the box is too short");
        const has = view.getUint32(body) & 0xffffff;
        const count = view.getUint32(body + 4);
        let at = body + 8 + ((has & 1) !== 0 ? 4 : 0) + ((has & 4) !== 0 ? 4 : 0);
        const entry = 4 * bitsOf(has & 0xf00);
        if (count * entry > end - at) return note(body, "trun", `${count} samples are announced, the box is too short`);
        let offset = (has & 1) !== 0 ? start + view.getInt32(body + 8) : dataEnd;
        let first = (has & 4) !== 0 ? view.getUint32(body + ((has & 1) !== 0 ? 12 : 8)) : undefined;
        if (mine) samples += count;
        if (samples > mostPictures) return note(body, "trun", `more than ${mostPictures} samples`);
        if (!mine && entry === 0) {
          dataEnd = offset + size * count;
          return;
        }
        for (let place = 0; place < count; place += 1) {
          let lasts = duration;
          let bytesLong = size;
          let marks = first ?? flags;
          let shift = 0;
          if ((has & 0x100) !== 0) lasts = view.getUint32((at += 4) - 4);
          if ((has & 0x200) !== 0) bytesLong = view.getUint32((at += 4) - 4);
          if ((has & 0x400) !== 0) marks = view.getUint32((at += 4) - 4);
          if ((has & 0x800) !== 0) shift = view.getInt32((at += 4) - 4);
          first = undefined;
          if (mine) {
            const more = visit(offset, bytesLong, tick, lasts, shift, (marks & notSync) === 0);
            if (more === false) return note(body, "trun", "more samples than are listed");
            tick += lasts;
          }
          offset += bytesLong;
        }
        dataEnd = offset;
      }
    });
    fault ??= broken;
    if (fault !== undefined) return fault;
  }
  return fault;
}

function bitsOf(value: number): number {
  let bits = 0;
  for (let left = value; left !== 0; left &= left - 1) bits += 1;
  return bits;
}

/** Everything the facts need of one fragmented track. */
export interface FragmentedTrack {
  readonly count: number;
  readonly times?: PictureTimes;
  readonly extent: DataExtent;
  readonly sync?: SyncSamples;
  /** Decode time of the first sample that lies past the end of the file. */
  readonly missingTick?: number;
  readonly firstSample?: { readonly offset: number; readonly size: number };
  readonly fault?: Fault;
}

/** Reads one track out of its fragments, in one walk; `lead` holds samples the movie box lists before them. */
export function readFragmentedTrack(
  fragments: readonly Bytes[],
  id: number,
  defaults: FragmentDefaults | undefined,
  timescale: number,
  fileBytes: number,
  lead?: SampleTable,
): FragmentedTrack {
  const kept: { readonly ticks: Float64Array; readonly counts: Float64Array; readonly length: number }[] = [];
  const sorter = intervalSorter((ticks, counts, length) => {
    kept.push({ ticks: ticks.slice(0, length), counts: counts.slice(0, length), length });
  });
  let count = 0;
  let mediaTicks = 0;
  let lastTicks = 0;
  let originTick = 0;
  let firstByte = Infinity;
  let endByte = 0;
  let totalBytes = 0;
  let missingTick: number | undefined;
  let firstSample: { readonly offset: number; readonly size: number } | undefined;
  let syncs = 0;
  let firstSync = 0;
  let lastSyncTick = 0;
  let longestGapTicks = 0;
  let second = 0;
  let secondBytes = 0;
  let peakBytes: number | undefined;
  const visit: SampleVisit = (offset, size, tick, duration, shift, sync) => {
    if (count === 0) {
      originTick = tick;
      firstSample = { offset, size };
      second = tick + timescale;
    }
    if (sync) {
      if (syncs === 0) firstSync = count;
      else if (tick - lastSyncTick > longestGapTicks) longestGapTicks = tick - lastSyncTick;
      syncs += 1;
      lastSyncTick = tick;
    }
    if (tick >= second) {
      if (peakBytes === undefined || secondBytes > peakBytes) peakBytes = secondBytes;
      secondBytes = 0;
      second = Math.max(second + timescale, tick);
    }
    sorter.add(tick + shift);
    secondBytes += size;
    totalBytes += size;
    if (offset < firstByte) firstByte = offset;
    if (offset + size > endByte) endByte = offset + size;
    if (offset + size > fileBytes) missingTick ??= tick - originTick;
    count += 1;
    mediaTicks = tick + duration - originTick;
    lastTicks = duration;
    return count < mostPictures;
  };
  const startTick = lead === undefined ? 0 : eachTableSample(lead, visit);
  const fault = eachFragmentSample(fragments, id, defaults, visit, startTick);
  const { first, last } = sorter.finish();
  const extent = {
    firstByte: count === 0 ? 0 : firstByte,
    endByte,
    totalBytes,
    placed: count,
    ...(peakBytes === undefined ? {} : { peakBytes }),
  };
  if (count === 0) return { count, extent, ...(fault === undefined ? {} : { fault }) };
  const endGap = originTick + mediaTicks - lastSyncTick;
  return {
    count,
    times: {
      timescale,
      timed: count,
      mediaTicks,
      lastTicks,
      firstTick: first,
      endTick: last + lastTicks,
      visit: (each) => kept.forEach(({ ticks, counts, length }) => each(ticks, counts, length)),
    },
    extent,
    ...(syncs === 0
      ? {}
      : { sync: { count: syncs, firstFrame: firstSync, longestGapTicks: Math.max(longestGapTicks, endGap) } }),
    ...(missingTick === undefined ? {} : { missingTick }),
    ...(firstSample === undefined ? {} : { firstSample }),
    ...(fault === undefined ? {} : { fault }),
  };
}
