import { type BitReader, bitReader, withoutEmulation } from "./bits.ts";
import { readPictureShape } from "./h264-sps.ts";
import { chromaNames, type StreamHeader } from "./stream-header.ts";

/** Profile names as ffprobe prints them, by `general_profile_idc`. */
const profileNames: Readonly<Record<number, string>> = { 1: "Main", 2: "Main 10", 3: "Main Still Picture", 4: "Rext" };

/** The name ffprobe prints for an H.265 profile number. */
export const hevcProfile = (profile: number): string | undefined => profileNames[profile];

/** Reads an H.265 sequence parameter set, its two NAL header bytes included; undefined when it ends too early. */
export function readHevcSps(nal: Uint8Array): StreamHeader | undefined {
  const input = bitReader(withoutEmulation(nal));
  input.skip(16 + 4);
  const layers = input.bits(3);
  input.skip(1);
  const header: StreamHeader = {};
  readProfile(input, layers, header);
  input.unsigned();
  const chroma = input.unsigned();
  if (chroma === 3) input.skip(1);
  header.width = input.unsigned();
  header.height = input.unsigned();
  if (input.flag()) {
    const [left, right, top, bottom] = [input.unsigned(), input.unsigned(), input.unsigned(), input.unsigned()];
    header.width -= (chroma === 1 || chroma === 2 ? 2 : 1) * (left + right);
    header.height -= (chroma === 1 ? 2 : 1) * (top + bottom);
  }
  header.bitDepth = 8 + input.unsigned();
  input.unsigned();
  const orderBits = input.unsigned() + 4;
  const allLayers = input.flag();
  for (let layer = allLayers ? 0 : layers; layer <= layers; layer += 1) {
    input.unsigned();
    input.unsigned();
    input.unsigned();
  }
  const chromaName = chromaNames[chroma];
  if (input.ended || chromaName === undefined || header.bitDepth > 16) return undefined;
  header.chroma = chromaName;
  // From here on a stream that ends early still leaves the facts above.
  const before = { ...header };
  for (let field = 0; field < 6; field += 1) input.unsigned();
  if (input.flag() && input.flag()) skipScalingLists(input);
  input.skip(2);
  if (input.flag()) {
    input.skip(8);
    input.unsigned();
    input.unsigned();
    input.skip(1);
  }
  if (!skipReferenceSets(input)) return before;
  if (input.flag()) {
    const count = Math.min(32, input.unsigned());
    for (let place = 0; place < count; place += 1) input.skip(orderBits + 1);
  }
  input.skip(2);
  if (input.flag()) readVui(input, header);
  return input.ended ? before : header;
}

/** The profile, tier and level part of parameter sets (ITU-T H.265, section 7.3.3). */
function readProfile(input: BitReader, layers: number, header: StreamHeader): void {
  input.skip(3);
  const name = hevcProfile(input.bits(5));
  if (name !== undefined) header.profile = name;
  input.skip(32);
  const scan = hevcScan(input.flag(), input.flag());
  if (scan !== undefined) header.scan = scan;
  input.skip(46 + 8);
  const parts: [boolean, boolean][] = [];
  for (let layer = 0; layer < layers; layer += 1) parts.push([input.flag(), input.flag()]);
  if (layers > 0) input.skip(2 * (8 - layers));
  for (const [profile, level] of parts) input.skip((profile ? 88 : 0) + (level ? 8 : 0));
}

/** What the two source flags of an H.265 profile say; undefined when they leave it open. */
export const hevcScan = (progressive: boolean, interlaced: boolean): string | undefined =>
  progressive === interlaced ? undefined : progressive ? "progressive" : "interlaced";

function skipScalingLists(input: BitReader): void {
  for (let size = 0; size < 4; size += 1) {
    for (let list = 0; list < 6; list += size === 3 ? 3 : 1) {
      if (!input.flag()) {
        input.unsigned();
        continue;
      }
      if (size > 1) input.signed();
      const count = Math.min(64, 1 << (4 + (size << 1)));
      for (let place = 0; place < count; place += 1) input.signed();
    }
  }
}

/** Short-term reference picture sets (ITU-T H.265, section 7.3.7); false when they cannot be followed. */
function skipReferenceSets(input: BitReader): boolean {
  const sets = input.unsigned();
  if (sets > 64) return false;
  let pictures = 0;
  for (let set = 0; set < sets; set += 1) {
    if (set > 0 && input.flag()) {
      input.skip(1);
      input.unsigned();
      let kept = 0;
      for (let place = 0; place <= pictures; place += 1) {
        const used = input.flag();
        if (used || input.flag()) kept += 1;
      }
      pictures = kept;
    } else {
      const negative = input.unsigned();
      const positive = input.unsigned();
      if (negative > 16 || positive > 16) return false;
      pictures = negative + positive;
      for (let place = 0; place < pictures; place += 1) {
        input.unsigned();
        input.skip(1);
      }
    }
    if (input.ended) return false;
  }
  return true;
}

/** Video usability information (ITU-T H.265, section E.2.1) as far as the timing. */
function readVui(input: BitReader, header: StreamHeader): void {
  readPictureShape(input, header);
  if (input.flag()) {
    input.unsigned();
    input.unsigned();
  }
  input.skip(1);
  if (input.flag()) header.scan = "interlaced";
  input.skip(1);
  if (input.flag()) for (let side = 0; side < 4; side += 1) input.unsigned();
  if (input.flag()) {
    const units = input.bits(32);
    const scale = input.bits(32);
    if (units > 0 && scale > 0) header.rate = [scale, units];
  }
}

/** The frame rate an H.265 video parameter set states, its NAL header included (ITU-T H.265, section 7.3.2.1). */
export function readHevcVpsRate(nal: Uint8Array): readonly [number, number] | undefined {
  const input = bitReader(withoutEmulation(nal));
  input.skip(16 + 4 + 2 + 6);
  const layers = input.bits(3);
  input.skip(1 + 16);
  readProfile(input, layers, {});
  const allLayers = input.flag();
  for (let layer = allLayers ? 0 : layers; layer <= layers; layer += 1) {
    input.unsigned();
    input.unsigned();
    input.unsigned();
  }
  const highestLayer = input.bits(6);
  const sets = input.unsigned();
  if (sets > 1023) return undefined;
  for (let set = 1; set <= sets && !input.ended; set += 1) input.skip(highestLayer + 1);
  if (!input.flag()) return undefined;
  const units = input.bits(32);
  const scale = input.bits(32);
  return input.ended || units === 0 || scale === 0 ? undefined : [scale, units];
}
