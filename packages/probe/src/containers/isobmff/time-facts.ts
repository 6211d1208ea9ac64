import {
  absent,
  compare,
  damaged,
  type Origin,
  type Rate,
  rate,
  read,
  type Reading,
  seconds,
  standardRates,
  toNumber,
} from "@goodgate/model";
import { editEntries, type Presentation, presentationOf } from "./edit-list.ts";
import type { Movie } from "./movie.ts";
import type { OpenFacts } from "./open-facts.ts";
import type { SegmentIndex } from "./segment-index.ts";
import { rateOf, timingOf } from "./timing.ts";
import type { Track } from "./track.ts";
import type { TrackSamples } from "./track-samples.ts";

type At = (place: string) => Origin;

/** Far beyond every camera: past it the clock is wrong, not the recording fast. House limit. */
const fastest = rate(100_000);

/** When a track is shown; undefined when its times are not known. */
export function trackPresentation(movie: Movie, track: Track, samples: TrackSamples): Presentation | undefined {
  if (samples.times === undefined) return undefined;
  const { timescale, firstTick, endTick } = samples.times;
  if (!Number.isSafeInteger(firstTick) || !Number.isSafeInteger(endTick)) return undefined;
  return presentationOf(track.edits, { timescale, movieTimescale: movie.timescale, firstTick, endTick });
}

/** Facts of time and size of the picture track. */
export function addTimeFacts(
  facts: OpenFacts,
  movie: Movie,
  track: Track,
  samples: TrackSamples,
  presentation: Presentation | undefined,
  segments: SegmentIndex | undefined,
  at: At,
): void {
  const { times, extent, place } = samples;
  const here = at(place);
  const fault = samples.faults[0] ?? track.faults[0];
  const none = <T>(): Reading<T> =>
    fault === undefined
      ? absent("the picture track lists no samples")
      : damaged(`${fault.why} at byte ${fault.at}`, at(fault.place));
  addHeaderLength(facts, movie, track, segments, at);
  addEdits(facts, movie, track, at);
  const conflict = samples.conflict;
  facts.frames =
    conflict !== undefined
      ? damaged(conflict.why, at(conflict.place))
      : samples.count === 0
        ? none()
        : read(samples.count, here);
  if (times === undefined || samples.count === 0) {
    facts.frameRate = none();
    facts.timing = none();
    facts.durationSeconds = none();
    facts.startSeconds = none();
    facts.mediaSeconds = none();
    facts.usableSeconds = none();
    facts.syncSamples = none();
    facts.bitRate = none();
    facts.dataExtent = none();
    return;
  }
  const { timescale, mediaTicks } = times;
  const timed = timingOf(times);
  facts.timing = timed === undefined ? absent("one picture has no interval") : read(timed.timing, here);
  const pace = timed?.frameRate;
  const absurd =
    pace !== undefined && compare(pace, fastest) > 0
      ? `a clock of ${timescale} ticks a second makes ${Math.round(toNumber(pace))} pictures a second`
      : undefined;
  facts.frameRate =
    absurd !== undefined
      ? damaged(absurd, at(`${track.place}/mdia/mdhd`))
      : timed?.frameRate === undefined
        ? timed === undefined
          ? onlyPictureRate(samples.count, times.lastTicks, timescale, here)
          : damaged("half of the pictures are shown at the time of another", here)
        : read(timed.frameRate, here);
  facts.mediaSeconds = read(seconds(mediaTicks, timescale), here);
  addMediaHeaderWitness(facts, track, times.timed, mediaTicks, timed?.timing.medianTicks ?? 1, at);
  const tooShort = samples.count > 1 && samples.count * timescale > toNumber(fastest) * mediaTicks;
  facts.durationSeconds =
    absurd !== undefined && tooShort
      ? damaged(absurd, at(`${track.place}/mdia/mdhd`))
      : presentation === undefined
        ? damaged("the picture times are past any clock", here)
        : read(presentation.durationSeconds, here);
  facts.startSeconds =
    presentation === undefined
      ? damaged("the picture times are past any clock", here)
      : read(presentation.startSeconds, here);
  facts.usableSeconds = read(seconds(samples.usableTicks ?? mediaTicks, timescale), here);
  const { firstByte, endByte, totalBytes, placed } = extent;
  facts.dataExtent = placed === 0 ? none() : read({ firstByte, endByte }, here);
  facts.bitRate =
    mediaTicks === 0 || placed === 0
      ? absent("the pictures last no time")
      : read(
          {
            averageBitsPerSecond: Math.floor((totalBytes * 8 * timescale) / mediaTicks),
            ...(extent.peakBytes === undefined ? {} : { peakBitsPerSecond: extent.peakBytes * 8 }),
          },
          here,
        );
  addSync(facts, samples, timescale, timed?.timing.mostTicks ?? times.lastTicks, track, at);
}

/** A single picture has no interval; the rate of the trade its stated length is that of is all there is to go by. */
function onlyPictureRate(count: number, ticks: number, timescale: number, here: Origin): Reading<Rate> {
  const stated = count === 1 && ticks > 0 ? rateOf(ticks, 1, timescale) : undefined;
  return stated !== undefined && standardRates.includes(stated)
    ? read(stated, { ...here, kind: "inferred", place: `${here.place}: length of the only picture` })
    : absent("one picture has no rate");
}

/** The length the headers state: the track's own, else the movie's, else the sum of a segment index. */
function addHeaderLength(
  facts: OpenFacts,
  movie: Movie,
  track: Track,
  segments: SegmentIndex | undefined,
  at: At,
): void {
  if (movie.timescale === 0) facts.headerSeconds = damaged("the movie clock has no ticks a second", at("moov/mvhd"));
  else if (track.headerTicks !== undefined) {
    facts.headerSeconds = read(seconds(track.headerTicks, movie.timescale), at(`${track.place}/tkhd`));
  } else if (movie.duration !== undefined) {
    facts.headerSeconds = read(seconds(movie.duration, movie.timescale), at("moov/mvhd"));
  } else if (segments !== undefined) {
    facts.headerSeconds = read(seconds(segments.ticks, segments.timescale), at("sidx"));
  } else facts.headerSeconds = absent("the headers leave the length open");
}

function addEdits(facts: OpenFacts, movie: Movie, track: Track, at: At): void {
  const place = `${track.place}/edts/elst`;
  const broken = track.faults.find((fault) => fault.place === place);
  if (broken !== undefined) facts.editList = damaged(`${broken.why} at byte ${broken.at}`, at(place));
  else if (track.edits.length === 0) facts.editList = absent("no edit list");
  else if (movie.timescale === 0 || track.timescale === 0) facts.editList = damaged("a clock without ticks", at(place));
  else facts.editList = read(editEntries(track.edits, track.timescale, movie.timescale), at(place));
}

/** A media header that differs from the sum of the samples by more than a frame speaks against it. */
function addMediaHeaderWitness(
  facts: OpenFacts,
  track: Track,
  frames: number,
  mediaTicks: number,
  frameTicks: number,
  at: At,
): void {
  const stated = track.mediaTicks;
  if (stated === undefined || Math.abs(stated - mediaTicks) <= Math.max(1, frameTicks)) return;
  const origin = at(`${track.place}/mdia/mdhd`);
  if (facts.mediaSeconds?.state === "read") {
    const value = seconds(stated, track.timescale);
    facts.mediaSeconds = { ...facts.mediaSeconds, witnesses: [{ value, origin, agrees: false }] };
  }
  // A rate differs only when all intervals do: a shorter or longer tail leaves the pictures' spacing as it is.
  if (facts.frameRate?.state === "read" && facts.timing?.state === "read" && facts.timing.value.kind === "constant") {
    const value = rate(frames * track.timescale, stated);
    facts.frameRate = { ...facts.frameRate, witnesses: [{ value, origin, agrees: false }] };
  }
}

function addSync(
  facts: OpenFacts,
  samples: TrackSamples,
  timescale: number,
  intervalTicks: number,
  track: Track,
  at: At,
): void {
  const place = at(`${track.place}/mdia/minf/stbl/stss`);
  if (samples.sync === undefined) {
    facts.syncSamples = damaged("no picture is marked as one that can be decoded alone", place);
  } else if (samples.sync === "all") {
    const longestGapSeconds = Math.max(0, intervalTicks) / timescale;
    facts.syncSamples = read({ count: samples.count, firstFrame: 0, longestGapSeconds }, at(samples.place));
  } else {
    const { count, firstFrame, longestGapTicks } = samples.sync;
    facts.syncSamples = read({ count, firstFrame, longestGapSeconds: longestGapTicks / timescale }, place);
  }
}
