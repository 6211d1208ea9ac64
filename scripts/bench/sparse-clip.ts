// Not run by itself: writes clips whose index and telemetry are real and whose pictures are a hole in the file.
import { closeSync, openSync, utimesSync, writeFileSync, writeSync } from "node:fs";
import { inflateRawSync } from "node:zlib";
import {
  be,
  box,
  full,
  hex,
  joined,
  pictureEntry,
  plainEntry,
  soundEntry,
  text,
} from "../../packages/probe/src/containers/isobmff/make-movie.ts";
import { cueFile, cueText } from "./cue-text.ts";

/** What a sparse clip holds. */
export interface ClipPlan {
  readonly frames: number;
  readonly framesPerSecond: 25 | 50 | 100 | 200;
  /** Bytes the pictures would take. */
  readonly pictureBytes: number;
  /** Pictures decoded out of order: a table of as many composition offsets. */
  readonly reordered?: boolean;
  readonly sound?: boolean;
  readonly index: "first" | "last";
  /** Cues of telemetry and where they lie: one text sample each between the pictures of their second, or a subtitle file. */
  readonly cues?: { readonly count: number; readonly lie: "in the file" | "beside it" };
  /** Start of the recording, milliseconds since 1970. */
  readonly startMilliseconds: number;
}

/** A clip as made. */
export interface MadeClip {
  readonly path: string;
  /** Size a listing shows, subtitle file included. */
  readonly bytes: number;
  /** Bytes of the headers of all boxes at the top level and of the whole movie box: what must be read. */
  readonly headerBytes: number;
  readonly telemetryBytes: number;
}

/** Codec configuration of a stream of 3840 by 2160 pixels in 10 bits (x265, no rate stated, BT.709). */
const codecBox = box(
  "hvcC",
  hex(
    "01222000000090000000000099f000fcfdfafa00000f03a00001001840010c01ffff22200000030090000003000003009995" +
      "9809a100010025420101222000000300900000030000030099a001e020021c4d96566924caf016a020202008a20001000744" +
      "01c172b46240",
  ),
);
/** One grey picture of that stream, packed: a reader that decodes the first picture finds one, as on a real card. */
const firstPicture = inflateRawSync(
  Buffer.from(
    "Y2BgX6TBuF6Wxb3t4+XlejIWeTc3p52dbZZzc3PY2qitWVdXg6js74zR1/YdZ5C/aDRFdJHaJAYGZlIRc9TKwlOsEo3qDWRoZiyc" +
      "zDtFgQyNDAzsZ9rJ0gdEDg7k6tRPIFMniwqZGlUfkKnxWAN5GpnUyNLHEkKWNo4VZGnj20GWNhkBsrRpL6BnMos8QJa2NvLiext5" +
      "2p6TpY1RkyxdpWTpOkyOLiY2snRFkaVrHVm6XpGji9mNLF1NZOnaRZauV/QrV1l8yNJVQm61gQM1NAAA",
    "base64",
  ),
);

const colourBox = box("colr", text("nclx"), be(2, 1, 1, 1), be(1, 0));
const unity = be(4, 0x10000, 0, 0, 0, 0x10000, 0, 0, 0, 0x40000000);
/** Seconds from 1904 to 1970. */
const epochSeconds = 2_082_844_800;
const soundRate = 48_000;
const soundFrame = 1024;

/** Many numbers of 32 bits as bytes. */
function words(values: ArrayLike<number>): Uint8Array {
  const bytes = new Uint8Array(4 * values.length);
  const view = new DataView(bytes.buffer);
  for (let place = 0; place < values.length; place += 1) view.setUint32(4 * place, values[place] ?? 0);
  return bytes;
}

/** Numbers of 64 bits as bytes. */
function wideWords(values: readonly number[]): Uint8Array {
  const bytes = new Uint8Array(8 * values.length);
  const view = new DataView(bytes.buffer);
  values.forEach((value, place) => view.setBigUint64(8 * place, BigInt(value)));
  return bytes;
}

interface Part {
  readonly handler: string;
  readonly entry: Uint8Array;
  readonly timescale: number;
  readonly sampleTicks: number;
  readonly sizes: Uint32Array;
  readonly perChunk: number;
  readonly offsets?: Uint8Array;
  readonly sync?: Uint32Array;
  readonly chunks: number[];
}

/** Writes a clip, and its subtitle file where it has one. */
export function makeSparseClip(path: string, plan: ClipPlan): MadeClip {
  const seconds = Math.ceil(plan.frames / plan.framesPerSecond);
  const parts = [picturePart(plan), ...(plan.sound === true ? [soundPart(seconds)] : [])];
  const cues = plan.cues?.lie === "in the file" ? cueSamples(plan, seconds) : undefined;
  if (cues !== undefined) parts.push(cues.part);
  const front = box("ftyp", text("isom"), be(4, 512), text("isom"), text("mp42"));
  const frontBytes = plan.index === "first" ? front.length + movieBox(plan, parts, seconds, true).length : front.length;
  // Chunks of all tracks take turns second by second, as a camera writes them.
  let at = frontBytes + 16;
  const cueChunks: number[] = [];
  for (let second = 0; second < seconds; second += 1) {
    for (const part of parts) {
      const first = second * part.perChunk;
      if (first >= part.sizes.length) continue;
      part.chunks.push(at);
      if (part === cues?.part) cueChunks.push(at);
      for (let sample = first; sample < Math.min(first + part.perChunk, part.sizes.length); sample += 1) {
        at += part.sizes[sample] ?? 0;
      }
    }
  }
  const movie = movieBox(plan, parts, seconds, false);
  const mediaHeader = joined(be(4, 1), text("mdat"), be(8, at - frontBytes));
  const file = openSync(path, "w");
  try {
    const head = plan.index === "first" ? joined(front, movie, mediaHeader) : joined(front, mediaHeader);
    writeSync(file, head, 0, head.length, 0);
    writeSync(file, firstPicture, 0, firstPicture.length, parts[0]?.chunks[0] ?? 0);
    let from = 0;
    for (const offset of cueChunks) {
      const count = cues?.part.perChunk ?? 0;
      const chunk = joined(...(cues?.contents.slice(from, from + count) ?? []));
      from += count;
      writeSync(file, chunk, 0, chunk.length, offset);
    }
    if (plan.index === "last") writeSync(file, movie, 0, movie.length, at);
    else writeSync(file, new Uint8Array(1), 0, 1, at - 1);
  } finally {
    closeSync(file);
  }
  const ends = (plan.startMilliseconds + seconds * 1000) / 1000;
  utimesSync(path, ends, ends);
  let telemetryBytes = cues === undefined ? 0 : cues.contents.reduce((sum, sample) => sum + sample.length, 0);
  let besideBytes = 0;
  if (plan.cues?.lie === "beside it") {
    const lines = cueFile(plan.cues.count, plan.cues.count / seconds);
    writeFileSync(path.replace(/\.MP4$/, ".SRT"), lines);
    telemetryBytes = lines.length;
    besideBytes = lines.length;
  }
  const whole = plan.index === "last" ? at + movie.length : at;
  return { path, bytes: whole + besideBytes, headerBytes: front.length + 16 + movie.length, telemetryBytes };
}

function picturePart(plan: ClipPlan): Part {
  const { frames, framesPerSecond } = plan;
  const mean = plan.pictureBytes / frames;
  const sizes = new Uint32Array(frames);
  let state = 12_345;
  for (let frame = 0; frame < frames; frame += 1) {
    // A number generator of 1990s C libraries: sizes only have to differ.
    state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0;
    sizes[frame] = Math.round(mean * (frame % framesPerSecond === 0 ? 3 : 0.5 + (state >>> 8) / 2 ** 24));
  }
  sizes[0] = firstPicture.length;
  const ticks = 1000;
  return {
    handler: "vide",
    entry: pictureEntry("hvc1", 3840, 2160, codecBox, colourBox),
    timescale: framesPerSecond * ticks,
    sampleTicks: ticks,
    sizes,
    perChunk: framesPerSecond,
    chunks: [],
    sync: Uint32Array.from({ length: Math.ceil(frames / framesPerSecond) }, (_, at) => at * framesPerSecond + 1),
    ...(plan.reordered === true ? { offsets: reorderedOffsets(frames, ticks) } : {}),
  };
}

/** Composition offsets of groups of three: the later picture is decoded first. */
function reorderedOffsets(frames: number, ticks: number): Uint8Array {
  const pattern = [1, 3, 0, 0];
  const values = new Uint32Array(2 * frames);
  for (let frame = 0; frame < frames; frame += 1) {
    values[2 * frame] = 1;
    const whole = frame - (frame % 4) + 4 <= frames;
    values[2 * frame + 1] = whole ? (pattern[frame % 4] ?? 0) * ticks : ticks;
  }
  return words(values);
}

function soundPart(seconds: number): Part {
  const samples = Math.floor((seconds * soundRate) / soundFrame);
  const sizes = Uint32Array.from({ length: samples }, (_, place) => 300 + ((place * 37) % 120));
  return {
    handler: "soun",
    entry: soundEntry(
      "mp4a",
      2,
      16,
      soundRate,
      full("esds", 0, 0, hex("0319000000041140150000000001f4000001f40005021190060102")),
    ),
    timescale: soundRate,
    sampleTicks: soundFrame,
    sizes,
    perChunk: Math.ceil(soundRate / soundFrame),
    chunks: [],
  };
}

function cueSamples(
  plan: ClipPlan,
  seconds: number,
): { readonly part: Part; readonly contents: readonly Uint8Array[] } {
  const count = plan.cues?.count ?? 0;
  const perSecond = Math.max(1, Math.round(count / seconds));
  const encoder = new TextEncoder();
  const contents = Array.from({ length: count }, (_, place) => {
    const line = encoder.encode(cueText(place, perSecond));
    return joined(be(2, line.length), line);
  });
  const part: Part = {
    handler: "text",
    entry: plainEntry("tx3g", new Uint8Array(38)),
    timescale: perSecond * 1000,
    sampleTicks: 1000,
    sizes: Uint32Array.from(contents, (sample) => sample.length),
    perChunk: perSecond,
    chunks: [],
  };
  return { part, contents };
}

/** The index; `empty` gives one of the same size before the chunks have a place. */
function movieBox(plan: ClipPlan, parts: readonly Part[], seconds: number, empty: boolean): Uint8Array {
  const clock = Math.round(plan.startMilliseconds / 1000) + epochSeconds;
  const tracks = parts.map((part, place) => {
    const count = part.sizes.length;
    const chunks = empty ? Array.from({ length: Math.ceil(count / part.perChunk) }, () => 0) : part.chunks;
    const stbl = box(
      "stbl",
      full("stsd", 0, 0, be(4, 1), part.entry),
      full("stts", 0, 0, be(4, 1, count, part.sampleTicks)),
      ...(part.offsets === undefined ? [] : [full("ctts", 0, 0, be(4, count), part.offsets)]),
      ...(part.sync === undefined ? [] : [full("stss", 0, 0, be(4, part.sync.length), words(part.sync))]),
      full("stsc", 0, 0, samplesToChunks(count, part.perChunk)),
      full("stsz", 0, 0, be(4, 0, count), words(part.sizes)),
      full("co64", 0, 0, be(4, chunks.length), wideWords(chunks)),
    );
    const ticks = count * part.sampleTicks;
    return box(
      "trak",
      full(
        "tkhd",
        0,
        3,
        be(4, clock, clock, place + 1, 0, Math.round((ticks * 1000) / part.timescale), 0, 0),
        be(2, 0, 0, 0, 0),
        unity,
        be(4, 0, 0),
      ),
      box(
        "mdia",
        full("mdhd", 0, 0, be(4, clock, clock, part.timescale, ticks), be(2, 0x55c4, 0)),
        full("hdlr", 0, 0, be(4, 0), text(part.handler), new Uint8Array(13)),
        box("minf", stbl),
      ),
    );
  });
  return box(
    "moov",
    full(
      "mvhd",
      0,
      0,
      be(4, clock, clock, 1000, seconds * 1000, 0x10000),
      be(2, 0x100),
      new Uint8Array(10),
      unity,
      new Uint8Array(24),
      be(4, parts.length + 1),
    ),
    ...tracks,
  );
}

/** The chunks of a track: all of one length, but for the last where something is left over. */
function samplesToChunks(samples: number, perChunk: number): Uint8Array {
  const rest = samples % perChunk;
  const whole = Math.floor(samples / perChunk);
  if (rest === 0) return be(4, 1, 1, perChunk, 1);
  return whole === 0 ? be(4, 1, 1, rest, 1) : be(4, 2, 1, perChunk, 1, whole + 1, rest, 1);
}
