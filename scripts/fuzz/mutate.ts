import { boxEdits, type Chance, klvEdits, textEdits } from "./mutate-shape.ts";
import type { Edit } from "./recipe.ts";

/** Numbers that break readers: ends of ranges, signs, sizes that lie, counts in the billions. */
const edges32 = [
  0, 1, 7, 8, 15, 16, 0x7f, 0x80, 0xff, 0x100, 0x7fff, 0x8000, 0xffff, 0x10000, 0x7fffffff, 0x80000000, 0xfffffffe,
  0xffffffff,
];
const words = [
  "0",
  "-1",
  "1/0",
  "0/0",
  "1e309",
  "NaN",
  "99999999999999999999",
  "0x7fffffff",
  "1/-50",
  "١٢٣",
  "\0",
  "\uFEFF",
  "\r",
  "\n\n\n",
  "[",
  "]]]]",
  ">",
  "<![CDATA[",
  "&a;&a;",
  '<!ENTITY a "&a;">',
  "00:00:00,000 --> 99:99:99,999",
  ": ",
  "�",
  "𝟙",
  "  ".repeat(500),
  "[iso:1".repeat(200),
  "-".repeat(300),
];
/** Largest piece copied, removed or repeated. */
const mostPiece = 4096;

/** What a change was made with, for counts and for what may be expected of it. */
export type Kind = "cut" | "numbers" | "bytes" | "pieces" | "words" | "foreign" | "shape";

/** A hostile change of a file. */
export interface Mutation {
  readonly kind: Kind;
  readonly edits: readonly Edit[];
}

/** Changes a file, the same for the same `random`; `donor` is another file that pieces may come from. */
export function mutate(bytes: Buffer, donor: Buffer, random: () => number): Mutation {
  const below = (limit: number): number => Math.floor(random() * limit);
  const pick = <T>(list: readonly T[]): T => list[below(list.length)] as T;
  const hot = hotRanges(bytes);
  // Nearly all of a film is pictures that nobody reads; the fuzzing is for what is read.
  const spot = (): number => {
    const range = random() < 0.9 ? pick(hot) : { from: 0, to: bytes.length };
    return range.from + below(Math.max(1, range.to - range.from));
  };
  if (random() < 0.08) {
    const at = random() < 0.5 ? spot() : below(bytes.length + 1);
    return { kind: "cut", edits: [{ at, remove: bytes.length - at, put: "" }] };
  }
  const shaped = random() < 0.4 ? shapeEdits(bytes, { below, pick }) : [];
  if (shaped.length > 0) return { kind: "shape", edits: shaped };
  const kind = isText(bytes) ? pick(["words", "words", "pieces", "bytes"] as const) : pick(kindsOfBinary);
  const count = 1 + Math.floor(random() ** 3 * 12);
  const edits: Edit[] = [];
  for (let made = 0; made < count; made += 1) {
    const at = spot();
    if (kind === "numbers") edits.push(numberEdit(bytes, at, random));
    else if (kind === "bytes") {
      const old = bytes[at] ?? 0;
      const flipped = random() < 0.5 ? old ^ (1 << below(8)) : below(256);
      edits.push({ at, remove: 1, put: hexOf([flipped]) });
    } else if (kind === "words") edits.push({ at, remove: below(12), put: Buffer.from(pick(words)).toString("hex") });
    else if (kind === "foreign") {
      const from = below(donor.length + 1);
      const piece = donor.subarray(from, from + 1 + below(256));
      edits.push({ at, remove: random() < 0.5 ? piece.length : 0, put: piece.toString("hex") });
    } else {
      const length = 1 + below(random() < 0.8 ? 64 : mostPiece);
      const piece = bytes.subarray(at, at + length);
      if (random() < 0.4) edits.push({ at, remove: length, put: "" });
      else if (random() < 0.5) edits.push({ at: spot(), remove: 0, put: piece.toString("hex") });
      else edits.push({ at, remove: length, put: "00".repeat(piece.length) });
    }
  }
  return { kind, edits };
}

/** One change, seldom three, of what the file is built of. */
function shapeEdits(bytes: Buffer, chance: Chance): readonly Edit[] {
  const isBoxes = bytes.toString("latin1", 4, 8) === "ftyp";
  const make = isText(bytes) ? textEdits : isBoxes && chance.below(4) > 0 ? boxEdits : klvEdits;
  return Array.from({ length: chance.below(6) === 0 ? 3 : 1 }, () => make(bytes, chance)).flat();
}

const kindsOfBinary = ["numbers", "numbers", "numbers", "bytes", "bytes", "pieces", "foreign"] as const;

/** A field of one, two, four or eight bytes gets an edge of its range, or nearly its own value. */
function numberEdit(bytes: Buffer, at: number, random: () => number): Edit {
  const width = [1, 2, 4, 4, 4, 8][Math.floor(random() * 6)] ?? 4;
  // Fields of boxes stand at multiples of four from the box's start more often than not.
  const from = random() < 0.7 ? at - (at % 4) : at;
  const field = Buffer.alloc(8);
  if (random() < 0.7) {
    const edge = edges32[Math.floor(random() * edges32.length)] ?? 0;
    field.writeUInt32BE(edge, 4);
    if (random() < 0.3) field.writeUInt32BE(edges32[Math.floor(random() * edges32.length)] ?? 0, 0);
  } else {
    const near = (from + 4 <= bytes.length ? bytes.readUInt32BE(from) : 0) + Math.floor(random() * 9) - 4;
    field.writeUInt32BE(near >>> 0, 4);
  }
  return { at: from, remove: width, put: field.subarray(8 - width).toString("hex") };
}

const hexOf = (bytes: readonly number[]): string => Buffer.from(bytes).toString("hex");

const isText = (bytes: Buffer): boolean => {
  const head = bytes.subarray(0, 512);
  return head.length > 0 && head.every((byte) => byte >= 0x20 || byte === 9 || byte === 10 || byte === 13);
};

interface Range {
  readonly from: number;
  readonly to: number;
}

/** Everything of an ISO media file but its pictures; of any other file the whole. */
function hotRanges(bytes: Buffer): readonly Range[] {
  const whole = [{ from: 0, to: bytes.length }];
  if (bytes.toString("latin1", 4, 8) !== "ftyp") return whole;
  const ranges: Range[] = [];
  let at = 0;
  while (at + 8 <= bytes.length) {
    const size =
      bytes.readUInt32BE(at) === 1 && at + 16 <= bytes.length
        ? Number(bytes.readBigUInt64BE(at + 8))
        : bytes.readUInt32BE(at);
    const end = size < 8 || at + size > bytes.length ? bytes.length : at + size;
    if (bytes.toString("latin1", at + 4, at + 8) === "mdat") ranges.push({ from: at, to: at + 16 });
    else {
      ranges.push({ from: at, to: end });
      // Text samples lie in mdat too and are read: the rest of it is reached by the tenth that goes anywhere.
      if (bytes.toString("latin1", at + 4, at + 8) === "moov") ranges.push({ from: at, to: end });
    }
    at = end;
  }
  return ranges.length === 0 ? whole : ranges;
}
