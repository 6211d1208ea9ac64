import type { CountedFile } from "../../bytes.ts";
import { type Bytes, bytesAt, codeName, type Fault, wide } from "./boxes.ts";
import { type SegmentIndex, readSegmentIndex } from "./segment-index.ts";

/** First read: type, first headers and, where picture headers stand in the first sample, as a rule its start. */
const frontBytes = 8192;
/**
 * When no more than this stands behind the picture data it is read at once: the index of a clip of a minute or two. Of
 * more only the header is read first, for it may be anything; the guesses together stay within `spareBytes`.
 */
const wholeTailBytes = 40 * 1024;
/** Bytes that guesses may read in vain, beside a fiftieth of what is needed: with the first read less than 64 KiB. */
const spareBytes = 44 * 1024;
/** Later hops: a header and, with luck, the next one. */
const hopBytes = 64;
/** Bytes that hold any header. */
const headerRoom = 16;
/** After a box smaller than this the next ones are read together. */
const clusterBytes = 4096;
/** Bytes read past a box so that the header after it costs no read of its own. */
const nextHeader = 16;
/** Largest index read into memory; at 60 frames/s it would list a day (10 minutes took 344 kB). */
export const mostMovieBytes = 64 * 1024 * 1024;
/** Fragment headers kept in memory, all together. */
export const mostFragmentBytes = 64 * 1024 * 1024;
/** Top-level boxes walked; a fragmented recording has two a fragment. */
export const mostTopBoxes = 100_000;
/** Largest packet of metadata beside the index. */
const mostPacketBytes = 1024 * 1024;

/** The top-level boxes of a file: where the parts lie, and the bytes of those that are read whole. */
export interface Layout {
  readonly movie?: Bytes;
  /** Body of the movie box, counted from the start of `movie`. */
  readonly movieBody?: { readonly from: number; readonly to: number };
  readonly fragments: readonly Bytes[];
  /** Bytes of `mdat` that lie inside the file. */
  readonly mediaBytes: number;
  /** Whether the last `mdat` announces nothing or more than the file has. */
  readonly openMedia: boolean;
  readonly faults: readonly Fault[];
  /** Whether a fault is that the index itself is cut, too large, or a fragment is cut. */
  readonly movieFault?: Fault;
  readonly xmp?: Uint8Array;
  readonly meta?: Bytes;
  readonly segments?: SegmentIndex;
  /** Bytes of the boxes and headers above that the facts need. */
  readonly neededBytes: number;
  readonly stillPictures: boolean;
}

/** First boxes that a file of this family can begin with. */
const firstBoxes = new Set([
  "ftyp",
  "moov",
  "mdat",
  "free",
  "skip",
  "wide",
  "pnot",
  "styp",
  "sidx",
  "moof",
  "uuid",
  "pdin",
]);

/** Whether the first bytes are of this family: a known first box of a size that a box can have. */
export function recognises(front: Uint8Array, fileBytes: number): boolean {
  if (front.length < 8) return false;
  const { view } = bytesAt(front, 0);
  const type = codeName(view.getUint32(4));
  if (type === "ftyp") return true;
  const size = view.getUint32(0);
  return firstBoxes.has(type) && (size <= 1 || size >= 8) && (type === "mdat" || size <= fileBytes);
}

/** The key of an XMP packet in a `uuid` box (XMP specification, part 3). */
const xmpKey = [0xbe, 0x7a, 0xcf, 0xcb, 0x97, 0xa9, 0x42, 0xe8, 0x9c, 0x71, 0x99, 0x94, 0x91, 0xe3, 0xaf, 0xac];

/** Reads parts of a file, out of what was read before where possible. */
export interface Windows {
  /** At least `least` bytes if the file has them; up to `most` when a read is needed. */
  at(offset: number, least: number, most: number): Promise<Bytes>;
}

/** Windows over a file. The last few reads are kept, so that a small sample beside the index costs no read. */
export function windowsOf(file: CountedFile, signal: AbortSignal): Windows {
  const held: Bytes[] = [];
  return {
    async at(offset, least, most) {
      const wanted = Math.min(least, file.size - offset);
      for (const { array, base } of held) {
        if (offset >= base && offset + wanted <= base + array.length) {
          return bytesAt(array.subarray(offset - base), offset);
        }
      }
      signal.throwIfAborted();
      const bytes = bytesAt(await file.read(offset, most), offset);
      held.push(bytes);
      if (held.length > 4) held.splice(1, 1);
      return bytes;
    },
  };
}

/**
 * Walks the top-level boxes with small reads; picture data is hopped over. Undefined when the file is not of this
 * family. Throws only the system's read errors and the abort.
 */
export async function readLayout(file: CountedFile, windows: Windows): Promise<Layout | undefined> {
  const front = await windows.at(0, Math.min(frontBytes, file.size), frontBytes);
  if (!recognises(front.array, file.size)) return undefined;
  const faults: Fault[] = [];
  const fragments: Bytes[] = [];
  const found: { -readonly [Key in keyof Layout]?: Layout[Key] } = {};
  let mediaBytes = 0;
  let openMedia = false;
  let neededBytes = 0;
  let fragmentBytes = 0;
  let at = 0;
  let boxes = 0;
  let reach = hopBytes;
  let tailRead = false;
  /** A read of some length in the hope that what follows is needed; a bare header once such hopes have cost enough. */
  const hoped = (length: number): number => {
    const inVain = file.cost.bytes - frontBytes - neededBytes;
    return inVain + length <= spareBytes + neededBytes / 50 ? Math.max(hopBytes, length) : headerRoom;
  };
  const fail = (why: string, place: string): Fault => {
    const fault = { at, place, why };
    faults.push(fault);
    return fault;
  };
  while (at + 8 <= file.size) {
    if (boxes >= mostTopBoxes) {
      fail(`more than ${mostTopBoxes} boxes at the top level: the rest was not looked at`, "file");
      break;
    }
    const header = await windows.at(at, headerRoom, hoped(reach));
    if (header.array.length < 8) break;
    const { view } = header;
    let size = view.getUint32(0);
    const name = codeName(view.getUint32(4));
    if (size === 0 && view.getUint32(4) === 0) break;
    let headerBytes = 8;
    if (size === 1) {
      headerBytes = 16;
      size = header.array.length < 16 ? 0 : wide(view, 8);
    } else if (size === 0) size = file.size - at;
    const left = file.size - at;
    if (size < headerBytes || !/^[\x20-\x7e]{4}$/.test(name) || (boxes > 0 && /^ *$/.test(name))) {
      fail(boxes === 0 ? "the first box has no possible size" : "the bytes here are no box", "file");
      if (name === "mdat") openMedia = true;
      break;
    }
    boxes += 1;
    neededBytes += headerBytes;
    const cut = size > left;
    if (cut) {
      const fault = fail(`box ${name} says ${size} bytes, the file has ${left} left`, name);
      if (name === "moov" || name === "moof") found.movieFault ??= fault;
    }
    reach = hopBytes;
    if (name === "mdat") {
      mediaBytes += Math.max(0, Math.min(size, left) - headerBytes);
      openMedia = cut || size === headerBytes || view.getUint32(0) === 0;
      const last = fragments[fragments.length - 1];
      // The next fragment's header is about as large as the last one's.
      if (last !== undefined) reach = last.array.length + nextHeader;
      // Once: with many stretches of picture data it would cost more than the index, which may already be there.
      else if (!tailRead && found.movie === undefined && left - size <= wholeTailBytes) reach = left - size;
      tailRead = true;
    } else if (size < clusterBytes) reach = clusterBytes;
    if (cut) break;
    if (name === "moov" && found.movie === undefined && found.movieFault === undefined) {
      if (size > mostMovieBytes) {
        found.movieFault = fail(`the index has ${size} bytes, at most ${mostMovieBytes} are read`, "moov");
      } else {
        const body = await windows.at(at, size, size + nextHeader);
        found.movie = body;
        found.movieBody = { from: headerBytes, to: Math.min(size, body.array.length) };
        neededBytes += size - headerBytes;
      }
    } else if (name === "moof") {
      fragmentBytes += size;
      if (fragmentBytes > mostFragmentBytes) {
        found.movieFault ??= fail(`fragment headers have more than ${mostFragmentBytes} bytes`, "moof");
        break;
      }
      const body = await windows.at(at, size, size + nextHeader);
      // A copy, so that one small header does not keep the whole read alive.
      fragments.push(bytesAt(body.array.slice(0, size), at));
      neededBytes += size - headerBytes;
    } else if (size <= mostPacketBytes && (name === "uuid" || name === "meta" || name === "sidx")) {
      neededBytes += await readPacket(name, headerBytes, size);
    }
    at += size;
  }
  async function readPacket(name: string, headerBytes: number, size: number): Promise<number> {
    if (name === "uuid") {
      const key = await windows.at(at, headerBytes + 16, hopBytes);
      if (!xmpKey.every((byte, place) => key.array[headerBytes + place] === byte)) return 16;
    }
    const whole = await windows.at(at, size, size + nextHeader);
    if (name === "uuid") found.xmp ??= whole.array.slice(headerBytes + 16, size);
    else if (name === "meta") found.meta ??= bytesAt(whole.array.slice(headerBytes, size), at + headerBytes);
    else {
      const segments = readSegmentIndex(whole, headerBytes, size);
      if (segments !== undefined) found.segments ??= segments;
    }
    return size - headerBytes;
  }
  const stillPictures = found.movie === undefined && found.meta !== undefined && fragments.length === 0;
  return { ...found, fragments, mediaBytes, openMedia, faults, neededBytes, stillPictures };
}
