import { type BitReader, bitReader } from "./bits.ts";
import type { Bytes } from "./boxes.ts";
import type { CodecRecord } from "./codec-records.ts";
import type { StreamHeader } from "./stream-header.ts";

const profileNames: readonly string[] = ["Main", "High", "Professional"];
const sequenceHeaderUnit = 1;

/** `av1C` (AV1 codec ISO media file format binding, section 2.3) with the sequence header it carries. */
export function readAv1Record(bytes: Bytes, from: number, to: number): CodecRecord | undefined {
  const { view } = bytes;
  if (to - from < 4) return undefined;
  const flags = view.getUint8(from + 2);
  const profile = view.getUint8(from + 1) >> 5;
  const header: StreamHeader = {};
  const name = profileNames[profile];
  if (name !== undefined) header.profile = name;
  header.bitDepth = (flags & 0x40) !== 0 ? ((flags & 0x20) !== 0 ? 12 : 10) : 8;
  header.chroma = chromaOf((flags & 0x10) !== 0, (flags & 8) !== 0, (flags & 4) !== 0);
  const unit = sequenceUnit(bytes.array.subarray(from + 4, to));
  const found = unit === undefined ? undefined : readSequenceHeader(unit, profile);
  return { header: { ...header, ...found }, hasParameterSet: found !== undefined };
}

/** What the sequence header in a first sample says, for files whose configuration record carries none. */
export function readAv1Sample(sample: Uint8Array): StreamHeader | undefined {
  const unit = sequenceUnit(sample);
  // The profile is the first three bits of the header.
  return unit === undefined ? undefined : readSequenceHeader(unit, (unit[0] ?? 0) >> 5);
}

const chromaOf = (monochrome: boolean, halfWidth: boolean, halfHeight: boolean): string =>
  monochrome ? "4:0:0" : halfWidth ? (halfHeight ? "4:2:0" : "4:2:2") : "4:4:4";

/** The body of the first sequence header unit (AV1 bitstream specification, section 5.3). */
function sequenceUnit(units: Uint8Array): Uint8Array | undefined {
  let at = 0;
  while (at < units.length) {
    const head = units[at] as number;
    at += 1 + ((head >> 2) & 1);
    let size = units.length - at;
    if ((head & 2) !== 0) {
      size = 0;
      for (let place = 0; place < 5 && at < units.length; place += 1) {
        const byte = units[at++] as number;
        size += (byte & 0x7f) * 2 ** (7 * place);
        if (byte < 0x80) break;
      }
    }
    if (size > units.length - at) return undefined;
    if (((head >> 3) & 15) === sequenceHeaderUnit) return units.subarray(at, at + size);
    at += size;
  }
  return undefined;
}

/** The sequence header (AV1 bitstream specification, section 5.5); undefined when it ends too early. */
export function readSequenceHeader(unit: Uint8Array, profile: number): StreamHeader | undefined {
  const input = bitReader(unit);
  const header: StreamHeader = {};
  input.skip(3 + 1);
  const reduced = input.flag();
  if (reduced) input.skip(5);
  else if (!readOperatingPoints(input, header)) return undefined;
  const widthBits = input.bits(4) + 1;
  const heightBits = input.bits(4) + 1;
  header.width = input.bits(widthBits) + 1;
  header.height = input.bits(heightBits) + 1;
  if (!reduced && input.flag()) input.skip(4 + 3);
  input.skip(3);
  if (!reduced) skipTools(input);
  input.skip(3);
  readColour(input, header, profile);
  return input.ended ? undefined : header;
}

function skipTools(input: BitReader): void {
  input.skip(4);
  const orderHints = input.flag();
  if (orderHints) input.skip(2);
  // Each of the two choices is one bit for "by frame", or that bit and one more that forces it.
  const screenTools = input.flag() || input.flag();
  if (screenTools && !input.flag()) input.skip(1);
  if (orderHints) input.skip(3);
}

/** Timing and operating points; false when they cannot be followed. */
function readOperatingPoints(input: BitReader, header: StreamHeader): boolean {
  let delayBits = 0;
  let decoderModel = false;
  if (input.flag()) {
    const units = input.bits(32);
    const scale = input.bits(32);
    // Only with equal intervals does the clock state a frame rate.
    if (input.flag()) {
      const ticks = input.unsigned() + 1;
      if (units > 0 && scale > 0) header.rate = [scale, units * ticks];
    }
    decoderModel = input.flag();
    if (decoderModel) {
      delayBits = input.bits(5) + 1;
      input.skip(32 + 5 + 5);
    }
  }
  const displayDelay = input.flag();
  const points = input.bits(5) + 1;
  for (let point = 0; point < points; point += 1) {
    input.skip(12);
    if (input.bits(5) > 7) input.skip(1);
    if (decoderModel && input.flag()) input.skip(2 * delayBits + 1);
    if (displayDelay && input.flag()) input.skip(4);
  }
  return !input.ended;
}

function readColour(input: BitReader, header: StreamHeader, profile: number): void {
  const high = input.flag();
  header.bitDepth = profile === 2 && high ? (input.flag() ? 12 : 10) : high ? 10 : 8;
  const monochrome = profile !== 1 && input.flag();
  if (input.flag()) {
    header.primaries = input.bits(8);
    header.transfer = input.bits(8);
    header.matrix = input.bits(8);
  }
  // sRGB as RGB is full range 4:4:4 by definition and carries no further bits.
  if (!monochrome && header.primaries === 1 && header.transfer === 13 && header.matrix === 0) {
    header.fullRange = true;
    header.chroma = "4:4:4";
    return;
  }
  header.fullRange = input.flag();
  if (monochrome || profile === 0) header.chroma = monochrome ? "4:0:0" : "4:2:0";
  else if (profile === 1) header.chroma = "4:4:4";
  else if (header.bitDepth === 12) {
    const halfWidth = input.flag();
    header.chroma = chromaOf(false, halfWidth, halfWidth && input.flag());
  } else header.chroma = "4:2:2";
}
