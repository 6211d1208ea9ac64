import { isUtf8 } from "node:buffer";
import { decodeText } from "./decode-text.ts";

/** A text as bytes in which every line ends with a line feed, and stretches of it as strings. */
export interface CueBytes {
  readonly bytes: Uint8Array;
  /** The text of a stretch that begins and ends between characters; one cut inside gives odd characters there. */
  text(from: number, to: number): string;
}

/**
 * The text of a subtitle file, left as it is wherever that is possible: UTF-8 and Latin-1 are read from the file's own
 * bytes; UTF-16 becomes UTF-8, and returns become line feeds in a file that has only returns. Never fails.
 */
export function cueBytes(file: Uint8Array): CueBytes {
  const bom = file[0] === 0xef && file[1] === 0xbb && file[2] === 0xbf ? 3 : 0;
  const body = file.subarray(bom);
  const isWide = bom === 0 && (hasWideMark(file) || file.subarray(0, headBytes).includes(0));
  // What decodes as UTF-16 is told by the one decoder that knows how to guess it.
  if (isWide) return stretches(withLineFeeds(Buffer.from(decodeText(file))), "utf8");
  return stretches(withLineFeeds(body), isUtf8(body) ? "utf8" : "latin1");
}

/** Bytes in which a zero makes it worth asking whether a text is UTF-16. */
const headBytes = 512;

const hasWideMark = ([a, b]: Uint8Array): boolean => (a === 0xff && b === 0xfe) || (a === 0xfe && b === 0xff);

function withLineFeeds(bytes: Uint8Array): Uint8Array {
  if (bytes.includes(10) || !bytes.includes(13)) return bytes;
  return bytes.map((byte) => (byte === 13 ? 10 : byte));
}

function stretches(bytes: Uint8Array, encoding: "utf8" | "latin1"): CueBytes {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return {
    // Not the buffer itself: one kind of list everywhere keeps the loops over bytes fast.
    bytes: new Uint8Array(bytes.buffer, bytes.byteOffset, bytes.byteLength),
    text: (from, to) => buffer.toString(encoding, from, to),
  };
}
