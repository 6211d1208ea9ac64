import type { CountedFile } from "../../bytes.ts";
import type { ExtraTrackSource, TimedSample } from "../../contracts.ts";
import { type Bytes, codeName, noName } from "./boxes.ts";
import { eachFragmentSample } from "./fragments.ts";
import type { Movie } from "./movie.ts";
import { eachTableSample, type SampleVisit } from "./table-samples.ts";
import type { Track } from "./track.ts";

/** Neighbouring samples closer than this are fetched in one read: a read costs more than the bytes between. */
const mergeBytes = 4096;
/** Bytes between samples that may be read in all, beside a twentieth of the samples: small pictures lie that close. */
const spareBytes = 8192;
/** Largest single read. */
const mostReadBytes = 1024 * 1024;
/** Bytes of samples given out by one call; text of a flight has some MiB, motion records some tens. */
export const mostExtraBytes = 64 * 1024 * 1024;
/** Samples listed of one track: ten hours at 50 a second. */
export const mostExtraSamples = 2_000_000;
/** Extra tracks offered of one file. */
const mostExtraTracks = 32;

/** Handlers whose samples are words. */
const textHandlers = new Set(["text", "sbtl", "subt", "clcp", "subp"]);
/** Handlers that are neither text nor records: pictures, sound, timecode, hints. */
const otherHandlers = new Set(["vide", "soun", "tmcd", "hint", "auxv", "pict"]);

/** Whether a track holds text. */
export const isTextTrack = (handler: string): boolean => textHandlers.has(handler);

/** The text and data tracks of a movie, at most 32. */
export const extraTracksOf = (movie: Movie): readonly Track[] =>
  movie.tracks.filter((track) => !otherHandlers.has(track.handler) && track.handler !== "").slice(0, mostExtraTracks);

/** Where one sample lies and when it holds. */
interface Place {
  readonly offset: number;
  readonly size: number;
  readonly tick: number;
  readonly duration: number;
}

/**
 * A source of samples of `track`. `shiftSeconds` is added to media time to count from the first shown picture. The
 * list of places is made on the first call of `read`.
 */
export function extraTrackSource(
  file: CountedFile,
  signal: AbortSignal,
  movie: Movie,
  track: Track,
  fragments: readonly Bytes[],
  shiftSeconds: number,
  isChapterList: boolean,
  counted: { readonly count: number; readonly totalBytes: number },
): ExtraTrackSource {
  const { bytes } = movie;
  const { entry } = track;
  let places: readonly Place[] | undefined;
  return {
    id: track.id,
    entry: entry === undefined ? noName : codeName(entry.type),
    handler: track.handler,
    entryBytes: entry === undefined ? new Uint8Array(0) : bytes.array.slice(entry.body, entry.end),
    sampleCount: counted.count,
    totalBytes: counted.totalBytes,
    isChapterList,
    async read(which) {
      places ??= placesOf(movie, track, fragments);
      const all = places;
      const wanted = which === undefined ? all : which.flatMap((index) => all[index] ?? []);
      return await readPlaces(file, signal, wanted, track.timescale, shiftSeconds);
    },
  };
}

function placesOf(movie: Movie, track: Track, fragments: readonly Bytes[]): readonly Place[] {
  const places: Place[] = [];
  const keep: SampleVisit = (offset, size, tick, duration) => {
    places.push({ offset, size, tick, duration });
    return places.length < mostExtraSamples;
  };
  const startTick = track.samples === undefined ? 0 : eachTableSample(track.samples, keep);
  if (movie.fragmentDefaults !== undefined) {
    const defaults = movie.fragmentDefaults.get(track.id);
    eachFragmentSample(fragments, track.id, defaults, keep, startTick);
  }
  return places;
}

/** Reads samples in file order, neighbours together, and gives them back in the order they were asked for. */
async function readPlaces(
  file: CountedFile,
  signal: AbortSignal,
  wanted: readonly Place[],
  timescale: number,
  shiftSeconds: number,
): Promise<readonly TimedSample[]> {
  const order = wanted
    .map((_, index) => index)
    .sort((a, b) => (wanted[a] as Place).offset - (wanted[b] as Place).offset);
  const contents = new Map<number, Uint8Array>();
  let budget = mostExtraBytes;
  let spare = spareBytes + 0.05 * wanted.reduce((sum, { size }) => sum + size, 0);
  let at = 0;
  while (at < order.length) {
    signal.throwIfAborted();
    const start = (wanted[order[at] as number] as Place).offset;
    let end = start;
    let next = at;
    while (next < order.length) {
      const { offset, size } = wanted[order[next] as number] as Place;
      const between = Math.max(0, offset - end);
      if (next > at) {
        if (between > Math.min(mergeBytes, spare) || offset + size - start > mostReadBytes) break;
        spare -= between;
      }
      end = Math.max(end, offset + size);
      next += 1;
    }
    const length = Math.min(end, file.size) - start;
    if (length > budget) break;
    budget -= Math.max(0, length);
    const block = length > 0 ? await file.read(start, length) : new Uint8Array(0);
    for (; at < next; at += 1) {
      const index = order[at] as number;
      const { offset, size } = wanted[index] as Place;
      contents.set(index, block.subarray(Math.min(block.length, offset - start), offset - start + size));
    }
  }
  const perTick = 1e6 / timescale;
  const samples: TimedSample[] = [];
  wanted.forEach(({ tick, duration }, index) => {
    const bytes = contents.get(index);
    // Samples past the bound were not read: they are left out, never given as empty.
    if (bytes === undefined) return;
    const startMicroseconds = Math.round(tick * perTick + shiftSeconds * 1e6);
    samples.push({ bytes, startMicroseconds, durationMicroseconds: Math.round(duration * perTick) });
  });
  return samples;
}
