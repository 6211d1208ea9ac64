import { readNumber, isoRange, fNumberRange, kelvinRange } from "../dialects/values.ts";
import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import type { DataTrackContent, DataTrackInput, DataTrackReader } from "./reader.ts";
import { shutterFromFloat } from "./shutter-number.ts";
import { statedDegrees, statedWithin, streamBuilder } from "./stream-builder.ts";

/** Keys read from one sample entry. */
const mostKeys = 256;
/** Longest value looked at as text. */
const mostTextBytes = 256;

/**
 * Timed metadata of QuickTime, `mebx`: the sample entry lists keys with a local number, a name and a type; each sample is
 * a list of boxes named by those numbers (QuickTime File Format, "Timed Metadata Media").
 */
export default {
  id: "mebx",
  title: "QuickTime timed metadata",
  mixed: false,
  recognises: (track) => track.entry === "mebx",
  read,
} satisfies DataTrackReader;

interface Key {
  readonly name: string;
  readonly type: number;
}

function read({ track, samples: { samples, numbers }, rest }: DataTrackInput): DataTrackContent {
  const keys = readKeys(track.entryBytes);
  const shutter = shutterFromFloat();
  const records = streamBuilder();
  let unreadSamples = 0;
  samples.forEach((sample, at) => {
    const record = emptyRecord();
    let met = 0;
    const whole = eachBox(sample.bytes, 0, (id, from, to) => {
      const key = keys.get(id);
      if (key === undefined) return;
      met += 1;
      const value = readValue(sample.bytes.subarray(from, to), key.type);
      if (value === undefined || !fill(record, key.name, value, shutter)) rest.add(key.name, String(value ?? ""));
    });
    const start = sample.startMicroseconds;
    // A sample without boxes says that nothing is known for its time.
    if (!whole || (met === 0 && sample.bytes.length > 8)) unreadSamples += 1;
    else if (met > 0) records.add(start, start + sample.durationMicroseconds, numbers[at] ?? at, record);
  });
  const streams = records.count() > 0 ? [records.finish()] : [];
  return { streams, unreadSamples, remarks: [], clockSource: "camera" };
}

/** Visits boxes of a 32-bit size and a 32-bit name; false when one is longer than what holds it. */
function eachBox(bytes: Uint8Array, begin: number, visit: (name: number, from: number, to: number) => void): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = begin;
  while (at + 8 <= bytes.length) {
    const size = view.getUint32(at);
    // A zero ends a list.
    if (size === 0) return true;
    if (size < 8 || at + size > bytes.length) return false;
    visit(view.getUint32(at + 4), at + 8, at + size);
    at += size;
  }
  return bytes.length - at < 8;
}

const fourCharacters = (code: string): number =>
  [...code].reduce((sum, character) => sum * 256 + character.charCodeAt(0), 0);
const keysBox = fourCharacters("keys");
const nameBox = fourCharacters("keyd");
const typeBox = fourCharacters("dtyp");

/** Keys of a sample entry, by local number. Eight bytes of every sample entry precede its boxes. */
function readKeys(entry: Uint8Array): ReadonlyMap<number, Key> {
  const keys = new Map<number, Key>();
  eachBox(entry, 8, (box, from, to) => {
    if (box !== keysBox) return;
    const list = entry.subarray(from, to);
    eachBox(list, 0, (id, keyFrom, keyTo) => {
      if (keys.size >= mostKeys) return;
      const parts = list.subarray(keyFrom, keyTo);
      const view = new DataView(parts.buffer, parts.byteOffset, parts.byteLength);
      let name = "";
      let type = 0;
      eachBox(parts, 0, (part, partFrom, partTo) => {
        if (part === nameBox)
          name = latin(parts.subarray(Math.min(partFrom + 4, partTo), Math.min(partTo, partFrom + 204)));
        // Type namespace 0 holds well-known numbers; 1 holds names of custom types, of which text is the safe reading.
        if (part === typeBox && partTo - partFrom >= 8)
          type = view.getUint32(partFrom) === 0 ? view.getUint32(partFrom + 4) : customType;
      });
      if (name !== "") keys.set(id, { name, type });
    });
  });
  return keys;
}

const latin = (bytes: Uint8Array): string => Buffer.from(bytes).toString("latin1");
const customType = -1;

/** A value of a well-known type (QuickTime File Format, "Well-known data types"); undefined when it is none we read. */
function readValue(bytes: Uint8Array, type: number): number | string | undefined {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const { length } = bytes;
  if (type === 23 && length === 4) return view.getFloat32(0);
  if (type === 24 && length === 8) return view.getFloat64(0);
  if (type === 65 && length === 1) return view.getInt8(0);
  if (type === 66 && length === 2) return view.getInt16(0);
  if (type === 67 && length === 4) return view.getInt32(0);
  if (type === 74 && length === 8) return Number(view.getBigInt64(0));
  if (type === 75 && length === 1) return view.getUint8(0);
  if (type === 76 && length === 2) return view.getUint16(0);
  if (type === 77 && length === 4) return view.getUint32(0);
  if (type === 78 && length === 8) return Number(view.getBigUint64(0));
  if ((type === 21 || type === 22) && length >= 1 && length <= 4) {
    const unsigned = bytes.reduce((sum, byte) => sum * 256 + byte, 0);
    const half = 2 ** (8 * length - 1);
    return type === 21 && unsigned >= half ? unsigned - 2 * half : unsigned;
  }
  const isText = type === 1 || type === customType;
  return isText && length <= mostTextBytes && bytes.every((byte) => byte >= 32) ? latin(bytes) : undefined;
}

/** ISO 6709 annex H in decimal degrees, the form camera files carry. */
const placeForm = /^([+-]\d{2}(?:\.\d+)?)([+-]\d{3}(?:\.\d+)?)([+-]\d+(?:\.\d+)?)?/;

/** Fills the field whose trade name ends the key; false for a key that means nothing to us. */
function fill(
  record: TelemetryRecord,
  name: string,
  value: number | string,
  shutter: ReturnType<typeof shutterFromFloat>,
): boolean {
  const last = name
    .slice(name.lastIndexOf(".") + 1)
    .toLowerCase()
    .replaceAll(/[-_ ]/g, "");
  if (last === "iso6709" && typeof value === "string") {
    const match = placeForm.exec(value);
    if (match === null) return false;
    record.latitudeDegrees = statedDegrees(Number(match[1]), 90);
    record.longitudeDegrees = statedDegrees(Number(match[2]), 180);
    if (match[3] !== undefined) record.altitudeMetres = statedWithin(Number(match[3]), -1000, 100_000);
    return true;
  }
  if (typeof value !== "number") return false;
  if (last === "iso" || last === "isospeed" || last === "isosensitivity") {
    record.iso = readNumber(String(value), isoRange);
  } else if (last === "exposuretime" || last === "shuttertime" || last === "exposureduration") {
    record.shutterSeconds = shutter(value);
  } else if (last === "fnumber") {
    record.fNumber = statedWithin(Number(value.toPrecision(4)), ...fNumberRange);
  } else if (last === "colortemperature" || last === "colourtemperature") {
    record.whiteBalanceKelvin = statedWithin(value, ...kelvinRange);
  } else {
    return false;
  }
  return true;
}
