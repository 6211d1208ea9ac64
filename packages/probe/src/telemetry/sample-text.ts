import { decodeText } from "./decode-text.ts";

/** The stretch of bytes that is the text of a sample. */
export interface SampleText {
  readonly bytes: Uint8Array;
  readonly from: number;
  readonly to: number;
}

/** Gives the text of a sample; `empty` for a gap filler, undefined when the sample is shorter than it says. */
export type TextOfSample = (bytes: Uint8Array) => SampleText | "empty" | undefined;

/**
 * Text of a timed-text sample (3GPP TS 26.245 and QuickTime text): two bytes of length, the text, then style boxes that
 * are left off. UTF-16 when it begins with a byte order mark.
 */
export const sampleText: TextOfSample = (bytes) => {
  if (bytes.length < 2) return undefined;
  const length = ((bytes[0] as number) << 8) | (bytes[1] as number);
  if (length === 0) return "empty";
  return 2 + length > bytes.length ? undefined : { bytes, from: 2, to: 2 + length };
};

/** Text of a WebVTT sample (ISO/IEC 14496-30): boxes `vttc` that hold `payl`; `vtte` and a sample without cues are fillers. */
export const webVttText: TextOfSample = (bytes) => {
  const lines: Uint8Array[] = [];
  const whole = eachBox(bytes, (type, payload) => {
    if (type !== "vttc") return;
    eachBox(payload, (inner, text) => {
      if (inner === "payl") lines.push(text);
    });
  });
  if (!whole) return undefined;
  const [first, ...more] = lines;
  if (first === undefined) return "empty";
  if (more.length === 0) return { bytes: first, from: 0, to: first.length };
  const joined = Buffer.from(lines.map(decodeText).join("\n"));
  return { bytes: joined, from: 0, to: joined.length };
};

function eachBox(bytes: Uint8Array, visit: (type: string, payload: Uint8Array) => void): boolean {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let at = 0;
  while (at + 8 <= bytes.length) {
    const size = view.getUint32(at);
    if (size < 8 || at + size > bytes.length) return false;
    visit(String.fromCharCode(...bytes.subarray(at + 4, at + 8)), bytes.subarray(at + 8, at + size));
    at += size;
  }
  return at === bytes.length;
}
