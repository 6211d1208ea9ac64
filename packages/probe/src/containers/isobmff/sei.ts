import { bitReader, withoutEmulation } from "./bits.ts";
import type { StreamHeader } from "./stream-header.ts";

/** Payload types of supplemental enhancement messages (ITU-T H.264 and H.265, annex D). */
const pictureTiming = 1;
const masteringDisplay = 137;
const contentLight = 144;
const alternativeTransfer = 147;

/** Calls `visit` for each message of a SEI NAL unit whose header is `headerBytes` long. */
function eachMessage(nal: Uint8Array, headerBytes: number, visit: (type: number, body: Uint8Array) => void): void {
  const bytes = withoutEmulation(nal);
  let at = headerBytes;
  // The last byte is the stop bit, so a message needs at least two bytes before it.
  while (at + 2 < bytes.length) {
    let type = 0;
    let size = 0;
    while (bytes[at] === 0xff) {
      type += 255;
      at += 1;
    }
    type += bytes[at++] ?? 0;
    while (bytes[at] === 0xff) {
      size += 255;
      at += 1;
    }
    size += bytes[at++] ?? 0;
    if (at + size > bytes.length) return;
    visit(type, bytes.subarray(at, at + size));
    at += size;
  }
}

/** Adds what an H.265 SEI NAL unit of the configuration record says: light levels and the transfer meant for players. */
export function readHevcSei(nal: Uint8Array, header: StreamHeader): void {
  eachMessage(nal, 2, (type, body) => {
    const view = new DataView(body.buffer, body.byteOffset, body.byteLength);
    if (type === alternativeTransfer && body.length >= 1) header.transfer = view.getUint8(0);
    if (type === contentLight && body.length >= 4) readContentLight(view, 0, header);
    if (type === masteringDisplay && body.length >= 24) readMasteringDisplay(view, 0, header);
  });
}

/**
 * Mastering display: primaries in the order green, blue, red, white point, then the brightest and darkest luminance in
 * units of 0.0001 cd/m² (the same bytes in the `mdcv` box and in the message).
 */
export function readMasteringDisplay(view: DataView, at: number, header: StreamHeader): void {
  const maximum = view.getUint32(at + 16);
  if (maximum === 0) return;
  header.maximumNits = maximum / 10_000;
  header.minimumNits = view.getUint32(at + 20) / 10_000;
}

/** Content light level: brightest pixel and brightest frame average in cd/m²; zero means not stated. */
export function readContentLight(view: DataView, at: number, header: StreamHeader): void {
  const content = view.getUint16(at);
  const average = view.getUint16(at + 2);
  if (content > 0) header.maximumContentNits = content;
  if (average > 0) header.maximumFrameAverageNits = average;
}

/** The field order in an H.264 picture timing message, by the bits its delays take; undefined when it has none. */
export function readFieldOrder(nal: Uint8Array, skipBits: number): string | undefined {
  let order: string | undefined;
  eachMessage(nal, 1, (type, body) => {
    if (type !== pictureTiming || order !== undefined) return;
    const input = bitReader(body);
    input.skip(skipBits);
    const structure = input.bits(4);
    if (input.ended) return;
    // Table D-1: a frame whose fields are shown at one time, once, twice or three times.
    if (structure === 0 || structure === 7 || structure === 8) order = "progressive";
    // 3 and 5 top field first, 4 and 6 bottom field first, 1 and 2 single fields.
    if (structure === 3 || structure === 5 || structure === 1) order = "top field first";
    if (structure === 4 || structure === 6 || structure === 2) order = "bottom field first";
  });
  return order;
}
