import { damaged, read } from "@goodgate/model";
import type { ExtraTrackSource, TelemetryFacts } from "../contracts.ts";
import camm from "../data-tracks/camm.ts";
import fourCharacterKlv from "../data-tracks/four-character-klv.ts";
import mebx from "../data-tracks/mebx.ts";
import rdd18 from "../data-tracks/rdd18.ts";
import type { DataTrackReader } from "../data-tracks/reader.ts";
import { ownName } from "../data-tracks/self-named.ts";
import { type ClipTimes, foldTelemetry } from "./fold.ts";
import { chooseSamples, readChosen } from "./sampling.ts";
import type { NotTelemetry } from "./text-track.ts";
import { unknownKeys } from "./unknown-keys.ts";

/** Kinds of data tracks; the ones told by their entry first, the one told by its bytes last. */
export const dataTrackReaders: readonly DataTrackReader[] = [camm, fourCharacterKlv, mebx, rdd18];

/** Entries that name their own vocabulary, which is not ours. */
const selfNamed = new Set(["mett", "metx", "urim"]);
/** Average sample up to which an unknown track's first sample is looked at. */
const mostFirstSampleBytes = 256 * 1024;

/**
 * Reads a data track of camera settings per frame. A track of unknown vocabulary is named and no value taken from it.
 * Errors of the file system pass through; nothing else is thrown.
 */
export async function readDataTrack(
  track: ExtraTrackSource,
  clip: ClipTimes,
  file: string,
): Promise<TelemetryFacts | NotTelemetry> {
  const name = `track ${track.id} (${track.entry})`;
  if (track.entry === "tmcd") return { notTelemetry: "timecode", holds: "timecode" };
  if (selfNamed.has(track.entry)) {
    const own = ownName(track);
    return {
      notTelemetry: own === undefined ? `${track.entry} without a name` : `${track.entry}: ${own}`,
      holds: "unknown vocabulary",
    };
  }
  const byEntry = dataTrackReaders.find((candidate) => candidate.recognises(track, new Uint8Array(0)));
  const small = track.totalBytes / Math.max(1, track.sampleCount) <= mostFirstSampleBytes;
  const first = byEntry === undefined && track.sampleCount > 0 && small ? (await track.read([0]))[0]?.bytes : undefined;
  const reader =
    byEntry ?? dataTrackReaders.find((candidate) => candidate.recognises(track, first ?? new Uint8Array(0)));
  if (reader === undefined) return { notTelemetry: `${track.entry}: unknown vocabulary`, holds: "unknown vocabulary" };

  const origin = { kind: "per-frame record", file, place: name } as const;
  if (track.sampleCount === 0) return { telemetry: damaged("the track has no samples", origin) };
  const chosen = chooseSamples(track, clip, reader.mixed);
  const samples = await readChosen(track, chosen);
  const rest = unknownKeys();
  const { streams, unreadSamples, remarks, clockSource, timecode } = reader.read({ track, samples, clip, rest });
  const silent = { notTelemetry: `${track.entry}: no settings in it`, holds: reader.id };
  if (streams.length === 0) {
    if (unreadSamples === 0) return silent;
    return { telemetry: damaged(`${unreadSamples} of ${samples.samples.length} samples cannot be read`, origin) };
  }
  const { numbers } = samples;
  const folded = foldTelemetry({
    dialect: reader.id,
    file,
    place: `${name} samples ${numbers[0] ?? 0} to ${numbers[numbers.length - 1] ?? 0}`,
    records: { streams, nameOf: (stream, at) => `${name} sample ${streams[stream]?.sampleNumbers[at] ?? 0}` },
    clip,
    rest,
    unreadRecords: unreadSamples,
    remarks,
    ...(chosen.sampled === undefined ? {} : { sampled: chosen.sampled }),
    clockSource,
  });
  const facts: TelemetryFacts =
    timecode === undefined ? folded : { ...folded, timecode: read(timecode, { ...origin, place: `${name} sample 0` }) };
  // Records of faces, motion or sound levels are no settings: silence must not stand in for a sidecar's values.
  return facts.telemetry?.state === "read" &&
    Object.keys(facts).length === 1 &&
    facts.telemetry.value.firstClock === undefined
    ? silent
    : facts;
}
