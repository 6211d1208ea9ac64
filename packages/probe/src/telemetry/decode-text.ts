/** Bytes looked at when guessing UTF-16 from the pattern of zero bytes. */
const guessedFrom = 512;

/**
 * Text of a sidecar: UTF-8 or UTF-16 by byte order mark, UTF-16 by every second byte being zero, else UTF-8, else
 * Latin-1. Never fails; bytes that are no text come out as odd characters.
 */
export function decodeText(bytes: Uint8Array): string {
  const [a, b, c] = bytes;
  if (a === 0xef && b === 0xbb && c === 0xbf) return utf8OrLatin1(bytes.subarray(3));
  if (a === 0xff && b === 0xfe) return utf16(bytes.subarray(2), "little");
  if (a === 0xfe && b === 0xff) return utf16(bytes.subarray(2), "big");
  const order = zeroPattern(bytes);
  return order === undefined ? utf8OrLatin1(bytes) : utf16(bytes, order);
}

/** Latin text in UTF-16 has a zero in every second byte; which half tells the byte order. */
function zeroPattern(bytes: Uint8Array): "little" | "big" | undefined {
  const length = Math.min(bytes.length, guessedFrom) & ~1;
  let even = 0;
  let odd = 0;
  for (let at = 0; at < length; at += 2) {
    if (bytes[at] === 0) even += 1;
    if (bytes[at + 1] === 0) odd += 1;
  }
  const most = length / 2;
  if (most < 8) return undefined;
  if (odd > most * 0.7 && even < most * 0.1) return "little";
  return even > most * 0.7 && odd < most * 0.1 ? "big" : undefined;
}

function utf8OrLatin1(bytes: Uint8Array): string {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(buffer);
  } catch {
    return buffer.toString("latin1");
  }
}

function utf16(bytes: Uint8Array, order: "little" | "big"): string {
  const even = Buffer.from(bytes.subarray(0, bytes.length & ~1));
  return (order === "big" ? even.swap16() : even).toString("utf16le");
}
