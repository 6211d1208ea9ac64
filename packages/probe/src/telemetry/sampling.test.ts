import { expect, test } from "vitest";
import type { ExtraTrackSource } from "../contracts.ts";
import { chooseSamples, wholeTrackBytes } from "./sampling.ts";

const track = (sampleCount: number, totalBytes: number): ExtraTrackSource => ({
  id: 1,
  entry: "tx3g",
  handler: "text",
  entryBytes: new Uint8Array(0),
  sampleCount,
  totalBytes,
  isChapterList: false,
  read: () => Promise.resolve([]),
});
const minutes = (count: number) => ({ microseconds: count * 60e6 });

test("a track up to 4 MiB is read whole", () => {
  expect(chooseSamples(track(15_000, wholeTrackBytes), minutes(10), false)).toEqual({});
});

test("of a larger one the first, the last and one sample a second are read", () => {
  const { which = [], sampled } = chooseSamples(track(30_000, 8_000_000), minutes(20), false);
  expect(which.slice(0, 3)).toEqual([0, 25, 50]);
  expect(which[which.length - 1]).toBe(29_999);
  expect(which.length).toBe(1201);
  expect(sampled).toEqual({ says: "one a second", stepMicroseconds: 40_000, everyMicroseconds: 1e6 });
});

test("large samples a second are read further apart, so that 4 MiB are not passed", () => {
  const { which = [], sampled } = chooseSamples(track(1800, 1800 * 10_000), minutes(30), false);
  expect(sampled?.says).toBe("one every 5 s");
  expect(which.length * 10_000).toBeLessThanOrEqual(wholeTrackBytes + 10_000);
});

test("hostile counts give a bounded, rising list", () => {
  for (const [count, bytes] of [
    [4_000_000_000, 8_000_000_000],
    [2, 1e15],
    [0, 0],
    [1, 1e12],
    [2_000_000, 1],
  ] as const) {
    for (const clip of [{}, minutes(1), { microseconds: 1 }]) {
      for (const mixed of [false, true]) {
        const { which = [] } = chooseSamples(track(count, bytes), clip, mixed);
        expect(which.length).toBeLessThanOrEqual(1_000_001);
        const rising = which.every((place, at) => at === 0 || place > (which[at - 1] as number));
        expect(rising && which.every((place) => place >= 0 && place < count)).toBe(true);
      }
    }
  }
});
