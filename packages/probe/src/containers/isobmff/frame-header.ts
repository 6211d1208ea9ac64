import type { StreamHeader } from "./stream-header.ts";

/** Bytes from the start of a frame within which its header states what is read here. */
export const frameHeaderBytes = 64;

const scans = ["progressive", "top field first", "bottom field first"];

/** The frame header of the ten-bit intra codec (SMPTE RDD 36, section 5.1); undefined when it is none. */
function readIcpf(view: DataView): StreamHeader | undefined {
  if (view.byteLength < 26 || view.getUint32(4) !== 0x69637066) return undefined;
  const scan = scans[(view.getUint8(20) >> 2) & 3];
  return {
    width: view.getUint16(16),
    height: view.getUint16(18),
    primaries: known(view.getUint8(22)),
    transfer: known(view.getUint8(23)),
    matrix: known(view.getUint8(24)),
    ...(scan === undefined ? {} : { scan }),
  };
}

/** RDD 36 has 0 for "unknown" beside 2 for "unspecified"; H.273 keeps 0 for itself. */
const known = (code: number): number => (code === 0 ? 2 : code);

/** Matrix by the colour volume of the header (SMPTE ST 2019-1; the place as ffmpeg's decoder reads it, from memory). */
const vc3Matrices = [1, 9, 10, 2];

/** The frame header of VC-3 (SMPTE ST 2019-1): its first bytes are 00 00 02 80 0x. */
function readVc3(view: DataView): StreamHeader | undefined {
  if (view.byteLength < 0x2d || view.getUint16(0) !== 0) return undefined;
  const prefix = view.getUint32(0);
  // The length of the header, 640 bytes, or of a larger one in the scalable profiles.
  if (prefix < 0x280 || prefix > 0x2170 || view.getUint8(4) < 1 || view.getUint8(4) > 3) return undefined;
  const matrix = vc3Matrices[(view.getUint8(0x2c) >> 1) & 3];
  return matrix === undefined ? {} : { matrix };
}

const readers: Readonly<Record<string, (view: DataView) => StreamHeader | undefined>> = {
  prores: readIcpf,
  dnxhd: readVc3,
};

/** Whether frames of this codec begin with a header that states colour, which no configuration record does. */
export const hasFrameHeader = (codec: string | undefined): boolean =>
  codec !== undefined && Object.hasOwn(readers, codec);

/** What the header of a frame says; undefined when the bytes are no frame of this codec. */
export function readFrameHeader(codec: string, frame: Uint8Array): StreamHeader | undefined {
  const reader = Object.hasOwn(readers, codec) ? readers[codec] : undefined;
  return reader?.(new DataView(frame.buffer, frame.byteOffset, frame.byteLength));
}
