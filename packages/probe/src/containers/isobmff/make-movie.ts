import type { CountedFile } from "../../bytes.ts";

/** Bytes from numbers and parts: the builder that tests make files with. */
export const joined = (...parts: readonly Uint8Array[]): Uint8Array => {
  const whole = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    whole.set(part, at);
    at += part.length;
  }
  return whole;
};

/** Big-endian bytes of whole numbers, each `width` bytes wide; negative ones in two's complement. */
export function be(width: 1 | 2 | 4 | 8, ...values: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(width * values.length);
  values.forEach((value, place) => {
    let left = BigInt.asUintN(width * 8, BigInt(value));
    for (let at = width - 1; at >= 0; at -= 1) {
      bytes[width * place + at] = Number(left & 255n);
      left >>= 8n;
    }
  });
  return bytes;
}

/** Latin-1 text as bytes. */
export const text = (value: string): Uint8Array => Uint8Array.from(value, (char) => char.charCodeAt(0));
/** Bytes out of hexadecimal digits; spaces are skipped. */
export const hex = (digits: string): Uint8Array =>
  Uint8Array.from((digits.replace(/\s/g, "").match(/../g) ?? []).map((pair) => Number.parseInt(pair, 16)));

/** A box of a type around its parts. */
export const box = (type: string, ...parts: readonly Uint8Array[]): Uint8Array => {
  const body = joined(...parts);
  return joined(be(4, body.length + 8), text(type), body);
};
/** A box with version and flags. */
export const full = (type: string, version: number, flags: number, ...parts: readonly Uint8Array[]): Uint8Array =>
  box(type, be(4, version * 2 ** 24 + flags), ...parts);

const unity = be(4, 0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000);

/** What a track of a made movie holds. */
export interface TrackPlan {
  readonly handler?: string;
  readonly entry?: Uint8Array;
  readonly timescale?: number;
  /** Runs of count and duration. */
  readonly durations: readonly (readonly [number, number])[];
  /** Runs of count and composition offset. */
  readonly offsets?: readonly (readonly [number, number])[];
  readonly sizes: readonly number[];
  /** Bytes of the samples; zeros when left out. */
  readonly contents?: readonly Uint8Array[];
  readonly perChunk?: number;
  /** Sync samples counted from 1. */
  readonly sync?: readonly number[];
  /** Duration in movie ticks, media time, speed in 16.16. */
  readonly edits?: readonly (readonly [number, number, number])[];
  readonly matrix?: Uint8Array;
  readonly enabled?: boolean;
  readonly references?: Readonly<Record<string, number>>;
  readonly mediaTicks?: number;
  readonly headerTicks?: number;
  /** Further boxes for the end of the track. */
  readonly more?: Uint8Array;
}

/** What a made movie holds. */
export interface MoviePlan {
  readonly tracks: readonly TrackPlan[];
  readonly movieTimescale?: number;
  readonly movieTicks?: number;
  /** Seconds since 1904. */
  readonly clock?: number;
  /** Further boxes for the end of `moov`. */
  readonly more?: Uint8Array;
  readonly order?: "index first" | "index last";
  /** Box sizes of `mdat` and chunk offsets in 64 bits. */
  readonly wide?: boolean;
  /** Put every track's samples into an `mdat` of its own. */
  readonly split?: boolean;
  /** Boxes between `ftyp` and the rest. */
  readonly before?: Uint8Array;
  readonly after?: Uint8Array;
  readonly brand?: string;
}

/** A picture sample entry with boxes behind its fixed part. */
export const pictureEntry = (
  code: string,
  width: number,
  height: number,
  ...boxes: readonly Uint8Array[]
): Uint8Array =>
  box(
    code,
    new Uint8Array(6),
    be(2, 1),
    new Uint8Array(16),
    be(2, width, height),
    be(4, 0x480000, 0x480000, 0),
    be(2, 1),
    new Uint8Array(32),
    be(2, 24, -1),
    ...boxes,
  );

/** A sound sample entry with boxes behind its fixed part. */
export const soundEntry = (
  code: string,
  channels: number,
  bits: number,
  rate: number,
  ...boxes: readonly Uint8Array[]
): Uint8Array =>
  box(code, new Uint8Array(6), be(2, 1), new Uint8Array(8), be(2, channels, bits, 0, 0), be(4, rate * 65536), ...boxes);

/** Any other sample entry. */
export const plainEntry = (code: string, ...parts: readonly Uint8Array[]): Uint8Array =>
  box(code, new Uint8Array(6), be(2, 1), ...parts);

const float = (value: number): Uint8Array => {
  const bytes = new Uint8Array(4);
  new DataView(bytes.buffer).setFloat32(0, value);
  return bytes;
};

/** A list of `mdta` keys with text or 32-bit floats, in the QuickTime form. */
export function keysBox(items: Readonly<Record<string, string | number>>): Uint8Array {
  const list = Object.entries(items);
  const values = list.map(([, value], place) => {
    const kind = typeof value === "string" ? 1 : 23;
    const body = typeof value === "string" ? new TextEncoder().encode(value) : float(value);
    const data = box("data", be(4, kind, 0), body);
    return joined(be(4, data.length + 8, place + 1), data);
  });
  return box(
    "meta",
    full("hdlr", 0, 0, be(4, 0), text("mdta"), new Uint8Array(13)),
    full("keys", 0, 0, be(4, list.length), ...list.map(([key]) => box("mdta", text(key)))),
    box("ilst", ...values),
  );
}

/** A user data text item. */
export const userText = (code: string, value: string): Uint8Array =>
  box(code, be(2, value.length, 0x15c7), text(value));

const runs = (list: readonly (readonly [number, number])[]): Uint8Array =>
  joined(be(4, list.length), be(4, ...list.flat()));

const sum = (values: readonly number[]): number => values.reduce((total, value) => total + value, 0);

function trackBox(plan: TrackPlan, id: number, movieTimescale: number, chunks: readonly number[], wide: boolean) {
  const timescale = plan.timescale ?? 25_000;
  const ticks = sum(plan.durations.map(([count, delta]) => count * delta));
  const perChunk = plan.perChunk ?? plan.sizes.length;
  const headerTicks = plan.headerTicks ?? Math.round((ticks * movieTimescale) / timescale);
  const stbl = box(
    "stbl",
    full("stsd", 0, 0, be(4, 1), plan.entry ?? pictureEntry("avc1", 320, 180)),
    full("stts", 0, 0, runs(plan.durations)),
    ...(plan.offsets === undefined ? [] : [full("ctts", 1, 0, runs(plan.offsets))]),
    ...(plan.sync === undefined ? [] : [full("stss", 0, 0, be(4, plan.sync.length, ...plan.sync))]),
    full("stsc", 0, 0, be(4, 1, 1, perChunk, 1)),
    full("stsz", 0, 0, be(4, 0, plan.sizes.length, ...plan.sizes)),
    full(wide ? "co64" : "stco", 0, 0, be(4, chunks.length), be(wide ? 8 : 4, ...chunks)),
  );
  const edits = plan.edits ?? [];
  return box(
    "trak",
    full(
      "tkhd",
      0,
      (plan.enabled ?? true) ? 3 : 2,
      be(4, 0, 0, id, 0, headerTicks, 0, 0),
      be(2, 0, 0, 0, 0),
      plan.matrix ?? unity,
      be(4, 0, 0),
    ),
    ...(edits.length === 0 ? [] : [box("edts", full("elst", 0, 0, be(4, edits.length), be(4, ...edits.flat())))]),
    ...(plan.references === undefined
      ? []
      : [box("tref", ...Object.entries(plan.references).map(([kind, to]) => box(kind, be(4, to))))]),
    box(
      "mdia",
      full("mdhd", 0, 0, be(4, 0, 0, timescale, plan.mediaTicks ?? ticks), be(2, 0x55c4, 0)),
      full("hdlr", 0, 0, be(4, 0), text(plan.handler ?? "vide"), new Uint8Array(13)),
      box("minf", stbl),
    ),
    plan.more ?? new Uint8Array(0),
  );
}

/** A whole file from a plan. Chunks of the tracks lie one track after the other. */
export function makeMovie(plan: MoviePlan): Uint8Array {
  const movieTimescale = plan.movieTimescale ?? 1000;
  const wide = plan.wide ?? false;
  const front = joined(
    box("ftyp", text(plan.brand ?? "isom"), be(4, 512), text("isom")),
    plan.before ?? new Uint8Array(0),
  );
  const bodies = plan.tracks.map(({ sizes, contents }) =>
    contents === undefined ? new Uint8Array(sum(sizes)) : joined(...contents),
  );
  const media = (content: Uint8Array): Uint8Array =>
    wide ? joined(be(4, 1), text("mdat"), be(8, content.length + 16), content) : box("mdat", content);
  const mdats = plan.split === true ? bodies.map(media) : [media(joined(...bodies))];
  const moov = (start: number): Uint8Array => {
    let at = start;
    const header = wide ? 16 : 8;
    if (plan.split !== true) at += header;
    const tracks = plan.tracks.map((track, place) => {
      if (plan.split === true) at += header;
      const perChunk = track.perChunk ?? track.sizes.length;
      const chunks: number[] = [];
      for (let first = 0; first < track.sizes.length; first += perChunk) {
        chunks.push(at);
        at += sum(track.sizes.slice(first, first + perChunk));
      }
      return trackBox(track, place + 1, movieTimescale, chunks, wide);
    });
    const ticks = plan.movieTicks ?? 1000;
    return box(
      "moov",
      full(
        "mvhd",
        0,
        0,
        be(4, plan.clock ?? 0, 0, movieTimescale, ticks, 0x10000),
        be(2, 0x100),
        new Uint8Array(10),
        unity,
        new Uint8Array(24),
        be(4, plan.tracks.length + 1),
      ),
      ...tracks,
      plan.more ?? new Uint8Array(0),
    );
  };
  const after = plan.after ?? new Uint8Array(0);
  if (plan.order === "index first") {
    const size = moov(0).length;
    return joined(front, moov(front.length + size), ...mdats, after);
  }
  return joined(front, ...mdats, moov(front.length), after);
}

/** A file in memory that counts what is read from it, as the real one does. */
export function fileOf(bytes: Uint8Array, path = "clip.mp4"): CountedFile {
  const cost = { bytes: 0, calls: 0, milliseconds: 0 };
  return {
    path,
    size: bytes.length,
    cost,
    read: async (offset, length) => {
      const part = bytes.slice(offset, Math.max(offset, Math.min(bytes.length, offset + length)));
      cost.bytes += part.length;
      cost.calls += 1;
      return part;
    },
    close: async () => undefined,
  };
}
