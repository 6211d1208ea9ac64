/** A stretch of a file in memory. `base` is the place in the file of its first byte. */
export interface Bytes {
  readonly array: Uint8Array;
  readonly view: DataView;
  readonly base: number;
}

/** Wraps bytes read at `base` of a file. */
export const bytesAt = (array: Uint8Array, base: number): Bytes => ({
  array,
  view: new DataView(array.buffer, array.byteOffset, array.byteLength),
  base,
});

/** Something that breaks the grammar: the byte of the file it was met at, the box path, and what is wrong. */
export interface Fault {
  readonly at: number;
  readonly place: string;
  readonly why: string;
}

/** One box; all three places count from the start of the `Bytes` it was found in. */
export interface Box {
  readonly type: number;
  readonly start: number;
  readonly body: number;
  readonly end: number;
}

/** The number a four-character code is stored as. */
export const code = (name: string): number =>
  ((name.charCodeAt(0) << 24) | (name.charCodeAt(1) << 16) | (name.charCodeAt(2) << 8) | name.charCodeAt(3)) >>> 0;

/** A four-character code as text; bytes that do not print are shown as `?`. */
export function codeName(type: number): string {
  let name = "";
  for (let shift = 24; shift >= 0; shift -= 8) {
    const char = (type >>> shift) & 0xff;
    name += (char >= 0x20 && char < 0x7f) || char === 0xa9 ? String.fromCharCode(char) : "?";
  }
  return name;
}

/** The name of an entry that is not there, the same as of a code that does not print. */
export const noName = "????";

/** An unsigned 64-bit number as a float: exact below 2^53, and so big past it that every range check refuses it. */
export const wide = (view: DataView, at: number): number => view.getUint32(at) * 4294967296 + view.getUint32(at + 4);

/**
 * Calls `visit` for each child box between two places (ISO/IEC 14496-12, section 4.2). Returns the first fault, after
 * which nothing more can be found: a size below the header's own, or past the end of the parent. A zero word or fewer
 * than eight bytes end the list in silence, as QuickTime user data does.
 */
export function eachBox(
  bytes: Bytes,
  from: number,
  to: number,
  place: string,
  visit: (box: Box) => void,
): Fault | undefined {
  const { view } = bytes;
  let at = from;
  while (at + 8 <= to) {
    let size = view.getUint32(at);
    if (size === 0) return undefined;
    const type = view.getUint32(at + 4);
    let header = 8;
    if (size === 1) {
      if (at + 16 > to) break;
      size = wide(view, at + 8);
      header = 16;
    }
    if (size < header || size > to - at) {
      const why = `box ${codeName(type)} says ${size} bytes where ${size < header ? header : to - at} are ${size < header ? "the least" : "left"}`;
      return { at: bytes.base + at, place, why };
    }
    visit({ type, start: at, body: at + header, end: at + size });
    at += size;
  }
  return undefined;
}

/** The first child of a type, or undefined. */
export function childBox(bytes: Bytes, from: number, to: number, type: number): Box | undefined {
  let found: Box | undefined;
  eachBox(bytes, from, to, "", (box) => {
    if (box.type === type && found === undefined) found = box;
  });
  return found;
}

/** A table of equal entries inside a box. `at` counts from the start of the `Bytes`. */
export interface Table {
  readonly at: number;
  readonly count: number;
}

/**
 * The table of a full box whose entry count stands `skip` bytes into the body. A count that needs more room than the
 * box has is a fault: a table is never cut in silence.
 */
export function tableOf(bytes: Bytes, box: Box, entryBytes: number, place: string, skip = 4): Table | Fault {
  const first = box.body + skip + 4;
  if (first > box.end) return { at: bytes.base + box.start, place, why: "the box is too short for its entry count" };
  const count = bytes.view.getUint32(first - 4);
  const room = Math.floor((box.end - first) / entryBytes);
  if (count > room) {
    return { at: bytes.base + first - 4, place, why: `${count} entries are announced, the box has room for ${room}` };
  }
  return { at: first, count };
}

/** Whether a table could not be read. */
export const isFault = (value: object): value is Fault => "why" in value;
