import { bitReader } from "./bits.ts";
import type { Bytes } from "./boxes.ts";

/** What an elementary stream descriptor (`esds`) says. */
export interface StreamDescriptor {
  readonly objectType: number;
  /** Decoder specific bytes. */
  readonly specific: Uint8Array;
}

/** Sizes are seven bits a byte, at most four bytes (ISO/IEC 14496-1, section 8.3.3). */
function sizeAt(array: Uint8Array, at: number, to: number): { size: number; next: number } {
  let size = 0;
  let next = at;
  for (let place = 0; place < 4 && next < to; place += 1) {
    const byte = array[next++] as number;
    size = size * 128 + (byte & 0x7f);
    if (byte < 0x80) break;
  }
  return { size, next };
}

/** Reads the body of an `esds` box (ISO/IEC 14496-14, section 5.6); undefined when it breaks the grammar. */
export function readDescriptor(bytes: Bytes, body: number, end: number): StreamDescriptor | undefined {
  const { array } = bytes;
  let at = body + 4;
  if (at >= end || array[at] !== 3) return undefined;
  at = sizeAt(array, at + 1, end).next;
  const flags = array[at + 2] ?? 0;
  at += 3 + ((flags & 0x80) !== 0 ? 2 : 0) + ((flags & 0x20) !== 0 ? 2 : 0);
  if ((flags & 0x40) !== 0) at += 1 + (array[at] ?? 0);
  if (at >= end || array[at] !== 4) return undefined;
  at = sizeAt(array, at + 1, end).next;
  const objectType = array[at];
  at += 13;
  if (objectType === undefined || at > end) return undefined;
  if (at >= end || array[at] !== 5) return { objectType, specific: new Uint8Array(0) };
  const { size, next } = sizeAt(array, at + 1, end);
  return { objectType, specific: array.subarray(next, Math.min(end, next + size)) };
}

/** Sampling rates by index (ISO/IEC 14496-3, table 1.18). */
const samplingRates = [96000, 88200, 64000, 48000, 44100, 32000, 24000, 22050, 16000, 12000, 11025, 8000, 7350];
/** Channels by configuration (ISO/IEC 14496-3, table 1.19). */
const channelCounts = [0, 1, 2, 3, 4, 5, 6, 8];
/** Object types whose real sampling rate follows as a second index: spectral band replication, parametric stereo. */
const extended = new Set([5, 29]);

/** Rate and channels of an AAC audio specific configuration; either may be missing. */
export function readAacConfiguration(specific: Uint8Array): { rate?: number; channels?: number } {
  const input = bitReader(specific);
  let type = input.bits(5);
  if (type === 31) type = 32 + input.bits(6);
  const rateAt = (): number | undefined => {
    const index = input.bits(4);
    return index === 15 ? input.bits(24) : samplingRates[index];
  };
  let rate = rateAt();
  let channels = channelCounts[input.bits(4)];
  if (extended.has(type)) rate = rateAt();
  if (type === 29 && channels === 1) channels = 2;
  if (input.ended) return {};
  return { ...(rate === undefined || rate === 0 ? {} : { rate }), ...(channels ? { channels } : {}) };
}
