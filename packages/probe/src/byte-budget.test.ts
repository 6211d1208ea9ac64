import { valueOf } from "@goodgate/model";
import { describe, expect, test } from "vitest";
import { makeFragments } from "./containers/isobmff/make-fragments.ts";
import { be, box, fileOf, joined, makeMovie, pictureEntry, plainEntry } from "./containers/isobmff/make-movie.ts";
import { readIsoMedia } from "./containers/isobmff/isobmff.ts";
import { readTextTrack } from "./telemetry/text-track.ts";

/** The bar of a clip: bytes read ≤ 1.1 × (index + telemetry) + 64 KiB. */
const most = (indexBytes: number, telemetryBytes = 0): number => 1.1 * (indexBytes + telemetryBytes) + 64 * 1024;
const { signal } = new AbortController();

/** Bytes of the boxes that are the index, found by this test itself and not by the reader it judges. */
function indexBytesOf(file: Uint8Array): number {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  let sum = 0;
  for (let at = 0; at + 8 <= file.length;) {
    const size = view.getUint32(at);
    const kind = String.fromCharCode(...file.subarray(at + 4, at + 8));
    if (kind === "moov" || kind === "moof") sum += size;
    at += size;
  }
  return sum;
}

const sizes = (count: number, bytes = 40): number[] => Array.from({ length: count }, (_, at) => bytes + (at % 7));
const picture = (frames: number, bytes = 40) => ({
  durations: [[frames, 1000]] as const,
  sizes: sizes(frames, bytes),
  perChunk: 25,
});
const free = (bytes: number): Uint8Array => box("free", new Uint8Array(bytes));

const layouts: Readonly<Record<string, Uint8Array>> = {
  "a short clip, index behind": makeMovie({ tracks: [picture(250, 2000)] }),
  "a long clip, index behind": makeMovie({ tracks: [picture(60_000)] }),
  "a long clip, index in front": makeMovie({ tracks: [picture(60_000)], order: "index first" }),
  "300 kB of free space behind an index behind": makeMovie({
    tracks: [picture(100, 30_000)],
    after: free(300_000),
  }),
  "an index in front and 900 kB of something behind the pictures": makeMovie({
    tracks: [picture(250, 2000)],
    order: "index first",
    after: free(900_000),
  }),
  "200 kB of a maker's own data before the pictures": makeMovie({
    tracks: [picture(250, 2000)],
    before: free(200_000),
  }),
  "a thousand small boxes at the top": makeMovie({
    tracks: [picture(250, 2000)],
    before: joined(...Array.from({ length: 1000 }, () => free(5000))),
  }),
  "small boxes and pictures in turn": makeMovie({
    tracks: Array.from({ length: 60 }, () => picture(20, 4000)),
    split: true,
    before: joined(
      ...Array.from({ length: 200 }, (_, at) => (at % 2 === 0 ? free(12) : box("mdat", new Uint8Array(9000)))),
    ),
  }),
  "fragments of one length": makeFragments({
    timescale: 25_000,
    durations: Array.from({ length: 400 }, () => sizes(25, 1000)),
    sampleBytes: 300,
  }),
  "fragments that differ in length": makeFragments({
    timescale: 25_000,
    durations: Array.from({ length: 1000 }, (_, at) => sizes(at % 2 === 0 ? 50 : 20, 1000)),
    sampleBytes: 300,
  }),
};

describe("what is read stays within the bar", () => {
  test.each(Object.keys(layouts))("%s", async (name) => {
    const bytes = layouts[name] as Uint8Array;
    const file = fileOf(bytes);
    const reading = await readIsoMedia(file, signal);
    expect(reading?.facts.structure).toMatchObject({ value: "whole" });
    const needed = indexBytesOf(bytes);
    expect(needed).toBeGreaterThan(0);
    expect(file.cost.bytes).toBeLessThanOrEqual(most(needed));
    // A file small enough to be read whole would prove nothing.
    expect(bytes.length).toBeGreaterThan(1.5 * most(needed) - needed);
    expect(reading?.neededBytes).toBeGreaterThanOrEqual(needed);
    expect(reading?.neededBytes).toBeLessThanOrEqual(needed * 1.02 + 20_000);
  });
});

const cue = (at: number): Uint8Array => {
  const text = new TextEncoder().encode(`[iso: ${100 + (at % 3)}] [shutter: 1/500.0] [fnum: 1.7] [ct: 5310]`);
  return joined(be(2, text.length), text);
};

test.each([
  ["small pictures between the cues", 600],
  ["large pictures between the cues", 9000],
])("2,000 cues in a text track, %s", async (_, pictureBytes) => {
  const count = 2000;
  const cues = Array.from({ length: count }, (_cue, at) => cue(at));
  // Cue and picture in turn: the tracks share the media data, each sample a chunk of its own.
  const both = cues.map((text) => joined(text, new Uint8Array(pictureBytes)));
  const lengths = cues.map((text) => text.length);
  const inTurn = interleaved(both, lengths, pictureBytes);
  const file = fileOf(inTurn);
  const reading = await readIsoMedia(file, signal);
  const [track] = reading?.extraTracks ?? [];
  expect(track?.sampleCount).toBe(count);
  if (track === undefined) return;
  const said = await readTextTrack(track, { microseconds: count * 40_000 }, "clip.mp4");
  expect("notTelemetry" in said).toBe(false);
  if ("notTelemetry" in said) return;
  expect(valueOf(said.iso)?.values).toEqual([100, 101, 102]);
  expect(valueOf(said.telemetry)).toMatchObject({ records: count, coverage: 1 });
  const telemetry = lengths.reduce((sum, length) => sum + length, 0);
  expect(file.cost.bytes).toBeLessThanOrEqual(most(indexBytesOf(inTurn), telemetry));
});

/** A movie whose picture and text tracks lie sample by sample in turn. */
function interleaved(parts: readonly Uint8Array[], lengths: readonly number[], pictureBytes: number): Uint8Array {
  const plan = (offset: number) => {
    const starts = { text: [] as number[], picture: [] as number[] };
    let at = offset;
    lengths.forEach((length) => {
      starts.text.push(at);
      starts.picture.push(at + length);
      at += length + pictureBytes;
    });
    return starts;
  };
  const count = parts.length;
  const media = joined(...parts);
  const front = box("ftyp", new TextEncoder().encode("isom"), be(4, 512));
  const movie = makeMovie({
    tracks: [
      {
        entry: pictureEntry("avc1", 320, 180),
        durations: [[count, 1000]],
        sizes: lengths.map(() => pictureBytes),
        perChunk: 1,
      },
      { handler: "text", entry: plainEntry("tx3g"), durations: [[count, 1000]], sizes: [...lengths], perChunk: 1 },
    ],
  });
  // The made movie lies track after track: only its index is taken, and its places are set anew.
  const index = movie.slice(movie.length - indexBytesOf(movie));
  const view = new DataView(index.buffer);
  const starts = plan(front.length + 8);
  const tables = [starts.picture, starts.text];
  for (let at = 0; at + 8 < index.length && tables.length > 0; at += 1) {
    if (String.fromCharCode(...index.subarray(at, at + 4)) !== "stco") continue;
    tables.shift()?.forEach((start, place) => view.setUint32(at + 12 + 4 * place, start));
  }
  expect(tables).toEqual([]);
  return joined(front, box("mdat", media), index);
}
