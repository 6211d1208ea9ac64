import { damaged } from "@goodgate/model";
import type { ExtraTrackSource, TelemetryFacts, TimedSample } from "../contracts.ts";
import { cueColumns } from "./cue-columns.ts";
import { readCues } from "./cue-reader.ts";
import { decodeText } from "./decode-text.ts";
import { type ClipTimes, foldTelemetry } from "./fold.ts";
import { guessContent, mostCueCharacters, placesToLookAt, recognise } from "./recognise.ts";
import { chooseSamples, type NumberedSamples, readChosen } from "./sampling.ts";
import { sampleText, type TextOfSample, webVttText } from "./sample-text.ts";
import { unknownKeys } from "./unknown-keys.ts";

/** A track that is no telemetry of a camera, and what its samples are instead. */
export interface NotTelemetry {
  readonly notTelemetry: string;
  /** For the list of tracks: `chapters`, `speech`, `captions`, `unknown vocabulary` … */
  readonly holds: string;
}

/** Entries whose samples are known not to be telemetry text. */
const otherEntries: Readonly<Record<string, string>> = {
  c608: "captions",
  c708: "captions",
  mp4s: "pictures",
  stpp: "unknown vocabulary",
  tmcd: "timecode",
};

/** Samples up to which a text track is read at once instead of being looked at first. */
const readAtOnce = 300;

/**
 * Reads a text track (`tx3g`, QuickTime `text`, `wvtt`) that carries camera settings. Chapter lists are never read, speech
 * is told apart by looking at fifteen samples. Errors of the file system pass through; nothing else is thrown.
 */
export async function readTextTrack(
  track: ExtraTrackSource,
  clip: ClipTimes,
  file: string,
): Promise<TelemetryFacts | NotTelemetry> {
  if (track.isChapterList) return { notTelemetry: "chapter list", holds: "chapters" };
  const other = otherEntries[track.entry];
  if (other !== undefined) return { notTelemetry: `${track.entry}: ${other}`, holds: other };
  const stretchOf = track.entry === "wvtt" ? webVttText : sampleText;
  const textOf = (sample: TimedSample): string | undefined => {
    const stretch = stretchOf(sample.bytes);
    if (stretch === "empty" || stretch === undefined) return undefined;
    const text = decodeText(stretch.bytes.subarray(stretch.from, stretch.to));
    return text.length > mostCueCharacters ? undefined : text;
  };

  const all = track.sampleCount <= readAtOnce && track.totalBytes <= readAtOnce * mostCueCharacters;
  const chosen = all ? {} : chooseSamples(track, clip, false);
  const looked = all
    ? []
    : // Gap fillers stand between cues in some files: neighbours are looked at in pairs.
      (await track.read(withNeighbours(track.sampleCount))).flatMap((sample) => textOf(sample) ?? []);
  let read: NumberedSamples | undefined;
  if (all) {
    read = await readChosen(track, chosen);
    const texts = read.samples.flatMap((sample) => textOf(sample) ?? []);
    looked.push(...placesToLookAt(texts.length).map((place) => texts[place] as string));
  }
  const dialect = recognise(looked);
  if (dialect === undefined) {
    const holds = guessContent(looked);
    return { notTelemetry: holds === "nothing" ? "no text in it" : holds, holds };
  }

  read ??= await readChosen(track, chosen);
  const { samples, numbers } = read;
  const name = `track ${track.id} (${track.entry})`;
  const joined = joinedTexts(samples.map((sample) => stretchOf(sample.bytes)));
  const { places } = joined;
  if (places.length === 0) {
    return { telemetry: damaged("no sample can be read", { kind: "per-frame record", file, place: name }) };
  }
  const sampleOf = (place: number): TimedSample => samples[places[place] as number] as TimedSample;
  const cues = {
    ...joined,
    count: places.length,
    starts: places.map((_, place) => sampleOf(place).startMicroseconds),
    ends: places.map((_, place) => sampleOf(place).startMicroseconds + sampleOf(place).durationMicroseconds),
  };
  const nameOf = (place: number): string => `${name} sample ${numbers[places[place] as number] ?? 0}`;
  const columns = cueColumns(clip, nameOf, cues.ends);
  const rest = unknownKeys();
  readCues(cues, dialect, rest, columns);
  return foldTelemetry({
    dialect: dialect.id,
    file,
    place: `${name} samples ${numbers[0] ?? 0} to ${numbers[numbers.length - 1] ?? 0}`,
    records: columns,
    clip,
    rest,
    unreadRecords: 0,
    remarks: [],
    ...(chosen.sampled === undefined ? {} : { sampled: chosen.sampled }),
    clockSource: "camera",
  });
}

/** The texts of samples one behind the other, gap fillers left out; one that cannot be read ends before it begins. */
function joinedTexts(stretches: readonly ReturnType<TextOfSample>[]) {
  const places = stretches.flatMap((stretch, place) => (stretch === "empty" ? [] : [place]));
  const texts = places.map((place) => {
    const stretch = stretches[place];
    return stretch === undefined || stretch === "empty" ? undefined : stretch.bytes.subarray(stretch.from, stretch.to);
  });
  const bytes = new Uint8Array(texts.reduce((sum, text) => sum + (text?.length ?? 0), 0));
  const from: number[] = [];
  const to: number[] = [];
  let at = 0;
  for (const text of texts) {
    from.push(text === undefined ? at + 1 : at);
    if (text !== undefined) bytes.set(text, at);
    at += text?.length ?? 0;
    to.push(at);
  }
  return { bytes, from, to, places, text: (first: number, end: number) => decodeText(bytes.subarray(first, end)) };
}

function withNeighbours(count: number): readonly number[] {
  const places = new Set<number>();
  for (const place of placesToLookAt(count)) {
    places.add(place);
    if (place + 1 < count) places.add(place + 1);
  }
  return [...places].sort((a, b) => a - b);
}
