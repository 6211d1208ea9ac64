/** What the first bytes of a file say it is. */
export type Sniffed =
  | "matroska"
  | "avi"
  | "mxf"
  | "mpeg-ts"
  | "mpeg-ps"
  | "ogg"
  | "flv"
  | "asf"
  | "dv"
  | "mpeg-es"
  | "still"
  | "zeros"
  | "text"
  | "sound"
  | "unknown";

/** Bytes that are enough to tell. */
export const sniffBytes = 4096;

/** Names the kind of a file that our own reader did not take, by its first bytes alone. */
export function sniff(head: Uint8Array): Sniffed {
  const starts = (hex: string): boolean => Buffer.from(head.subarray(0, hex.length / 2)).toString("hex") === hex;
  const four = (at: number): string => Buffer.from(head.subarray(at, at + 4)).toString("latin1");
  if (starts("1a45dfa3")) return "matroska";
  if (four(0) === "RIFF") return four(8) === "AVI " ? "avi" : four(8) === "WAVE" ? "sound" : "still";
  if (starts("060e2b34")) return "mxf";
  if (starts("000001ba")) return "mpeg-ps";
  if (starts("000001b3")) return "mpeg-es";
  // The first block of a DV frame is its header section (SMPTE ST 314).
  if (starts("1f0700")) return "dv";
  if (starts("ffd8ff") || starts("89504e47") || starts("49492a00") || starts("4d4d002a")) return "still";
  if (four(0) === "ID3" || starts("494433") || starts("664c6143")) return "sound";
  // Sound or pictures: only the streams inside tell.
  if (four(0) === "OggS") return "ogg";
  if (starts("464c5601")) return "flv";
  if (starts("3026b2758e66cf11")) return "asf";
  if ([0, 4].some((at) => head[at] === 0x47 && head[at + 188 + at] === 0x47 && head[at + 2 * (188 + at)] === 0x47)) {
    return "mpeg-ts";
  }
  if (head.length > 0 && head.every((byte) => byte === 0)) return "zeros";
  if (head.length > 0 && head.every((byte) => byte >= 0x20 || byte === 0x0a || byte === 0x0d || byte === 0x09))
    return "text";
  return "unknown";
}
