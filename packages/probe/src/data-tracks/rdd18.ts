import { type Rate, ratio, type Timecode, toNumber } from "@goodgate/model";
import { fNumberRange, isoRange, kelvinRange } from "../dialects/values.ts";
import { parseTimecode } from "../sidecars/timecode-text.ts";
import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import type { UnknownKeys } from "../telemetry/unknown-keys.ts";
import { berLength } from "./ber.ts";
import type { DataTrackContent, DataTrackInput, DataTrackReader } from "./reader.ts";
import { shutterFromQuotient } from "./shutter-number.ts";
import { statedWithin, streamBuilder } from "./stream-builder.ts";

/** First bytes of the keys of acquisition metadata sets; two bytes that name the set follow at places 12 to 15. */
const setKey = [0x06, 0x0e, 0x2b, 0x34, 0x02, 0x53, 0x01, 0x01, 0x0c, 0x02, 0x01, 0x01] as const;
const keyBytes = 16;
/** Bytes searched for the first set when the header does not say where it is. */
const mostSearched = 4096;

/**
 * Acquisition metadata in local sets (SMPTE RDD 18): two bytes of tag, two of length, big endian, after a header whose
 * length is the first number of the sample. Tags and encodings as in mediainfo's source, which cites EBU Tech 3349, and
 * as exiftool reads them; the document itself was not at hand.
 */
export default {
  id: "rdd18",
  title: "Acquisition metadata (RDD 18)",
  mixed: false,
  recognises: (_, firstSample) => firstSet(firstSample) >= 0,
  read,
} satisfies DataTrackReader;

function read({ track, samples: { samples, numbers }, clip, rest }: DataTrackInput): DataTrackContent {
  const records = streamBuilder();
  let unreadSamples = 0;
  const known = new Map<string, TelemetryRecord>();
  samples.forEach((sample, at) => {
    const begin = firstSet(sample.bytes);
    const record = begin < 0 ? undefined : remembered(known, sample.bytes, begin, rest);
    const start = sample.startMicroseconds;
    if (record === undefined) unreadSamples += 1;
    else records.add(start, start + sample.durationMicroseconds, numbers[at] ?? at, record);
  });
  const streams = records.count() > 0 ? [records.finish()] : [];
  const first = track.entry === "rtmd" && numbers[0] === 0 ? samples[0]?.bytes : undefined;
  const timecode =
    first === undefined || clip.frameRate === undefined ? undefined : headerTimecode(first, clip.frameRate);
  return {
    streams,
    unreadSamples,
    remarks: [],
    clockSource: "camera",
    ...(timecode === undefined ? {} : { timecode }),
  };
}

/** Where the header of an `rtmd` sample holds hours, minutes, seconds, drop flag and frames, one byte each. */
const timecodeAt = 13;

/**
 * The timecode in the header of an `rtmd` sample, at the place and in the bytes that ffmpeg 5.1 reads
 * (libavformat/mov.c, mov_read_rtmd_track). A header of nothing but zeros was never filled in.
 */
function headerTimecode(sample: Uint8Array, rate: Rate): Timecode | undefined {
  const headerBytes = sample.length >= 2 ? ((sample[0] as number) << 8) | (sample[1] as number) : 0;
  if (headerBytes < timecodeAt + 5 || sample.length < headerBytes) return undefined;
  if (sample.subarray(2, headerBytes).every((byte) => byte === 0)) return undefined;
  const [hours, minutes, seconds, drop, frames] = [...sample.subarray(timecodeAt, timecodeAt + 5)].map((byte) =>
    String(byte).padStart(2, "0"),
  );
  const label = `${hours}:${minutes}:${seconds}${drop === "00" ? ":" : ";"}${frames}`;
  return parseTimecode(label, Math.round(toNumber(rate)));
}

/** Samples remembered, and the longest of them: 4 MiB together. */
const mostRemembered = 256;
const longestRemembered = 16 * 1024;

/** Equal samples share a record, and with it the exact fractions in it. */
function remembered(
  known: Map<string, TelemetryRecord>,
  bytes: Uint8Array,
  begin: number,
  rest: UnknownKeys,
): TelemetryRecord | undefined {
  if (bytes.length > longestRemembered) return readSets(bytes, begin, rest);
  const content = Buffer.from(bytes.buffer, bytes.byteOffset + begin, bytes.length - begin).toString("latin1");
  const found = known.get(content);
  if (found !== undefined) return found;
  const record = readSets(bytes, begin, rest);
  if (record !== undefined && known.size < mostRemembered) known.set(content, record);
  return record;
}

/** Where the first set begins; -1 when there is none. */
function firstSet(bytes: Uint8Array): number {
  const header = bytes.length >= 2 ? ((bytes[0] as number) << 8) | (bytes[1] as number) : 0;
  if (isSetKey(bytes, header)) return header;
  const most = Math.min(bytes.length - keyBytes, mostSearched);
  for (let at = 0; at <= most; at += 1) if (isSetKey(bytes, at)) return at;
  return -1;
}

const isSetKey = (bytes: Uint8Array, at: number): boolean =>
  at + keyBytes <= bytes.length && setKey.every((byte, place) => bytes[at + place] === byte);

/** Reads all sets of a sample; undefined when a length does not fit. */
function readSets(bytes: Uint8Array, begin: number, rest: UnknownKeys): TelemetryRecord | undefined {
  const record = emptyRecord();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = begin;
  while (isSetKey(bytes, at)) {
    const length = berLength(bytes, at + keyBytes);
    if (length === undefined || length.from + length.size > bytes.length) return undefined;
    const end = length.from + length.size;
    for (let item = length.from; item < end;) {
      if (item + 4 > end) return undefined;
      const tag = view.getUint16(item);
      const size = view.getUint16(item + 2);
      if (item + 4 + size > end) return undefined;
      readItem(record, tag, new DataView(view.buffer, view.byteOffset + item + 4, size), rest);
      item += 4 + size;
    }
    at = end;
  }
  return record;
}

/** Ceiling of a 16-bit sensitivity: the true one does not fit. */
const ceiling = 65_535;

function readItem(record: TelemetryRecord, tag: number, value: DataView, rest: UnknownKeys): void {
  const two = value.byteLength === 2 ? value.getUint16(0) : undefined;
  const eight = value.byteLength === 8 ? ([value.getUint32(0), value.getUint32(4)] as const) : undefined;
  if (tag === 0x8000 && two !== undefined) {
    // Zero is a lens without contacts (common practice, no source).
    if (two !== 0) record.fNumber = statedWithin(apertureOf(two), ...fNumberRange);
  } else if (tag === 0x8004 && two !== undefined) {
    const metres = shortFloat(two);
    if (metres !== 0) record.focalLength35mm = statedWithin(Number((metres * 1000).toPrecision(6)), 1, 5000);
  } else if (tag === 0x8103 && two !== undefined) {
    // One over the share of light that passes.
    record.ndStops = two === 0 ? { fault: "0" } : { value: Math.log2(two) };
  } else if (tag === 0x8106 && eight !== undefined) {
    const [above, below] = eight;
    const usable = above > 0 && below > 0 && above / below <= 2000;
    record.captureRate = usable ? { value: ratio(above, below) } : { fault: `${above}/${below}` };
  } else if (tag === 0x8108 && value.byteLength === 4) {
    record.shutterAngle = statedWithin(value.getUint32(0) / 60, 0.1, 360);
  } else if (tag === 0x8109 && eight !== undefined) {
    record.shutterSeconds = shutterFromQuotient(...eight);
  } else if (tag === 0x810a && value.byteLength === 2) {
    // Read signed: unsigned, -3 dB would be 652 dB, which no camera has.
    record.gainDecibels = statedWithin(value.getInt16(0) / 100, -60, 120);
  } else if (tag === 0x810b && two !== undefined) {
    record.iso =
      two === ceiling ? { fault: `${ceiling}, the most this field can hold` } : statedWithin(two, ...isoRange);
  } else if (tag === 0x810e && two !== undefined) {
    if (two !== 0) record.whiteBalanceKelvin = statedWithin(two, ...kelvinRange);
  } else if (tag === 0x8115 && two !== undefined) {
    // The exposure index serves where no sensitivity is stated.
    if (record.iso === undefined && two !== ceiling) record.iso = statedWithin(two, ...isoRange);
  } else {
    rest.add(tag.toString(16).padStart(4, "0"), hexOf(value));
  }
}

/** f-number from its logarithmic encoding, rounded to the four digits the encoding can tell apart. */
const apertureOf = (coded: number): number => Number((2 ** (8 - coded / 8192)).toPrecision(4));

/** A 16-bit number of four bits of signed decimal exponent and twelve of mantissa (from memory). */
function shortFloat(coded: number): number {
  const exponent = coded >> 12;
  return (coded & 0xfff) * 10 ** (exponent >= 8 ? exponent - 16 : exponent);
}

const hexOf = (value: DataView): string =>
  Buffer.from(value.buffer, value.byteOffset, Math.min(value.byteLength, 32)).toString("hex");
