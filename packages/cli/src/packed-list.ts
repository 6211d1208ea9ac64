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
  const open = new Map<number, readonly string[]>();
  const pack = (): void => {
    while (items.length >= block) {
      const lines = items.slice(0, block).map((item) => form.text(item));
      const text = Buffer.from(lines.join("\n"));
      blocks.push({ packed: deflateRawSync(text, { level: 1 }), bytes: text.length });
      items = items.slice(block);
    }
  };
  const linesOf = (number: number): readonly string[] => {
    let lines = open.get(number);
    if (lines === undefined) {
      const { packed, bytes: size } = blocks[number] as (typeof blocks)[number];
      // In one piece: there is room for all of it, and for zlib to see the end.
      const bytes = inflateRawSync(packed, { chunkSize: size + 64 });
      // Text without letters of other alphabets needs no decoding.
      lines = bytes.toString(isAscii(bytes) ? "latin1" : "utf8").split("\n");
      const [oldest] = open.keys();
      if (open.size >= openBlocks && oldest !== undefined) open.delete(oldest);
      open.set(number, lines);
    }
    return lines;
  };
  const at = (place: number): T | undefined => {
    const number = Math.floor(place / block);
    if (number >= blocks.length) return items[place - blocks.length * block];
    const line = place < 0 ? undefined : linesOf(number)[place % block];
    return line === undefined ? undefined : form.parse(line);
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
