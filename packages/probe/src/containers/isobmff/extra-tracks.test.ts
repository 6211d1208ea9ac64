import { expect, test } from "vitest";
import { readIsoMedia } from "./isobmff.ts";
import { be, fileOf, makeMovie, plainEntry, text, type TrackPlan } from "./make-movie.ts";

const { signal } = new AbortController();
const picture: TrackPlan = { durations: [[50, 1000]], sizes: Array.from({ length: 50 }, () => 20) };
const words = (more: Partial<TrackPlan> = {}): TrackPlan => {
  const contents = ["one", "two!", "three"].map(text);
  return {
    handler: "sbtl",
    entry: plainEntry("tx3g", be(4, 7)),
    timescale: 1000,
    durations: [
      [2, 500],
      [1, 1000],
    ],
    sizes: contents.map(({ length }) => length),
    contents,
    perChunk: 2,
    ...more,
  };
};

async function sourceOf(track: TrackPlan, shown: TrackPlan = picture) {
  const bytes = makeMovie({ tracks: [shown, track] });
  const file = fileOf(bytes);
  const source = (await readIsoMedia(file, signal))?.extraTracks[0];
  if (source === undefined) throw new Error("no extra track");
  return { source, file };
}

test("samples come with their bytes and times in microseconds", async () => {
  const { source } = await sourceOf(words());
  expect(source).toMatchObject({ id: 2, entry: "tx3g", handler: "sbtl", sampleCount: 3, totalBytes: 12 });
  expect(source.entryBytes).toEqual(be(2, 0, 0, 0, 1, 0, 7));
  const samples = await source.read();
  expect(samples.map(({ bytes, ...times }) => [new TextDecoder().decode(bytes), times])).toEqual([
    ["one", { startMicroseconds: 0, durationMicroseconds: 500_000 }],
    ["two!", { startMicroseconds: 500_000, durationMicroseconds: 500_000 }],
    ["three", { startMicroseconds: 1_000_000, durationMicroseconds: 1_000_000 }],
  ]);
});

test("chosen samples come in the order asked for", async () => {
  const { source } = await sourceOf(words());
  const samples = await source.read([2, 0, 77]);
  expect(samples.map(({ bytes }) => new TextDecoder().decode(bytes))).toEqual(["three", "one"]);
});

test("times count from the first shown picture, both edit lists honoured", async () => {
  const late: TrackPlan = {
    ...picture,
    edits: [
      [200, -1, 65_536],
      [2000, 0, 65_536],
    ],
  };
  const shifted = words({
    edits: [
      [100, -1, 65_536],
      [2000, 250, 65_536],
    ],
  });
  const { source } = await sourceOf(shifted, late);
  const samples = await source.read();
  expect(samples[0]?.startMicroseconds).toBe(100_000 - 250_000 - 200_000);
});

test("neighbouring samples share a read, distant ones do not pull in what lies between", async () => {
  const sizes = Array.from({ length: 100 }, () => 100);
  const near = await sourceOf(
    words({ sizes, contents: [new Uint8Array(10_000)], durations: [[100, 10]], perChunk: 10 }),
  );
  const before = { ...near.file.cost };
  await near.source.read();
  expect(near.file.cost.calls - before.calls).toBe(1);
  const beforeTwo = { ...near.file.cost };
  expect(await near.source.read([0, 99])).toHaveLength(2);
  expect(near.file.cost.calls - beforeTwo.calls).toBe(2);
  expect(near.file.cost.bytes - beforeTwo.bytes).toBe(200);
});

test("samples past the end of the file come short, never as another's bytes", async () => {
  const bytes = makeMovie({ tracks: [picture, words()], order: "index first" });
  const cut = fileOf(bytes.slice(0, bytes.length - 6));
  const source = (await readIsoMedia(cut, signal))?.extraTracks[0];
  const samples = await source?.read();
  expect(samples?.map(({ bytes: part }) => part.length)).toEqual([3, 3, 0]);
});

test("a cancelled run stops between reads", async () => {
  const run = new AbortController();
  const file = fileOf(makeMovie({ tracks: [picture, words()] }));
  const source = (await readIsoMedia(file, run.signal))?.extraTracks[0];
  run.abort();
  await expect(source?.read()).rejects.toThrow("aborted");
});
