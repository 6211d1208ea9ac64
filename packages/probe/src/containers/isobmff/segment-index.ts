import { type Bytes, wide } from "./boxes.ts";

/** The sum of a segment index (`sidx`, ISO/IEC 14496-12, section 8.16.3). */
export interface SegmentIndex {
  readonly timescale: number;
  readonly ticks: number;
  /** Place in the file where the last segment it lists ends. */
  readonly endByte: number;
}

/** Reads a segment index that stands at the start of `bytes`; undefined when its count does not fit. */
export function readSegmentIndex(bytes: Bytes, body: number, end: number): SegmentIndex | undefined {
  const { view } = bytes;
  if (end > view.byteLength || end - body < 24) return undefined;
  const long = view.getUint8(body) !== 0;
  const first = body + 12 + (long ? 20 : 12);
  if (first > end) return undefined;
  const timescale = view.getUint32(body + 8);
  const offset = long ? wide(view, body + 20) : view.getUint32(body + 16);
  const count = view.getUint16(first - 2);
  if (count * 12 > end - first || timescale === 0) return undefined;
  let ticks = 0;
  let endByte = bytes.base + end + offset;
  for (let at = first; at < first + 12 * count; at += 12) {
    const size = view.getUint32(at);
    // The top bit marks a reference to another index, whose segments this one does not count.
    if (size >= 0x80000000) return undefined;
    endByte += size;
    ticks += view.getUint32(at + 4);
  }
  return { timescale, ticks, endByte };
}
