import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import type { UnknownKeys } from "../telemetry/unknown-keys.ts";
import { berLength } from "./ber.ts";
import { utcClock } from "./satellite-clock.ts";
import { statedDegrees, statedWithin } from "./stream-builder.ts";

/** Key of the local set of unmanned aircraft (MISB ST 0601, through exiftool's reading of it). */
const setKey = Uint8Array.of(6, 0x0e, 0x2b, 0x34, 2, 0x0b, 1, 1, 0x0e, 1, 3, 1, 1, 0, 0, 0);
/** Bytes of the header of a metadata access unit in a synchronous stream (ISO/IEC 13818-1, section 2.12.4). */
const cellHeaderBytes = 5;

/** Whether a payload begins with a set, with or without an access unit header before it. */
export const beginsWithSet = (bytes: Uint8Array): boolean => hasKey(bytes, 0) || hasKey(bytes, cellHeaderBytes);

/**
 * Reads the first local set of a payload: place and UTC clock, there is no exposure in it. `undefined` when it is not a
 * set, a length does not fit or the checksum is wrong; an item that states the format's error value is left out.
 */
export function readSt0601(bytes: Uint8Array, rest: UnknownKeys): TelemetryRecord | undefined {
  const begin = hasKey(bytes, 0) ? 0 : cellHeaderBytes;
  if (!hasKey(bytes, begin)) return undefined;
  const length = berLength(bytes, begin + setKey.length);
  if (length === undefined || length.from + length.size > bytes.length) return undefined;
  const end = length.from + length.size;
  const record = emptyRecord();
  let at = length.from;
  while (at < end) {
    let tag = 0;
    let more = true;
    // A tag has seven bits a byte; tags of this set fit in two.
    for (let count = 0; more && count < 3 && at < end; count += 1, at += 1) {
      const byte = bytes[at] as number;
      tag = tag * 128 + (byte & 0x7f);
      more = byte >= 0x80;
    }
    const item = berLength(bytes, at);
    if (more || item === undefined || item.from + item.size > end) return undefined;
    const value = new DataView(bytes.buffer, bytes.byteOffset + item.from, item.size);
    if (tag === 1) {
      if (item.size !== 2 || checksum(bytes, begin, item.from) !== value.getUint16(0)) return undefined;
    } else {
      fill(record, tag, value, rest);
    }
    at = item.from + item.size;
  }
  return record;
}

const hasKey = (bytes: Uint8Array, at: number): boolean =>
  at + setKey.length <= bytes.length && setKey.every((byte, place) => bytes[at + place] === byte);

/** Running 16-bit sum from the key to the checksum's own length, bytes alternately high and low. */
function checksum(bytes: Uint8Array, from: number, to: number): number {
  let sum = 0;
  for (let at = from; at < to; at += 1)
    sum = (sum + ((bytes[at] as number) << ((at - from) % 2 === 0 ? 8 : 0))) & 0xffff;
  return sum;
}

const errorValue = -0x8000_0000;
const mostPositive = 0x7fff_ffff;

function fill(record: TelemetryRecord, tag: number, value: DataView, rest: UnknownKeys): void {
  if (tag === 2 && value.byteLength === 8) {
    record.clock = utcClock(Number(value.getBigUint64(0)), 1);
  } else if (tag === 13 && value.byteLength === 4) {
    const coded = value.getInt32(0);
    if (coded !== errorValue) record.latitudeDegrees = statedDegrees(rounded((coded * 90) / mostPositive), 90);
  } else if (tag === 14 && value.byteLength === 4) {
    const coded = value.getInt32(0);
    if (coded !== errorValue) record.longitudeDegrees = statedDegrees(rounded((coded * 180) / mostPositive), 180);
  } else if (tag === 15 && value.byteLength === 2) {
    record.altitudeMetres = statedWithin((value.getUint16(0) * 19_900) / 65_535 - 900, -900, 19_000);
  } else if (tag !== 65) {
    rest.add(
      `item ${tag}`,
      Buffer.from(value.buffer, value.byteOffset, Math.min(value.byteLength, 32)).toString("hex"),
    );
  }
}

/** Steps of the encoding are 4 and 8 hundred-millionths of a degree; more than seven digits say nothing. */
const rounded = (degrees: number): number => Number(degrees.toFixed(7));
