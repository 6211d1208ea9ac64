import { isAscii } from "node:buffer";
import { deflateRawSync, inflateRawSync } from "node:zlib";
import type { List } from "@goodgate/model";

/** A list that grows at its end and packs what it holds once there is much of it. */
export interface PackedList<T> extends List<T> {
  push(item: T): void;
}

/** How an item is written as one line of text and read again as an equal one. */
export interface LineForm<T> {
  text(item: T): string;
  parse(text: string): T;
}

/** Up to here items are held as they are: a card of a day fits, and packing costs time. */
const mostPlain = 512;
/** Items packed together: neighbours are alike, and going through a block unpacks it once. */
const mostInBlock = 64;
/** Blocks held unpacked: those that are read in turn when a list is gone through nearly in order. */
const openBlocks = 4;

/**
 * An empty packed list. An item is made anew each time it is asked for once the list is longer than `plain`, so that ten
 * thousand clips with all their facts take a few megabytes.
 */
export function packedList<T>(form: LineForm<T>, plain = mostPlain): PackedList<T> {
  const block = Math.min(mostInBlock, plain + 1);
  let items: T[] = [];
  const blocks: { readonly packed: Buffer; readonly bytes: number }[] = [];
  const open = new Map<number, Lines>();
  const pack = (): void => {
    while (items.length >= block) {
      const lines = items.slice(0, block).map((item) => form.text(item));
      const text = Buffer.from(lines.join("\n"));
      blocks.push({ packed: deflateRawSync(text, { level: 1 }), bytes: text.length });
      items = items.slice(block);
    }
  };
  const linesOf = (number: number): Lines => {
    let lines = open.get(number);
    if (lines === undefined) {
      const { packed, bytes: size } = blocks[number] as (typeof blocks)[number];
      const [oldest] = open;
      let room: Buffer = Buffer.alloc(0);
      if (open.size >= openBlocks && oldest !== undefined) {
        room = oldest[1].room;
        open.delete(oldest[0]);
      }
      // In one piece: there is room for all of it, and for zlib to see the end.
      lines = linesIn(inflateRawSync(packed, { chunkSize: size + 64 }), room);
      open.set(number, lines);
    }
    return lines;
  };
  const at = (place: number): T | undefined => {
    const number = Math.floor(place / block);
    if (number >= blocks.length) return items[place - blocks.length * block];
    return place < 0 ? undefined : form.parse(lineAt(linesOf(number), place % block));
  };
  const length = (): number => blocks.length * block + items.length;
  return {
    get length() {
      return length();
    },
    push(item) {
      items.push(item);
      if (blocks.length > 0 ? items.length >= block : items.length > plain) pack();
    },
    at,
    *[Symbol.iterator]() {
      for (let place = 0; place < length(); place += 1) yield at(place) as T;
    },
  };
}

/**
 * An unpacked block as bytes: as one text, or in memory that is new for every block, it would outlive the block, and all
 * memory would be gone through more often for its sake.
 */
interface Lines {
  readonly room: Buffer;
  readonly ascii: boolean;
  /** Where each line ends. */
  readonly ends: readonly number[];
}

/** The lines in `bytes`, which are copied into `room` where they find room there. */
function linesIn(bytes: Buffer, room: Buffer): Lines {
  const ends: number[] = [];
  for (let end = bytes.indexOf(lineFeed); end >= 0; end = bytes.indexOf(lineFeed, end + 1)) ends.push(end);
  ends.push(bytes.length);
  const enough = room.length >= bytes.length ? room : Buffer.alloc(bytes.length + bytes.length / 8);
  bytes.copy(enough);
  return { room: enough, ascii: isAscii(bytes), ends };
}

/** One line; text without letters of other alphabets needs no decoding. */
function lineAt({ room, ascii, ends }: Lines, line: number): string {
  const start = line === 0 ? 0 : (ends[line - 1] ?? 0) + 1;
  return room.toString(ascii ? "latin1" : "utf8", start, ends[line]);
}

const lineFeed = 10;
