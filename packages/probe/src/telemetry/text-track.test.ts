import { rate, ratioText } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { slashLineText, spacedBrackets, tightBrackets } from "./made-cues.ts";
import { madeBox, madeTextSample, madeTrack } from "./made-track.ts";
import { webVttText } from "./sample-text.ts";
import { wholeTrackBytes } from "./sampling.ts";
import { readTextTrack } from "./text-track.ts";

const clip = { microseconds: 2_000_000, frameRate: rate(25) };
const text = { handler: "text" } as const;
const repeated = (count: number, make: (place: number) => Uint8Array): Uint8Array[] =>
  Array.from({ length: count }, (_, place) => make(place));

const vttCue = (place: number): Uint8Array =>
  madeBox("vttc", madeBox("iden", Buffer.from("1")), madeBox("payl", Buffer.from(tightBrackets(place))));

const readText = async (entry: string, samples: readonly Uint8Array[]) =>
  await readTextTrack(madeTrack(entry, samples, text), clip, "a");

test("timed text is read by its length, style boxes behind it and gap fillers left off", async () => {
  const samples = [...repeated(50, (place) => madeTextSample(tightBrackets(place))), Uint8Array.of(0, 0)];
  const read = await readTextTrack(madeTrack("tx3g", samples, text), clip, "a.mp4");
  expect(read).toMatchObject({
    telemetry: {
      value: { dialect: "bracketed-pairs", records: 50, unreadRecords: 0, coverage: 1, cadence: "per frame" },
    },
    iso: { value: { values: [100] }, origin: { kind: "per-frame record", place: "track 3 (tx3g) samples 0 to 50" } },
    captureRate: { value: rate(25), origin: { kind: "inferred" } },
  });
});

test("QuickTime text of a slash line a second is read", async () => {
  const samples = repeated(2, (place) => madeTextSample(slashLineText(place === 0 ? "206.14" : "320"), ""));
  const read = await readTextTrack(
    madeTrack("text", samples, { ...text, sampleMicroseconds: 1_000_000 }),
    clip,
    "a.mov",
  );
  if (!("shutterSeconds" in read) || read.shutterSeconds?.state !== "read") throw new Error("no shutter");
  expect(read.shutterSeconds.value.values.map(ratioText)).toEqual(["50/10307", "1/320"]);
  expect(read.telemetry).toMatchObject({ value: { cadence: "per second" } });
});

test("WebVTT samples are read from their payload boxes", async () => {
  const samples = repeated(50, (place) => (place === 7 ? madeBox("vtte") : vttCue(place)));
  const read = await readTextTrack(madeTrack("wvtt", samples, text), clip, "a.mp4");
  expect(read).toMatchObject({ telemetry: { value: { records: 49, unreadRecords: 0, coverage: 1 } } });
  expect(webVttText(Uint8Array.of(0, 0, 0, 99, 1, 2, 3, 4))).toBeUndefined();
});

test("a chapter list is never read, whatever it says", async () => {
  const track = madeTrack(
    "text",
    repeated(5, () => madeTextSample(slashLineText())),
    { ...text, isChapterList: true },
  );
  expect(await readTextTrack(track, clip, "a.mov")).toEqual({ notTelemetry: "chapter list", holds: "chapters" });
  expect(track.given.bytes).toBe(0);
});

test("speech, captions and tracks without text are named", async () => {
  const speech = repeated(3, () => madeTextSample("Now set the ISO to 400 and the shutter at 1/60."));
  expect(await readText("tx3g", speech)).toEqual({ notTelemetry: "speech", holds: "speech" });
  expect(await readText("c608", [])).toMatchObject({ holds: "captions" });
  expect(await readText("mp4s", [])).toMatchObject({ holds: "pictures" });
  expect(await readText("tx3g", [Uint8Array.of(0, 0)])).toEqual({ notTelemetry: "no text in it", holds: "nothing" });
  expect(await readText("tx3g", [])).toMatchObject({ holds: "nothing" });
});

test("a sample shorter than its length is one unread record", async () => {
  const samples = repeated(50, (place) => madeTextSample(tightBrackets(place)));
  samples[49] = (samples[49] as Uint8Array).subarray(0, 100);
  const read = await readTextTrack(madeTrack("tx3g", samples, text), clip, "a.mp4");
  expect(read).toMatchObject({ telemetry: { value: { records: 50, unreadRecords: 1 } } });
});

test("a long speech track is given up after a look at a few samples", async () => {
  const track = madeTrack(
    "tx3g",
    repeated(5000, (place) => madeTextSample(`Sentence ${place} of a long talk.`)),
    text,
  );
  expect(await readTextTrack(track, clip, "a.mp4")).toMatchObject({ holds: "speech" });
  expect(track.given.bytes).toBeLessThan(2000);
});

test("of a track over 4 MiB one sample a second is read, and the facts say so", async () => {
  const seconds = 1200;
  const samples = repeated(seconds * 25, (place) =>
    madeTextSample(spacedBrackets(place, { iso: place < 15_000 ? "100" : "200" })),
  );
  const track = madeTrack("tx3g", samples, text);
  expect(track.totalBytes).toBeGreaterThan(wholeTrackBytes);
  const read = await readTextTrack(track, { microseconds: seconds * 1e6, frameRate: rate(25) }, "a.mp4");
  expect(read).toMatchObject({
    telemetry: { value: { sampled: "one a second", cadence: "per frame", spacingSeconds: 1, gaps: [] } },
    captureRate: { value: rate(25) },
  });
  if (!("iso" in read) || read.iso?.state !== "read") throw new Error("no ISO");
  expect(read.iso.value.values).toEqual([100, 200]);
  expect(read.iso.value.coverage).toBeCloseTo(1, 3);
  expect(read.iso.value.heldMicroseconds[0]).toBeCloseTo(600e6, -6);
  expect(track.given.bytes).toBeLessThan(400_000);
});

test("any bytes as samples give a reading, never an exception", async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.constantFrom("tx3g", "text", "wvtt"),
      fc.array(fc.uint8Array({ maxLength: 60 })),
      async (entry, samples) => {
        await readTextTrack(madeTrack(entry, samples, text), clip, "a.mp4");
      },
    ),
  );
});
