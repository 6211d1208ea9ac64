import type { Bytes, Fault } from "./boxes.ts";
import { readFragmentedTrack } from "./fragments.ts";
import type { Movie } from "./movie.ts";
import { mostPictures, type PictureTimes, pictureTimes } from "./presentation.ts";
import {
  chunkOffset,
  type DataExtent,
  decodeTick,
  extentOf,
  firstMissing,
  secondMarks,
  sizeOf,
  type SyncSamples,
  syncSamples,
  tableConflict,
} from "./sample-table.ts";
import type { Track } from "./track.ts";

/** What the samples of one track say, whether the index or the fragments list them. */
export interface TrackSamples {
  readonly count: number;
  /** Absent when no time can be told; `faults` says why. */
  readonly times?: PictureTimes;
  readonly extent: DataExtent;
  /** `all` when every sample can be decoded alone; absent when the table breaks its grammar. */
  readonly sync?: SyncSamples | "all";
  /** Ticks of decode time before the first sample that does not lie inside the file; absent when all do. */
  readonly usableTicks?: number;
  /** Where the first sample in decode order lies. */
  readonly firstSample?: { readonly offset: number; readonly size: number };
  readonly faults: readonly Fault[];
  /** The one of the faults that says that two tables count different samples. */
  readonly conflict?: Fault;
  /** Box path of the list of durations. */
  readonly place: string;
}

const nothing: DataExtent = { firstByte: 0, endByte: 0, totalBytes: 0, placed: 0 };

/** Reads the samples of a track from its tables and, where the movie goes on in fragments, from those. */
export function readTrackSamples(
  movie: Movie,
  track: Track,
  fragments: readonly Bytes[],
  fileBytes: number,
): TrackSamples {
  if (movie.fragmentDefaults !== undefined && fragments.length > 0) {
    return fromFragments(movie, track, fragments, fileBytes);
  }
  return fromTables(track, fileBytes);
}

function fromTables(track: Track, fileBytes: number): TrackSamples {
  const stbl = `${track.place}/mdia/minf/stbl`;
  const place = `${stbl}/stts`;
  const table = track.samples;
  if (table === undefined) return { count: 0, extent: nothing, faults: [], place };
  const { view, base } = table.bytes;
  const { sizes, stts, ctts, stss } = table;
  const faults: Fault[] = [];
  const clockFault = timescaleFault(track);
  if (clockFault !== undefined) faults.push(clockFault);
  // The peak is asked of the picture alone; sizes without a table have no peak and no bound on their count.
  const wantsPeak = track.timescale > 0 && track.handler === "vide" && sizes.uniform === 0;
  const extent = extentOf(table, wantsPeak ? secondMarks(view, stts, sizes.count, track.timescale) : []);
  const times = track.timescale === 0 ? undefined : pictureTimes(view, stts, ctts, track.timescale, sizes.count);
  const conflict = sizes.count > 0 ? tableConflict(table, times?.timed ?? sizes.count, extent.placed, stbl) : undefined;
  if (conflict !== undefined) faults.push(conflict);
  if (times === undefined && sizes.count > 0 && track.timescale > 0) {
    const why = `no times can be told for ${sizes.count} samples (at most ${mostPictures} are sorted)`;
    faults.push({ at: base + stts.at, place, why });
  }
  if (times !== undefined && !Number.isSafeInteger(times.mediaTicks)) {
    faults.push({ at: base + stts.at, place, why: "the durations add up past any clock" });
  }
  const sync = stss === undefined ? ("all" as const) : syncSamples(view, stss, stts, sizes.count);
  if (sync === undefined && stss !== undefined && stss.count > 0) {
    faults.push({ at: base + stss.at, place: `${stbl}/stss`, why: "sync samples do not rise inside the track" });
  }
  const missing = extent.endByte > fileBytes ? firstMissing(table, fileBytes) : undefined;
  const usableTicks = missing === undefined ? undefined : decodeTick(view, stts, missing);
  return {
    count: sizes.count,
    ...(times === undefined || !Number.isSafeInteger(times.mediaTicks) ? {} : { times }),
    extent,
    ...(sync === undefined ? {} : { sync }),
    ...(usableTicks === undefined ? {} : { usableTicks }),
    ...(extent.placed === 0 ? {} : { firstSample: { offset: chunkOffset(table, 0), size: sizeOf(view, sizes, 0) } }),
    faults,
    ...(conflict === undefined ? {} : { conflict }),
    place,
  };
}

function fromFragments(movie: Movie, track: Track, fragments: readonly Bytes[], fileBytes: number): TrackSamples {
  const place = "moof/traf/trun";
  const clockFault = timescaleFault(track);
  if (clockFault !== undefined) return { count: 0, extent: nothing, faults: [clockFault], place };
  const defaults = movie.fragmentDefaults?.get(track.id);
  const lead = track.samples !== undefined && track.samples.sizes.count > 0 ? track.samples : undefined;
  const read = readFragmentedTrack(fragments, track.id, defaults, track.timescale, fileBytes, lead);
  const { count, times, extent, sync, missingTick, firstSample, fault } = read;
  return {
    count,
    ...(times === undefined || !Number.isSafeInteger(times.mediaTicks) ? {} : { times }),
    extent,
    ...(sync === undefined ? {} : { sync }),
    ...(missingTick === undefined ? {} : { usableTicks: missingTick }),
    ...(firstSample === undefined ? {} : { firstSample }),
    faults: fault === undefined ? [] : [fault],
    place,
  };
}

const timescaleFault = (track: Track): Fault | undefined =>
  track.timescale > 0
    ? undefined
    : { at: 0, place: `${track.place}/mdia/mdhd`, why: "the clock of the track has no ticks a second" };
