import type { Edit } from "./recipe.ts";

/** What a change by shape draws from: numbers below a limit, and one of a list. */
export interface Chance {
  readonly below: (limit: number) => number;
  readonly pick: <T>(list: readonly T[]) => T;
}

/** A box of an ISO media file (ISO/IEC 14496-12, section 4.2) as far as its header can be believed. */
interface MadeBox {
  readonly type: string;
  readonly start: number;
  readonly body: number;
  readonly end: number;
}

/** Boxes that hold boxes, with the bytes before the first of them. */
const parents: Readonly<Record<string, number>> = {
  moov: 0,
  trak: 0,
  edts: 0,
  mdia: 0,
  minf: 0,
  dinf: 0,
  stbl: 0,
  udta: 0,
  moof: 0,
  traf: 0,
  mvex: 0,
  meta: 4,
  ilst: 0,
  stsd: 8,
};
/** Full boxes that begin with a count of entries, and where it stands in the body; then the bytes of one entry. */
const tables: Readonly<Record<string, readonly [countAt: number, entryBytes: number]>> = {
  stts: [4, 8],
  ctts: [4, 8],
  stsc: [4, 12],
  stco: [4, 4],
  co64: [4, 8],
  stss: [4, 4],
  elst: [4, 12],
  stsd: [4, 16],
  stsz: [8, 4],
  trun: [4, 8],
  sidx: [20, 12],
  keys: [4, 8],
  dref: [4, 12],
};
const counts = [0, 1, 2, 0xff, 0xffff, 0x10000, 1_000_000, 0x7fffffff, 0x80000000, 0xfffffffe, 0xffffffff];
/** A piece is repeated to at most so many bytes: more says nothing new and takes long to write. */
const mostRepeatedBytes = 12_000_000;
/** Most files are made large only a little: one in so many to the full. */
const oftenBytes = 300_000;

const u32 = (value: number): string => (value >>> 0).toString(16).padStart(8, "0");
const text = (value: string): string => Buffer.from(value, "latin1").toString("hex");

/** Every box that can be found, parents before children. */
export function boxesOf(bytes: Buffer): readonly MadeBox[] {
  const found: MadeBox[] = [];
  const visit = (from: number, to: number, depth: number): void => {
    for (let at = from; at + 8 <= to && found.length < 5000;) {
      let size = bytes.readUInt32BE(at);
      let body = at + 8;
      if (size === 1 && at + 16 <= to) {
        size = Number(bytes.readBigUInt64BE(at + 8));
        body = at + 16;
      }
      const type = bytes.toString("latin1", at + 4, at + 8);
      const end = size < body - at || at + size > to ? to : at + size;
      found.push({ type, start: at, body, end });
      const skip = parents[type];
      if (skip !== undefined && depth < 16) visit(body + skip, end, depth + 1);
      at = end;
    }
  };
  if (bytes.length >= 8) visit(0, bytes.length, 0);
  return found;
}

/** Changes a box file where its grammar is: sizes, types, counts, entries, nesting, whole boxes. */
export function boxEdits(bytes: Buffer, { below, pick }: Chance): readonly Edit[] {
  const boxes = boxesOf(bytes);
  if (boxes.length === 0) return [];
  const listed = boxes.filter(({ type }) => type in tables);
  const way = pick([
    "size",
    "size64",
    "type",
    "count",
    "count",
    "entry",
    "entry",
    "nest",
    "twice",
    "gone",
    "version",
  ] as const);
  const box = pick((way === "count" || way === "entry") && listed.length > 0 ? listed : boxes);
  const own = box.end - box.start;
  switch (way) {
    case "size": {
      const lie = pick([0, 1, 2, 7, 8, own - 1, own + 1, own + 8, own * 2, 0x7fffffff, 0xffffffff, below(own + 1)]);
      return [{ at: box.start, remove: 4, put: u32(lie) }];
    }
    case "size64": {
      const lie = pick([
        0n,
        15n,
        16n,
        BigInt(own + 8),
        1n << 32n,
        (1n << 53n) + 1n,
        (1n << 63n) - 1n,
        (1n << 64n) - 1n,
      ]);
      return [
        { at: box.start, remove: 4, put: u32(1) },
        { at: box.start + 8, remove: pick([0, 8]), put: lie.toString(16).padStart(16, "0") },
      ];
    }
    case "type":
      return [{ at: box.start + 4, remove: 4, put: text(pick(boxes).type) }];
    case "count": {
      const [countAt] = tables[box.type] ?? [4];
      // A table of equal sizes has no entries: billions of samples in twenty bytes.
      const isSizes = box.type === "stsz";
      return [
        { at: box.body + countAt, remove: 4, put: u32(pick(counts)) },
        ...(isSizes ? [{ at: box.body + 4, remove: 4, put: u32(pick([0, 1, 100, 65_536, 0xffffffff])) }] : []),
      ];
    }
    case "entry": {
      const [countAt, entryBytes] = tables[box.type] ?? [0, 4];
      const from = box.body + countAt + 4;
      const at = from + 4 * below(Math.max(1, Math.min(64, Math.floor((box.end - from) / 4))));
      const edit = { at, remove: 4, put: u32(pick(counts)) };
      if (below(3) > 0) return [edit];
      // One entry over and over, with the count that belongs to it.
      const times = 1 + below(below(10) === 0 ? 200_000 : 2000);
      const entry = bytes.subarray(from, from + entryBytes);
      return [
        { at: from, remove: 0, put: entry.toString("hex"), times },
        ...grown(boxes, box, entry.length * times),
      ].concat({ at: box.body + countAt, remove: 4, put: u32(times) });
    }
    case "nest": {
      // Headers of one kind inside each other, each of which says it reaches to the end.
      const times = pick([2, 16, 100, 5000]);
      return [{ at: box.start, remove: 0, put: u32(own + 8) + text(box.type), times }, ...grown(boxes, box, 8 * times)];
    }
    case "twice": {
      const times = own > 4096 ? 1 : pick([1, 2, 50, 3000]);
      const piece = bytes.subarray(box.start, Math.min(box.end, box.start + 65_536));
      return [
        { at: box.end, remove: 0, put: piece.toString("hex"), times },
        ...grown(boxes, { ...box, start: box.end, body: box.end }, piece.length * times),
      ];
    }
    case "gone":
      return [{ at: box.start, remove: Math.min(own, 65_536), put: "" }, ...grown(boxes, box, -Math.min(own, 65_536))];
    case "version":
      return [{ at: box.body, remove: 1, put: pick(["00", "01", "02", "ff"]) }];
  }
}

/** The sizes of all boxes around a place set to what they must be, so that the reader comes as far as the change. */
function grown(boxes: readonly MadeBox[], inner: MadeBox, more: number): readonly Edit[] {
  return boxes
    .filter(
      (box) =>
        box.body < inner.start + 1 && box.end >= inner.end && box.start < inner.start && box.body - box.start === 8,
    )
    .map((box) => ({ at: box.start, remove: 4, put: u32(Math.min(0xffffffff, box.end - box.start + more)) }));
}

/** Changes lengths of key-length-value data: four letters with type, size and count, or universal keys with BER lengths. */
export function klvEdits(bytes: Buffer, { below, pick }: Chance): readonly Edit[] {
  const places: number[] = [];
  const from = below(Math.max(1, bytes.length));
  // From a place on and then from the start: pictures are skipped quickly, and every item can be met.
  for (const [low, high] of [
    [from, Math.min(bytes.length, from + 400_000)],
    [0, from],
  ] as const) {
    for (let at = low; at + 20 < high && places.length < 40; at += 1) {
      if (bytes.readUInt32BE(at) === 0x060e2b34) places.push(at + 16);
      else if (isLetters(bytes, at) && "bBcdDfFGjJlLqQsSUx?\0".includes(String.fromCharCode(bytes[at + 4] ?? 0xff))) {
        places.push(at + 4);
      }
    }
    if (places.length > 0) break;
  }
  if (places.length === 0) return [];
  const at = pick(places);
  return [
    {
      at,
      remove: pick([1, 2, 4]),
      put: pick([
        "00",
        "80",
        "84ffffffff",
        "8800000000ffffffff",
        "83ffffff",
        "7f",
        "ff",
        "00ffffff",
        "4cffffff",
        "6200ffff",
        "00000000",
        "0001ffff",
      ]),
    },
  ];
}

const isLetters = (bytes: Buffer, at: number): boolean => {
  for (let place = at; place < at + 4; place += 1) {
    const byte = bytes[place] ?? 0;
    if (!((byte >= 0x41 && byte <= 0x5a) || (byte >= 0x30 && byte <= 0x39))) return false;
  }
  return true;
};

/** Makes a text huge out of its own words: endless lines, cues by the hundred thousand, trees without a bottom. */
export function textEdits(bytes: Buffer, { below, pick }: Chance): readonly Edit[] {
  const most = below(8) === 0 ? mostRepeatedBytes : oftenBytes;
  const repeated = (piece: Buffer | string, at: number): Edit => {
    const of = Buffer.from(piece);
    const times = 1 + below(Math.max(1, Math.floor(most / Math.max(1, of.length))));
    return { at, remove: 0, put: of.toString("hex"), times };
  };
  const at = below(bytes.length + 1);
  const length = 1 + below(pick([8, 60, 600]));
  const way = pick(["stretch", "stretch", "cue", "sign", "tree", "attributes", "digits"] as const);
  switch (way) {
    case "stretch":
      return [repeated(bytes.subarray(at, at + length), at)];
    case "cue": {
      // From one empty line to the next: a whole cue, its number and times with it.
      const break_ = Buffer.from("\n\n");
      const start = Math.max(0, bytes.indexOf(break_, below(bytes.length + 1)) + 2);
      const end = bytes.indexOf(break_, start);
      return [repeated(bytes.subarray(start, end < 0 ? bytes.length : end + 2), start)];
    }
    case "sign":
      return [
        repeated(pick(["[", "(", "<", "&", ":", ",", " ", "\n", "\r", "\0", "-->", "é", "&#", "{\\", "]>", "1"]), at),
      ];
    case "digits":
      return [repeated(pick(["9", "0", "1.", "00:", "1/"]), at)];
    case "tree": {
      const tag = bytes.indexOf("<", at);
      const times = pick([10, 64, 65, 1000, 50_000]);
      const place = tag < 0 ? at : tag;
      return [
        { at: place, remove: 0, put: text("</a>"), times },
        { at: place, remove: 0, put: text("<a>"), times },
      ];
    }
    case "attributes": {
      const tag = bytes.indexOf(" ", at);
      const names = Array.from(
        { length: pick([3, 300, 9000]) },
        (_, number) => ` ${pick(["a", "xmlns:a"])}${number}="1"`,
      );
      return [{ at: tag < 0 ? at : tag, remove: 0, put: text(names.join("")) }];
    }
  }
}
