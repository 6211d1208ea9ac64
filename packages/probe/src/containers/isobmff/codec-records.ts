import { bitReader } from "./bits.ts";
import type { Bytes } from "./boxes.ts";
import { h264Profile, readH264Sps } from "./h264-sps.ts";
import { hevcProfile, hevcScan, readHevcSps, readHevcVpsRate } from "./hevc-sps.ts";
import { readFieldOrder, readHevcSei } from "./sei.ts";
import { chromaNames, type StreamHeader } from "./stream-header.ts";

/** A configuration record: what it says, and how the samples are cut into units. */
export interface CodecRecord {
  readonly header: StreamHeader;
  /** Bytes of the length before each NAL unit in a sample; absent for codecs without NAL units. */
  readonly lengthBytes?: number;
  /** Whether it carried a parameter set; without one the first sample must be asked. */
  readonly hasParameterSet: boolean;
}

const sliceOf = (bytes: Bytes, from: number, to: number): Uint8Array => bytes.array.subarray(from, to);

/** `avcC` (ISO/IEC 14496-15, section 5.3.3); undefined when its lengths do not fit. */
export function readAvcRecord(bytes: Bytes, from: number, to: number): CodecRecord | undefined {
  const { view } = bytes;
  if (to - from < 7) return undefined;
  const header: StreamHeader = {};
  const name = h264Profile(view.getUint8(from + 1), view.getUint8(from + 2));
  if (name !== undefined) header.profile = name;
  const lengthBytes = (view.getUint8(from + 4) & 3) + 1;
  const sets = view.getUint8(from + 5) & 31;
  let at = from + 6;
  let found: StreamHeader | undefined;
  for (let set = 0; set < sets; set += 1) {
    if (at + 2 > to) return undefined;
    const size = view.getUint16(at);
    if (at + 2 + size > to) return undefined;
    found ??= readH264Sps(sliceOf(bytes, at + 2, at + 2 + size));
    at += 2 + size;
  }
  return { header: { ...header, ...found }, lengthBytes, hasParameterSet: found !== undefined };
}

/** `hvcC` (ISO/IEC 14496-15, section 8.3.3); undefined when its lengths do not fit. */
export function readHevcRecord(bytes: Bytes, from: number, to: number): CodecRecord | undefined {
  const { view } = bytes;
  if (to - from < 23) return undefined;
  const header: StreamHeader = {};
  const name = hevcProfile(view.getUint8(from + 1) & 31);
  if (name !== undefined) header.profile = name;
  const source = view.getUint8(from + 6);
  const scan = hevcScan((source & 0x80) !== 0, (source & 0x40) !== 0);
  if (scan !== undefined) header.scan = scan;
  const chroma = chromaNames[view.getUint8(from + 16) & 3];
  if (chroma !== undefined) header.chroma = chroma;
  header.bitDepth = 8 + (view.getUint8(from + 17) & 7);
  const lengthBytes = (view.getUint8(from + 21) & 3) + 1;
  const arrays = view.getUint8(from + 22);
  const units: Uint8Array[] = [];
  let at = from + 23;
  for (let array = 0; array < arrays; array += 1) {
    if (at + 3 > to) return undefined;
    const count = view.getUint16(at + 1);
    at += 3;
    for (let unit = 0; unit < count; unit += 1) {
      if (at + 2 > to) return undefined;
      const size = view.getUint16(at);
      if (at + 2 + size > to) return undefined;
      if (size > 2) units.push(sliceOf(bytes, at + 2, at + 2 + size));
      at += 2 + size;
    }
  }
  const hasParameterSet = addHevcUnits(units, header);
  return { header, lengthBytes, hasParameterSet };
}

/** The type of an H.265 NAL unit (ITU-T H.265, section 7.3.1.2). */
const kind = (unit: Uint8Array): number => ((unit[0] ?? 0) >> 1) & 63;

/** Adds what H.265 NAL units say: parameter sets first, then messages, which may overrule the transfer curve. */
function addHevcUnits(units: readonly Uint8Array[], header: StreamHeader): boolean {
  const set = units.find((unit) => kind(unit) === 33);
  const found = set === undefined ? undefined : readHevcSps(set);
  if (found !== undefined) Object.assign(header, found);
  const video = units.find((unit) => kind(unit) === 32);
  if (header.rate === undefined && video !== undefined) {
    const rate = readHevcVpsRate(video);
    if (rate !== undefined) header.rate = rate;
  }
  for (const unit of units) if (kind(unit) === 39) readHevcSei(unit, header);
  return found !== undefined;
}

/** The NAL units at the start of a sample, each after a length of `lengthBytes`; the last may be cut. */
function unitsOf(sample: Uint8Array, lengthBytes: number): Uint8Array[] {
  const units: Uint8Array[] = [];
  let at = 0;
  while (at + lengthBytes < sample.length && units.length < mostUnits) {
    let size = 0;
    for (let place = 0; place < lengthBytes; place += 1) size = size * 256 + (sample[at + place] as number);
    at += lengthBytes;
    if (size > 0) units.push(sample.subarray(at, Math.min(sample.length, at + size)));
    at += size;
  }
  return units;
}

/** Units looked at in a first sample: parameter sets and messages come before the first slice. */
const mostUnits = 32;

/** Parameter sets that stand in the first sample (`avc3`, `hev1`); undefined when there are none. */
export function readFirstSample(sample: Uint8Array, lengthBytes: number, hevc: boolean): StreamHeader | undefined {
  const units = unitsOf(sample, lengthBytes);
  const header: StreamHeader = {};
  if (hevc) return addHevcUnits(units, header) ? header : undefined;
  const set = units.find((unit) => ((unit[0] ?? 0) & 31) === 7);
  return set === undefined ? undefined : readH264Sps(set);
}

/** The field order an H.264 first sample states in a picture timing message. */
export function fieldOrderOf(sample: Uint8Array, lengthBytes: number, skipBits: number): string | undefined {
  for (const unit of unitsOf(sample, lengthBytes)) {
    if (((unit[0] ?? 0) & 31) !== 6) continue;
    const order = readFieldOrder(unit, skipBits);
    if (order !== undefined) return order;
  }
  return undefined;
}

/** `vpcC` (VP codec ISO media file format binding, version 1). */
export function readVpRecord(bytes: Bytes, from: number, to: number): CodecRecord | undefined {
  const { view } = bytes;
  if (to - from < 10) return undefined;
  const packed = view.getUint8(from + 6);
  const chroma = ["4:2:0", "4:2:0", "4:2:2", "4:4:4"][(packed >> 1) & 7];
  const header: StreamHeader = {
    profile: `Profile ${view.getUint8(from + 4)}`,
    bitDepth: packed >> 4,
    fullRange: (packed & 1) === 1,
    primaries: view.getUint8(from + 7),
    transfer: view.getUint8(from + 8),
    matrix: view.getUint8(from + 9),
  };
  if (chroma !== undefined) header.chroma = chroma;
  return { header, hasParameterSet: true };
}

/** Profiles of `esds` decoder specific bytes for MPEG-4 part 2, by the high half of profile_and_level_indication. */
export function readMpeg4Header(bytes: Uint8Array): StreamHeader {
  // Visual object sequence start code 00 00 01 B0, then profile and level (ISO/IEC 14496-2, table G.1).
  const header: StreamHeader = {};
  for (let at = 0; at + 4 < bytes.length; at += 1) {
    if (bytes[at] !== 0 || bytes[at + 1] !== 0 || bytes[at + 2] !== 1) continue;
    if (bytes[at + 3] === 0xb5) readVisualObject(bytes.subarray(at + 4), header);
    if (bytes[at + 3] !== 0xb0) continue;
    const level = (bytes[at + 4] as number) >> 4;
    if (level === 0) header.profile = "Simple Profile";
    if (level === 15) header.profile = "Advanced Simple Profile";
    // Both profiles allow nothing but 8-bit 4:2:0.
    if (header.profile !== undefined) Object.assign(header, { bitDepth: 8, chroma: "4:2:0" });
  }
  return header;
}

/** Range and colour of a visual object header (ISO/IEC 14496-2, section 6.2.2, `video_signal_type`). */
function readVisualObject(bytes: Uint8Array, header: StreamHeader): void {
  const input = bitReader(bytes);
  if (input.flag()) input.skip(4 + 3);
  const kindOfObject = input.bits(4);
  if ((kindOfObject !== 1 && kindOfObject !== 2) || !input.flag()) return;
  input.skip(3);
  const fullRange = input.flag();
  if (!input.flag()) {
    if (!input.ended) header.fullRange = fullRange;
    return;
  }
  const [primaries, transfer, matrix] = [input.bits(8), input.bits(8), input.bits(8)];
  if (!input.ended) Object.assign(header, { fullRange, primaries, transfer, matrix });
}
