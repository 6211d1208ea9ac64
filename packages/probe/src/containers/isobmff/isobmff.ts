import { basename } from "node:path";
import {
  absent,
  damaged,
  type ExtraTrack,
  type Origin,
  read,
  type Seconds,
  seconds,
  subtract,
  toNumber,
} from "@goodgate/model";
import type { CountedFile } from "../../bytes.ts";
import type { ContainerReading, ExtraTrackSource } from "../../contracts.ts";
import { readAv1Sample } from "./av1-header.ts";
import { codeName, noName } from "./boxes.ts";
import { fieldOrderOf, readFirstSample } from "./codec-records.ts";
import { extraTrackSource, extraTracksOf, isTextTrack } from "./extra-tracks.ts";
import { type Layout, readLayout, type Windows, windowsOf } from "./layout.ts";
import { readMeta } from "./metadata-keys.ts";
import { type Movie, readMovie } from "./movie.ts";
import { closeFacts, type OpenFacts } from "./open-facts.ts";
import { frameHeaderBytes, hasFrameHeader, readFrameHeader } from "./frame-header.ts";
import { addPictureFacts } from "./picture-facts.ts";
import { type PictureEntry, readPictureEntry } from "./picture-entry.ts";
import { captureRateOf, createdAtOf, keyText, locationOf } from "./published-keys.ts";
import { readSoundEntry } from "./sound-entry.ts";
import type { StreamHeader } from "./stream-header.ts";
import { noIndex, structureOf } from "./structure-fact.ts";
import { addTimeFacts, trackPresentation } from "./time-facts.ts";
import { firstTimecode, readTimecodeEntry } from "./timecode-track.ts";
import type { Track } from "./track.ts";
import { readTrackSamples, type TrackSamples } from "./track-samples.ts";

/** Bytes of the first sample that are read when parameter sets stand there. */
const firstSampleBytes = 4096;

type At = (place: string) => Origin;

/**
 * Reads a file of the ISO base media family (MP4, MOV, fragmented or not) from its index alone. Undefined when the
 * first bytes are of no such file, or of still pictures. Damage becomes damaged facts; only the system's read errors
 * and the abort are thrown. `name` is the path in the card that origins carry.
 */
export async function readIsoMedia(
  file: CountedFile,
  signal: AbortSignal,
  name: string = basename(file.path),
): Promise<ContainerReading | undefined> {
  const windows = windowsOf(file, signal);
  const layout = await readLayout(file, windows);
  if (layout === undefined || layout.stillPictures) return undefined;
  const at: At = (place) => ({ kind: "container", file: name, place, reader: "goodgate" });
  const facts: OpenFacts = { container: read("iso-bmff", at("ftyp")), fileBytes: read(file.size, at("file")) };
  const xmp = layout.xmp === undefined ? {} : { xmp: layout.xmp };
  const { movie: bytes, movieBody } = layout;
  if (bytes === undefined || movieBody === undefined) {
    facts.structure = noIndex(layout, file.size, at);
    closeFacts(facts, "the file has no index that can be read");
    return { facts, extraTracks: [], ...xmp, neededBytes: layout.neededBytes };
  }
  const movie = readMovie(bytes, movieBody.from, movieBody.to);
  return await readWithMovie({ file, signal, windows, layout, movie, facts, at });
}

interface Reading {
  readonly file: CountedFile;
  readonly signal: AbortSignal;
  readonly windows: Windows;
  readonly layout: Layout;
  readonly movie: Movie;
  readonly facts: OpenFacts;
  readonly at: At;
}

async function readWithMovie(reading: Reading): Promise<ContainerReading> {
  const { file, layout, movie, facts, at } = reading;
  const looked: { place: string; samples: TrackSamples }[] = [];
  const samplesOf = (track: Track): TrackSamples => {
    const samples = readTrackSamples(movie, track, layout.fragments, file.size);
    looked.push({ place: track.place, samples });
    return samples;
  };
  let neededBytes = layout.neededBytes;
  const picture = choosePicture(movie);
  let samples: TrackSamples | undefined;
  let start: Seconds | undefined;
  if (picture !== undefined) {
    const { track, entry } = picture;
    samples = samplesOf(track);
    const presentation = trackPresentation(movie, track, samples);
    start = presentation?.startSeconds;
    addTimeFacts(facts, movie, track, samples, presentation, layout.segments, at);
    if (entry === undefined)
      facts.codec = damaged("the sample description is too short", at(`${track.place}/mdia/minf/stbl/stsd`));
    else neededBytes += await addPicture(reading, track, entry, samples);
    addOrientation(facts, movie, track, at);
  }
  addSound(reading, samplesOf, start ?? seconds(0));
  neededBytes += await addTimecode(reading, picture?.track, samplesOf);
  const extraTracks = addExtraTracks(reading, samplesOf, start ?? seconds(0));
  addKeys(reading);
  facts.structure = structureOf(
    { layout, movie, ...(samples === undefined ? {} : { picture: samples }), tracks: looked, fileBytes: file.size },
    at,
  );
  const beyond = movie.packed
    ? "the index is packed (cmov)"
    : picture === undefined
      ? `no picture track among ${movie.tracks.length} tracks`
      : picture.entry !== undefined && picture.entry.codec === undefined
        ? `sample entry "${picture.entry.entry}" is not known`
        : undefined;
  closeFacts(facts, picture === undefined ? "the file has no picture track" : "the sample description cannot be read");
  const xmp = layout.xmp ?? movie.xmp;
  return {
    facts,
    extraTracks,
    ...(xmp === undefined ? {} : { xmp }),
    neededBytes,
    ...(beyond === undefined ? {} : { beyond }),
  };
}

interface Picture {
  readonly track: Track;
  readonly entry?: PictureEntry;
}

/** The picture track: enabled before disabled, moving before still, large before small, first before later. */
function choosePicture(movie: Movie): Picture | undefined {
  let best: Picture | undefined;
  let bestScore = -1;
  for (const track of movie.tracks) {
    if (track.handler !== "vide") continue;
    const place = `${track.place}/mdia/minf/stbl/stsd`;
    const entry = track.entry === undefined ? undefined : readPictureEntry(movie.bytes, track.entry, place);
    const area = entry === undefined ? 0 : entry.width * entry.height;
    const moving = (track.samples?.sizes.count ?? 0) > 1 || movie.fragmentDefaults !== undefined;
    const score = (track.enabled ? 2 ** 40 : 0) + (moving ? 2 ** 39 : 0) + area;
    if (score <= bestScore) continue;
    bestScore = score;
    best = { track, ...(entry === undefined ? {} : { entry }) };
  }
  return best;
}

/** Adds the facts of the picture; reads the start of the first sample where the headers stand there. Returns its bytes. */
async function addPicture(reading: Reading, track: Track, entry: PictureEntry, samples: TrackSamples): Promise<number> {
  const { facts, at, windows, file } = reading;
  const stsd = `${track.place}/mdia/minf/stbl/stsd`;
  const { record, codec } = entry;
  let header: StreamHeader = entry.header;
  let headerPlace =
    codec === "mjpeg" ? "JPEG, whose colour is fixed (ITU-T T.871)" : `${stsd}/${entry.entry}/codec configuration`;
  let needed = 0;
  const lengthBytes = record?.lengthBytes ?? 4;
  const inSample = (codec === "h264" || codec === "hevc") && record?.hasParameterSet !== true;
  const fieldSkip =
    codec === "h264" && entry.fields === undefined && header.scan === "interlaced"
      ? header.pictureTimingSkip
      : undefined;
  const first = samples.firstSample;
  const framed = hasFrameHeader(codec);
  // Some muxers write a stand-in for the sequence header: then it is of another size than the entry.
  const inUnits = codec === "av1" && (record?.hasParameterSet !== true || entry.header.width !== entry.width);
  const asked = inSample || inUnits || framed || fieldSkip !== undefined;
  if (asked && first !== undefined && first.offset < file.size && !entry.encrypted) {
    const length = Math.min(first.size, framed ? frameHeaderBytes : firstSampleBytes);
    const { array } = await windows.at(first.offset, length, length);
    const sample = array.subarray(0, length);
    needed = sample.length;
    if (inSample) {
      const found = readFirstSample(sample, lengthBytes, codec === "hevc");
      if (found !== undefined) {
        header = { ...header, ...found };
        headerPlace = "first sample";
      }
    } else if (inUnits) {
      const found = readAv1Sample(sample);
      if (found !== undefined) {
        header = { ...header, ...found };
        headerPlace = "first sample";
      }
    } else if (framed && codec !== undefined) {
      const found = readFrameHeader(codec, sample);
      if (found !== undefined) {
        header = { ...header, ...found };
        headerPlace = "header of the first frame";
      }
    } else if (fieldSkip !== undefined) {
      const order = fieldOrderOf(sample, lengthBytes, fieldSkip);
      if (order !== undefined) header = { ...header, scan: order };
    }
  }
  addPictureFacts(facts, entry, header, headerPlace, stsd, at);
  return needed;
}

/** Turn and mirror out of the matrices of movie and track (ISO/IEC 14496-12, section 8.3.2). */
function addOrientation(facts: OpenFacts, movie: Movie, track: Track, at: At): void {
  const [ta = 1, tb = 0, tc = 0, td = 1] = track.matrix;
  const [ma = 1, mb = 0, mc = 0, md = 1] = movie.matrix;
  const a = ta * ma + tb * mc;
  const b = ta * mb + tb * md;
  const c = tc * ma + td * mc;
  const d = tc * mb + td * md;
  const place = at(`${track.place}/tkhd/matrix`);
  const determinant = a * d - b * c;
  if (determinant === 0) {
    facts.rotationDegrees = damaged("the matrix folds the picture to nothing", place);
    facts.mirrored = damaged("the matrix folds the picture to nothing", place);
    return;
  }
  const mirrored = determinant < 0;
  // A mirrored picture is first flipped left to right, then turned.
  const turn = (Math.atan2(mirrored ? -b : b, mirrored ? -a : a) * 180) / Math.PI;
  const clockwise = Number((((turn % 360) + 360) % 360).toFixed(2)) % 360;
  facts.rotationDegrees = read(clockwise, place);
  facts.mirrored = read(mirrored, place);
}

function addSound(reading: Reading, samplesOf: (track: Track) => TrackSamples, pictureStart: Seconds): void {
  const { movie, facts, at } = reading;
  const tracks = movie.tracks.filter((track) => track.handler === "soun");
  const track = tracks.find((one) => one.enabled) ?? tracks[0];
  if (track === undefined) {
    facts.sound = absent("no sound track");
    return;
  }
  const place = `${track.place}/mdia/minf/stbl/stsd`;
  const entry = track.entry === undefined ? undefined : readSoundEntry(movie.bytes, track.entry);
  const samples = samplesOf(track);
  const presentation = trackPresentation(movie, track, samples);
  if (entry === undefined) facts.sound = damaged("the sound description cannot be read", at(place));
  else if (samples.count === 0) facts.sound = damaged("the sound track holds no samples", at(track.place));
  else if (presentation === undefined) {
    const fault = samples.faults[0];
    facts.sound = damaged(fault?.why ?? "the sound has no times", at(fault?.place ?? place));
  } else {
    const { codec, channels, rateHertz } = entry;
    const startSeconds = subtract(presentation.startSeconds, pictureStart);
    const { durationSeconds } = presentation;
    facts.sound = read({ codec, channels, sampleRateHertz: rateHertz, durationSeconds, startSeconds }, at(place));
  }
}

/** Adds the timecode; one sample of four bytes is read beside the index. Returns the bytes needed. */
async function addTimecode(
  reading: Reading,
  picture: Track | undefined,
  samplesOf: (track: Track) => TrackSamples,
): Promise<number> {
  const { movie, facts, at, windows, file } = reading;
  const named = picture?.references.get("tmcd") ?? [];
  const tracks = movie.tracks.filter((track) => track.handler === "tmcd");
  const track = tracks.find((one) => named.includes(one.id)) ?? tracks[0];
  if (track === undefined) {
    facts.timecode = absent("no timecode track");
    return 0;
  }
  const entry = track.entry === undefined ? undefined : readTimecodeEntry(movie.bytes, track.entry);
  const place = at(track.place);
  if (entry === undefined) {
    facts.timecode = damaged("the timecode description cannot be read", place);
    return 0;
  }
  const { firstSample } = samplesOf(track);
  if (firstSample === undefined) {
    facts.timecode = absent("the timecode track has no sample");
    return 0;
  }
  const inside = firstSample.size >= 4 && firstSample.offset + 4 <= file.size;
  const sample = inside ? (await windows.at(firstSample.offset, 4, 4)).array : new Uint8Array(0);
  const label = firstTimecode(entry, sample);
  if ("absent" in label) facts.timecode = absent(label.absent);
  else facts.timecode = "damaged" in label ? damaged(label.damaged, place) : read(label, place);
  return 4;
}

function addExtraTracks(
  reading: Reading,
  samplesOf: (track: Track) => TrackSamples,
  pictureStart: Seconds,
): readonly ExtraTrackSource[] {
  const { movie, facts, at, file, signal, layout } = reading;
  const chapters = new Set(movie.tracks.flatMap((track) => track.references.get("chap") ?? []));
  const text: ExtraTrack[] = [];
  const records: ExtraTrack[] = [];
  const sources: ExtraTrackSource[] = [];
  for (const track of extraTracksOf(movie)) {
    const samples = samplesOf(track);
    const entry = track.entry === undefined ? noName : codeName(track.entry.type);
    const isChapterList = chapters.has(track.id);
    const holds = isChapterList ? "chapters" : "unknown vocabulary";
    const list = isTextTrack(track.handler) ? text : records;
    list.push({ id: track.id, entry, handler: track.handler, samples: samples.count, holds });
    const shown = trackPresentation(movie, track, samples);
    if (track.timescale === 0) continue;
    const shift = shown === undefined ? 0 : toNumber(subtract(shown.shiftSeconds, pictureStart));
    const counted = { count: samples.count, totalBytes: samples.extent.totalBytes };
    sources.push(extraTrackSource(file, signal, movie, track, layout.fragments, shift, isChapterList, counted));
  }
  facts.textTracks = text.length === 0 ? absent("no text track") : read(text, at("moov"));
  facts.dataTracks = records.length === 0 ? absent("no data track") : read(records, at("moov"));
  return sources;
}

/** Facts out of metadata keys and the movie's clock. */
function addKeys({ movie, layout, facts, at }: Reading): void {
  const items = [...movie.metadata];
  if (layout.meta !== undefined) readMeta(layout.meta, 0, layout.meta.view.byteLength, "meta", items);
  facts.captureRate = captureRateOf(items, at);
  facts.createdAt = createdAtOf(items, movie.clock, at);
  facts.location = locationOf(items, at);
  facts.cameraMaker = keyText(items, "maker", "©mak", at);
  facts.cameraModel = keyText(items, "model", "©mod", at);
  facts.serialNumber = keyText(items, "serial", "©ser", at);
  const entries = items.map(({ key, text }) => [key, text] as const);
  facts.metadata = entries.length === 0 ? absent("no metadata keys") : read(Object.fromEntries(entries), at("moov"));
}
