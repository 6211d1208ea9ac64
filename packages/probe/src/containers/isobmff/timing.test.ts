import { rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { type IntervalRuns, rateOf, timingOf } from "./timing.ts";

/** Intervals out of runs of length and count. */
const runsOf = (timescale: number, ...runs: readonly (readonly [number, number])[]): IntervalRuns => ({
  timescale,
  visit: (each) => runs.forEach(([count, ticks]) => each(Float64Array.of(ticks), Float64Array.of(count), 1)),
});

/** Intervals between pictures whose times are rounded to a coarse clock. */
const rounded = (timescale: number, framesPerSecond: number, frames: number): IntervalRuns => {
  const at = (frame: number): number => Math.round((frame * timescale) / framesPerSecond);
  return runsOf(
    timescale,
    ...Array.from({ length: frames - 1 }, (_, place) => [1, at(place + 1) - at(place)] as const),
  );
};

// Rows TI-001 to TI-005: ffmpeg 5.1.9 wrote the files, the boxes were parsed with python; the last duration left out.
test.each([
  ["TI-001", 24_000, 239, 1001, rate(24000, 1001)],
  ["TI-002", 90_000, 299, 3003, rate(30000, 1001)],
  ["TI-003", 90_000, 249, 3600, rate(25)],
  ["TI-004", 60_000, 599, 1001, rate(60000, 1001)],
  ["TI-005", 600, 239, 25, rate(24)],
])("%s: one run of equal intervals is constant", (_, timescale, count, ticks, expected) => {
  const found = timingOf(runsOf(timescale, [count, ticks]));
  expect(found?.timing.kind).toBe("constant");
  expect(found?.timing.offShare).toBe(0);
  expect(found?.frameRate).toEqual(expected);
});

// Rows TI-006 to TI-009 and TI-011 to TI-014 (same writer): intervals that differ by one tick are a coarse clock.
test.each([
  ["TI-006", 90_000, 24000 / 1001, 240, [3753, 3754], rate(24000, 1001)],
  ["TI-007", 90_000, 60000 / 1001, 600, [1501, 1502], rate(60000, 1001)],
  ["TI-008", 600, 30000 / 1001, 300, [20, 21], rate(30000, 1001)],
  ["TI-009", 1000, 30000 / 1001, 300, [33, 34], rate(30000, 1001)],
  ["59.94 at 600 ticks", 600, 60000 / 1001, 240, [10, 11], rate(60000, 1001)],
  ["60 at 1000 ticks", 1000, 60, 240, [16, 17], rate(60)],
])("%s: rounding is not a variable rate", (_, timescale, perSecond, frames, ticks, expected) => {
  const found = timingOf(rounded(timescale, perSecond, frames));
  expect(found?.timing.kind).toBe("rounded");
  expect(found?.timing.histogram.map((one) => one.ticks).sort((a, b) => a - b)).toEqual(ticks);
  expect(found?.frameRate).toEqual(expected);
});

test("TI-010: one frame missing leaves the nominal rate and names the place", () => {
  const found = timingOf(runsOf(30_000, [149, 1001], [1, 2002], [148, 1001]));
  expect(found?.frameRate).toEqual(rate(30000, 1001));
  expect(found?.timing).toMatchObject({
    kind: "slips",
    lostFrames: 1,
    mostTicks: 2002,
    slips: [{ frame: 149, seconds: (149 * 1001) / 30_000, ticks: 2002, lost: 1 }],
  });
});

test("a coarse clock and holes together still read as constant with frames missing", () => {
  const at = [0, 1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 13, 14, 15, 16, 18, 19, 20, 21, 22, 23, 24, 25, 26, 27, 28, 29, 30];
  const ticks = at.map((frame) => Math.round((frame * 1001) / 60));
  const found = timingOf(
    runsOf(1000, ...ticks.slice(1).map((tick, place) => [1, tick - (ticks[place] ?? 0)] as const)),
  );
  expect(found?.timing).toMatchObject({ kind: "slips", lostFrames: 3 });
  expect(found?.frameRate).toEqual(rate(60000, 1001));
});

test("an interval that is no multiple of the others makes a clip variable, at its most frequent rate", () => {
  // 30 frames/s, a hole of 0.1667 s, then 24 frames/s: ffprobe 5.1.9 guesses 120/1 here.
  const found = timingOf(runsOf(120, [30, 4], [1, 20], [28, 5]));
  expect(found?.timing.kind).toBe("variable");
  expect(found?.frameRate).toEqual(rate(30));
  expect(found?.timing.offShare).toBeCloseTo(1 / 59);
});

test("intervals off by more than five per cent and a tick are counted", () => {
  const found = timingOf(runsOf(90_000, [90, 3600], [10, 4000]));
  expect(found?.timing).toMatchObject({ kind: "variable", offShare: 0.1, leastTicks: 3600, mostTicks: 4000 });
});

test("two rates one tick apart are two rates, not the rounding of one", () => {
  expect(timingOf(runsOf(120, [60, 4], [60, 5]))?.timing.kind).toBe("variable");
  expect(timingOf(runsOf(1000, [300, 33], [300, 34]))?.timing.kind).toBe("variable");
  expect(timingOf(runsOf(120, [60, 4], [60, 5]))?.frameRate).toEqual(rate(30));
});

test("pictures that skip every other frame are variable, not full of slips", () => {
  expect(timingOf(runsOf(25, [50, 1], [40, 2]))?.timing.kind).toBe("variable");
});

test("one odd interval on a coarse clock does not turn 59.94 into 60", () => {
  const at = Array.from(
    { length: 240 },
    (_, frame) => Math.round((frame * 600 * 1001) / 60_000) + (frame > 100 ? 5 : 0),
  );
  const found = timingOf(runsOf(600, ...at.slice(1).map((tick, place) => [1, tick - (at[place] ?? 0)] as const)));
  expect(found?.timing.kind).toBe("variable");
  expect(found?.frameRate).toEqual(rate(60000, 1001));
});

test("pictures shown at one and the same time have no rate", () => {
  const found = timingOf(runsOf(25, [50, 0]));
  expect(found?.timing.kind).toBe("variable");
  expect(found?.frameRate).toBeUndefined();
});

test("no interval at all has no timing", () => {
  expect(timingOf(runsOf(25))).toBeUndefined();
});

test("more kinds of interval than are kept count as off, and the clip is variable", () => {
  const found = timingOf({
    timescale: 1_000_000,
    visit: (each) => {
      for (let place = 0; place < 70_000; place += 1) each(Float64Array.of(10_000 + place), Float64Array.of(1), 1);
    },
  });
  expect(found?.timing.kind).toBe("variable");
  expect(found?.timing.histogram).toHaveLength(32);
  expect(found?.timing.offShare).toBeGreaterThan(0.9);
});

test("slips past the listed ones are still counted", () => {
  const runs = Array.from({ length: 400 }, () => [
    [20, 40],
    [1, 80],
  ]).flat() as [number, number][];
  const { slips, lostFrames } = timingOf(runsOf(1000, ...runs))?.timing ?? { slips: [], lostFrames: 0 };
  expect(slips).toHaveLength(256);
  expect(lostFrames).toBe(400);
});

test("a rate off every standard stays as counted", () => {
  expect(rateOf(15_000, 10, 10_000)).toEqual(rate(20, 3));
  expect(rateOf(330, 10, 1000)).toEqual(rate(1000, 33));
});

test("23.98 is 166 parts per million from 24000/1001 and is taken for it; 24 is not", () => {
  expect(rateOf(2400, 24, 2398)).toEqual(rate(24000, 1001));
  expect(rateOf(100_000, 2400, 1000)).toEqual(rate(24));
});

test("two intervals of a slow clock do not become a standard rate by the width of a tick", () => {
  expect(rateOf(2, 2, 10)).toEqual(rate(10));
  expect(rateOf(1, 2, 10)).toEqual(rate(20));
});
