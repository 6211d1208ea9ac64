import { type BitReader, bitReader, withoutEmulation } from "./bits.ts";
import { aspectRatios, chromaNames, type StreamHeader } from "./stream-header.ts";

/** Profiles whose parameter sets carry chroma format and bit depth (ITU-T H.264, section 7.3.2.1.1). */
const highProfiles = new Set([100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135]);

/** The name ffprobe prints for a profile number and its constraint flags. */
export function h264Profile(profile: number, constraints: number): string | undefined {
  const intra = (constraints & 0x10) !== 0;
  switch (profile) {
    case 66:
      return (constraints & 0x40) !== 0 ? "Constrained Baseline" : "Baseline";
    case 77:
      return "Main";
    case 88:
      return "Extended";
    case 100:
      return "High";
    case 110:
      return intra ? "High 10 Intra" : "High 10";
    case 122:
      return intra ? "High 4:2:2 Intra" : "High 4:2:2";
    case 244:
      return intra ? "High 4:4:4 Intra" : "High 4:4:4 Predictive";
    case 44:
      return "CAVLC 4:4:4";
    default:
      return undefined;
  }
}

/** Reads an H.264 sequence parameter set, its NAL header byte included; undefined when it ends too early. */
export function readH264Sps(nal: Uint8Array): StreamHeader | undefined {
  const input = bitReader(withoutEmulation(nal));
  input.skip(8);
  const header: StreamHeader = {};
  const profile = input.bits(8);
  const constraints = input.bits(8);
  input.skip(8);
  const name = h264Profile(profile, constraints);
  if (name !== undefined) header.profile = name;
  input.unsigned();
  let chroma = 1;
  let depth = 8;
  if (highProfiles.has(profile)) {
    chroma = input.unsigned();
    if (chroma === 3) input.skip(1);
    depth = 8 + input.unsigned();
    input.unsigned();
    input.skip(1);
    if (input.flag()) skipScalingLists(input, chroma === 3 ? 12 : 8);
  }
  input.unsigned();
  const order = input.unsigned();
  if (order === 0) input.unsigned();
  else if (order === 1) {
    input.skip(1);
    input.signed();
    input.signed();
    const cycle = Math.min(255, input.unsigned());
    for (let place = 0; place < cycle; place += 1) input.signed();
  }
  input.unsigned();
  input.skip(1);
  const widthBlocks = input.unsigned() + 1;
  const heightUnits = input.unsigned() + 1;
  const framesOnly = input.flag();
  if (!framesOnly) input.skip(1);
  input.skip(1);
  let crop = [0, 0, 0, 0];
  if (input.flag()) crop = [input.unsigned(), input.unsigned(), input.unsigned(), input.unsigned()];
  const [left = 0, right = 0, top = 0, bottom = 0] = crop;
  const stepX = chroma === 1 || chroma === 2 ? 2 : 1;
  const stepY = (chroma === 1 ? 2 : 1) * (framesOnly ? 1 : 2);
  if (input.ended || depth > 14) return undefined;
  const chromaName = chromaNames[chroma];
  if (chromaName === undefined) return undefined;
  header.chroma = chromaName;
  header.bitDepth = depth;
  header.width = widthBlocks * 16 - stepX * (left + right);
  header.height = heightUnits * 16 * (framesOnly ? 1 : 2) - stepY * (top + bottom);
  header.scan = framesOnly ? "progressive" : "interlaced";
  if (input.flag()) {
    const before = { ...header };
    readVui(input, header);
    if (input.ended) return before;
  }
  return header;
}

function skipScalingLists(input: BitReader, lists: number): void {
  for (let list = 0; list < lists; list += 1) {
    if (!input.flag()) continue;
    let last = 8;
    let next = 8;
    for (let place = 0; place < (list < 6 ? 16 : 64) && next !== 0; place += 1) {
      next = (last + input.signed() + 256) % 256;
      last = next === 0 ? last : next;
    }
  }
}

/** Video usability information (ITU-T H.264, section E.1.1) as far as the flag for `pic_struct`. */
function readVui(input: BitReader, header: StreamHeader): void {
  readPictureShape(input, header);
  if (input.flag()) {
    input.unsigned();
    input.unsigned();
  }
  if (input.flag()) {
    const units = input.bits(32);
    const scale = input.bits(32);
    input.skip(1);
    // A frame is two fields of this clock, also for progressive pictures.
    if (units > 0 && scale > 0) header.rate = [scale, 2 * units];
  }
  let delays = 0;
  const nal = input.flag();
  if (nal) delays = skipBuffering(input);
  const vcl = input.flag();
  if (vcl) delays = skipBuffering(input);
  if (nal || vcl) input.skip(1);
  if (input.flag()) header.pictureTimingSkip = delays;
}

/** Aspect, overscan and video signal type: the same bits in H.264 and H.265. */
export function readPictureShape(input: BitReader, header: StreamHeader): void {
  if (input.flag()) {
    const aspect = input.bits(8);
    const pair = aspect === 255 ? ([input.bits(16), input.bits(16)] as const) : aspectRatios[aspect];
    if (pair !== undefined && pair[0] > 0 && pair[1] > 0) header.pixelAspect = pair;
  }
  if (input.flag()) input.skip(1);
  if (input.flag()) {
    input.skip(3);
    header.fullRange = input.flag();
    if (input.flag()) {
      header.primaries = input.bits(8);
      header.transfer = input.bits(8);
      header.matrix = input.bits(8);
    }
  }
}

/** Skips buffering parameters and gives the bits of the two delays in picture timing messages. */
function skipBuffering(input: BitReader): number {
  const count = Math.min(31, input.unsigned()) + 1;
  input.skip(8);
  for (let place = 0; place < count; place += 1) {
    input.unsigned();
    input.unsigned();
    input.skip(1);
  }
  input.skip(5);
  const removal = input.bits(5) + 1;
  const output = input.bits(5) + 1;
  input.skip(5);
  return removal + output;
}
