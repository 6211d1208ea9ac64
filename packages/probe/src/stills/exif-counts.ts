/** Bytes of one value of each type of TIFF 6.0, section 2, and of EXIF; an unknown type counts as one byte. */
const typeBytes: readonly number[] = [1, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];
/** Pointers to further directories: EXIF, positions, interoperability, sub-images. */
const pointers = new Set([0x8769, 0x8825, 0xa005, 0x014a]);
/** A photograph has five directories; chains of more, or in a circle, are damage. */
const mostDirectories = 64;
/** Marks looked for: one block, a preview's own, and some that are none. */
const mostBlocks = 16;

/**
 * A copy of the bytes in which no tag claims more values than the bytes could hold. The EXIF reader makes a list of as
 * many values as a tag claims before it reads one, so that twelve changed bytes could cost a quarter of a gigabyte; such
 * a tag is given no value at all. The bytes themselves come back when nothing is claimed in excess.
 */
export function withBoundedCounts(bytes: Uint8Array): Uint8Array {
  const excess: number[] = [];
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (const { start, little } of blocks(bytes)) collectExcess(view, start, little, excess);
  if (excess.length === 0) return bytes;
  const copy = Uint8Array.from(bytes);
  const writable = new DataView(copy.buffer);
  for (const at of excess) writable.setUint32(at, 0);
  return copy;
}

/** Places of TIFF headers: `II*` and a zero, `MM`, a zero and `*`. */
function blocks(bytes: Uint8Array): readonly { readonly start: number; readonly little: boolean }[] {
  const buffer = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return [
    { mark: Buffer.from("49492a00", "hex"), little: true },
    { mark: Buffer.from("4d4d002a", "hex"), little: false },
  ].flatMap(({ mark, little }) => {
    const found: { start: number; little: boolean }[] = [];
    for (let start = buffer.indexOf(mark); start >= 0 && found.length < mostBlocks;) {
      found.push({ start, little });
      start = buffer.indexOf(mark, start + 1);
    }
    return found;
  });
}

function collectExcess(view: DataView, start: number, little: boolean, excess: number[]): void {
  const seen = new Set<number>();
  const open = [start + 4];
  for (let pointer = open.pop(); pointer !== undefined && seen.size < mostDirectories; pointer = open.pop()) {
    if (pointer + 4 > view.byteLength) continue;
    const offset = view.getUint32(pointer, little);
    const at = start + offset;
    // Zero is the end of a chain; a directory cannot lie in the header.
    if (offset < 8 || seen.has(at) || at + 2 > view.byteLength) continue;
    seen.add(at);
    const entries = Math.min(view.getUint16(at, little), Math.floor((view.byteLength - at - 2) / 12));
    for (let entry = 0; entry < entries; entry += 1) {
      const place = at + 2 + 12 * entry;
      const count = view.getUint32(place + 4, little);
      if (count * (typeBytes[view.getUint16(place + 2, little)] ?? 1) > view.byteLength) excess.push(place + 4);
      else if (pointers.has(view.getUint16(place, little))) open.push(place + 8);
    }
    open.push(at + 2 + 12 * entries);
  }
}
