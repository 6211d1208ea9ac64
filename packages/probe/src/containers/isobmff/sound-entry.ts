import { bitReader } from "./bits.ts";
import { type Box, type Bytes, codeName, eachBox } from "./boxes.ts";
import { objectTypeCodec, soundCodec } from "./codec-names.ts";
import { readAacConfiguration, readDescriptor } from "./descriptors.ts";

/** A sound sample entry. */
export interface SoundEntry {
  readonly entry: string;
  readonly codec: string;
  readonly channels: number;
  readonly rateHertz: number;
}

/** Flags of linear PCM in the second version of the QuickTime entry. */
const floating = 1;
const bigEndian = 2;

/**
 * Reads a sound entry (ISO/IEC 14496-12, section 12.2.3; the two QuickTime extensions of it). What the codec's own
 * configuration says of rate and channels goes before the entry's fields, which many writers leave at a default.
 */
export function readSoundEntry(bytes: Bytes, box: Box): SoundEntry | undefined {
  const { view } = bytes;
  const { body, end } = box;
  if (end - body < 28) return undefined;
  const entry = codeName(box.type);
  const version = view.getUint16(body + 8);
  let channels = view.getUint16(body + 16);
  let bits = view.getUint16(body + 18);
  let rateHertz = view.getUint32(body + 24) / 65536;
  let codec = soundCodec(entry, bits);
  let first = body + 28;
  if (version === 1 && end - body >= 44) first += 16;
  if (version === 2 && end - body >= 64) {
    rateHertz = view.getFloat64(body + 32);
    channels = view.getUint32(body + 40);
    bits = view.getUint32(body + 48);
    const flags = view.getUint32(body + 52);
    if (entry === "lpcm") {
      codec = `pcm_${(flags & floating) !== 0 ? "f" : "s"}${bits}${(flags & bigEndian) !== 0 ? "be" : "le"}`;
    }
    first += 36;
  }
  readChildren(bytes, first, end, 0);
  return channels > 0 && channels <= 256 && rateHertz > 0 && Number.isFinite(rateHertz)
    ? { entry, codec: codec ?? entry, channels, rateHertz }
    : undefined;

  function readChildren(source: Bytes, from: number, to: number, depth: number): void {
    eachBox(source, from, to, entry, (child) => {
      const name = codeName(child.type);
      // QuickTime wraps the descriptor in a `wave` box; nothing nests deeper.
      if (name === "wave" && depth === 0) readChildren(source, child.body, child.end, 1);
      if (name === "pcmC" && child.end - child.body >= 6) {
        const little = (view.getUint8(child.body + 4) & 1) === 1;
        const depthBits = view.getUint8(child.body + 5);
        codec = `pcm_${entry === "fpcm" ? "f" : "s"}${depthBits}${little ? "le" : "be"}`;
      }
      if (name === "dac3" || name === "dec3") channels = dolbyChannels(source, child, name) ?? channels;
      if (name === "enda" && child.end - child.body >= 2 && view.getUint16(child.body) === 1) {
        codec = codec?.replace(/be$/, "le");
      }
      if (name !== "esds") return;
      const descriptor = readDescriptor(source, child.body, child.end);
      if (descriptor === undefined) return;
      codec = objectTypeCodec(descriptor.objectType) ?? codec;
      if (codec !== "aac") return;
      const stated = readAacConfiguration(descriptor.specific);
      rateHertz = stated.rate ?? rateHertz;
      channels = stated.channels ?? channels;
    });
  }
}

/** Channels by audio coding mode, without the low-frequency one (ETSI TS 102 366, table 4.3 and annex F). */
const modeChannels = [2, 1, 2, 3, 3, 4, 4, 5];

function dolbyChannels(bytes: Bytes, box: Box, name: string): number | undefined {
  const input = bitReader(bytes.array.subarray(box.body, box.end));
  // dac3: rate 2, stream 5, mode 3; dec3: data rate 13, streams 3, rate 2, stream 5, reserved 1, service 1, mode 3.
  input.skip(name === "dac3" ? 10 : 28);
  const channels = (modeChannels[input.bits(3)] ?? 0) + input.bits(1);
  return input.ended ? undefined : channels;
}
