import { rate, ratio, seconds } from "@goodgate/model";
import { expect, test } from "vitest";
import { bytesAt } from "./boxes.ts";
import { eachFragmentSample, readFragmentedTrack } from "./fragments.ts";
import { readIsoMedia } from "./isobmff.ts";
import { makeFragments } from "./make-fragments.ts";
import { be, box, fileOf, full } from "./make-movie.ts";

const { signal } = new AbortController();
const even = (fragments: number, each: number, ticks: number): number[][] =>
  Array.from({ length: fragments }, () => Array.from({ length: each }, () => ticks));
const plan = { timescale: 25_000, durations: even(4, 25, 1000), sampleBytes: 40 };

test("frames, rate and length come from the fragments, as the whole file would say", async () => {
  const bytes = makeFragments(plan);
  const reading = await readIsoMedia(fileOf(bytes), signal);
  expect(reading?.facts).toMatchObject({
    structure: { state: "read" },
    frames: { value: 100 },
    frameRate: { value: rate(25) },
    timing: { value: { kind: "constant" } },
    durationSeconds: { value: seconds(4) },
    startSeconds: { value: seconds(0) },
    syncSamples: { value: { count: 4, firstFrame: 0, longestGapSeconds: 1 } },
    bitRate: { value: { averageBitsPerSecond: 8000, peakBitsPerSecond: 8000 } },
    dataExtent: { value: { endByte: bytes.length } },
    headerSeconds: { state: "absent" },
  });
});

test("durations stated once for the track give the same", async () => {
  const stated = makeFragments({ ...plan, defaultDuration: 1000 });
  const reading = await readIsoMedia(fileOf(stated), signal);
  expect(reading?.facts).toMatchObject({ frames: { value: 100 }, frameRate: { value: rate(25) } });
});

test("reordered pictures are evenly spaced and start at their offset", async () => {
  const offsets = [1000, ...Array.from({ length: 8 }, () => [3000, 0, 0]).flat()];
  const reading = await readIsoMedia(fileOf(makeFragments({ ...plan, offsets })), signal);
  expect(reading?.facts).toMatchObject({
    startSeconds: { value: ratio(1, 25) },
    timing: { value: { kind: "constant" } },
  });
});

test("a segment index gives the length the headers leave open", async () => {
  const reading = await readIsoMedia(fileOf(makeFragments({ ...plan, index: true })), signal);
  expect(reading?.facts).toMatchObject({ headerSeconds: { value: seconds(4) }, structure: { state: "read" } });
});

test("a hole between fragments is frames lost, at its time", async () => {
  const durations = even(4, 25, 1000);
  durations[1] = [...Array.from({ length: 24 }, () => 1000), 3000];
  const reading = await readIsoMedia(fileOf(makeFragments({ ...plan, durations })), signal);
  expect(reading?.facts.timing).toMatchObject({
    value: { kind: "slips", lostFrames: 2, slips: [{ frame: 49, seconds: 1.96, lost: 2 }] },
  });
});

test("a recording cut inside its last fragment is damaged, and the part inside is told", async () => {
  const bytes = makeFragments({ ...plan, index: true });
  for (const missing of [1, 400, 999]) {
    const reading = await readIsoMedia(fileOf(bytes.slice(0, bytes.length - missing)), signal);
    expect(reading?.facts.structure).toMatchObject({ state: "damaged" });
    expect(reading?.facts.frameRate).toMatchObject({ value: rate(25) });
    const usable = reading?.facts.usableSeconds;
    expect(usable).toMatchObject({ value: ratio(100 - Math.ceil(missing / 40), 25) });
  }
});

test("a recording cut at the end of a fragment misses what its index lists", async () => {
  const bytes = makeFragments({ ...plan, index: true });
  const fragment = bytes.length - makeFragments({ ...plan, durations: even(3, 25, 1000), index: true }).length - 12;
  const reading = await readIsoMedia(fileOf(bytes.slice(0, bytes.length - fragment)), signal);
  expect(reading?.facts.structure).toMatchObject({ state: "damaged", origin: { place: "sidx" } });
  expect(reading?.facts.frames).toMatchObject({ value: 75 });
});

test("a movie header that announces fragments and has none is a recording never closed", async () => {
  const whole = makeFragments({ ...plan, durations: [] });
  const reading = await readIsoMedia(fileOf(whole), signal);
  expect(reading?.facts.structure).toMatchObject({ state: "damaged" });
  expect(reading?.facts.frames?.state).not.toBe("read");
  expect(reading?.facts.frameRate?.state).not.toBe("read");
});

test("fragments are read with one small read each", async () => {
  const file = fileOf(makeFragments({ ...plan, durations: even(200, 25, 1000), sampleBytes: 4000 }));
  const reading = await readIsoMedia(file, signal);
  expect(reading?.facts.frames).toMatchObject({ value: 5000 });
  expect(file.cost.calls).toBeLessThan(210);
  expect(file.cost.bytes).toBeLessThanOrEqual(1.1 * (reading?.neededBytes ?? 0) + 65_536);
});

const moof = (...runs: readonly Uint8Array[]): Uint8Array =>
  box("moof", box("traf", full("tfhd", 0, 0x20000, be(4, 1)), ...runs));

test("a sample count of four thousand million is a fault, with entries and without", () => {
  for (const run of [full("trun", 0, 0x100, be(4, 0xffffffff)), full("trun", 0, 0, be(4, 0xffffffff))]) {
    const bytes = bytesAt(moof(run), 700);
    let visited = 0;
    const fault = eachFragmentSample([bytes], 1, undefined, () => void (visited += 1));
    expect(fault?.place).toBe("moof/traf/trun");
    expect(visited).toBe(0);
  }
});

test("fields that are announced and not there are faults", () => {
  for (const broken of [
    box("moof", box("traf", full("tfhd", 0, 0x2003b, be(4, 1)))),
    moof(full("tfdt", 1, 0, be(4, 1))),
    moof(full("tfdt", 1, 0, be(8, -1))),
    moof(full("trun", 0, 0)),
  ]) {
    expect(eachFragmentSample([bytesAt(broken, 0)], 1, undefined, () => undefined)).toBeDefined();
  }
});

test("other tracks' samples move the data along and are not counted", () => {
  const other = box(
    "moof",
    box("traf", full("tfhd", 0, 0x20010, be(4, 2, 10)), full("trun", 0, 1, be(4, 5, 100))),
    box("traf", full("tfhd", 0, 0x10, be(4, 1, 7)), full("trun", 0, 0, be(4, 2))),
  );
  const track = readFragmentedTrack([bytesAt(other, 1000)], 1, { duration: 5, size: 0, flags: 0 }, 25, 1e9);
  expect(track.count).toBe(2);
  expect(track.extent).toMatchObject({ firstByte: 1150, endByte: 1164 });
});
