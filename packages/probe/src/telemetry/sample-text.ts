import { decodeText } from "./decode-text.ts";

/**
 * Text of a timed-text sample (3GPP TS 26.245 and QuickTime text): two bytes of length, the text, then style boxes that
 * are left off. UTF-16 when it begins with a byte order mark. `empty` for a gap filler; undefined when the sample is
 * shorter than its length says.
 */
export function sampleText(bytes: Uint8Array): string | "empty" | undefined {
  if (bytes.length < 2) return undefined;
  const length = ((bytes[0] as number) << 8) | (bytes[1] as number);
  if (length === 0) return "empty";
  return 2 + length > bytes.length ? undefined : decodeText(bytes.subarray(2, 2 + length));
}

/**
 * Text of a WebVTT sample (ISO/IEC 14496-30): boxes `vttc` that hold `payl`; `vtte` and a sample without cues are gap
 * fillers. Undefined when a box is longer than the sample.
 */
export function webVttText(bytes: Uint8Array): string | "empty" | undefined {
  const lines: string[] = [];
  const whole = eachBox(bytes, (type, payload) => {
    if (type !== "vttc") return;
    eachBox(payload, (inner, text) => {
      if (inner === "payl") lines.push(decodeText(text));
    });
  });
  if (!whole) return undefined;
  return lines.length === 0 ? "empty" : lines.join("\n");
}

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
