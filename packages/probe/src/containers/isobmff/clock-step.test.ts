import { rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { clockStep } from "./clock-step.ts";
import { type IntervalRuns, timingOf } from "./timing.ts";

/** Runs of one interval each. */
const runsOf = (timescale: number, lengths: readonly number[]): IntervalRuns => ({
  timescale,
  visit: (each) => each(Float64Array.from(lengths), new Float64Array(lengths.length).fill(1), lengths.length),
});

/** Intervals of a constant rate whose times were rounded to milliseconds, on a clock of `perMillisecond` ticks each. */
const throughMilliseconds = (framesPerSecond: number, frames: number, perMillisecond: number): IntervalRuns => {
  const at = (frame: number): number => Math.round((frame * 1000) / framesPerSecond) * perMillisecond;
  return runsOf(
    1000 * perMillisecond,
    Array.from({ length: frames - 1 }, (_, place) => at(place + 1) - at(place)),
  );
};

// ffmpeg 5.1.9 copied 30000/1001 from Matroska: into MOV on a clock of 1/16000 s as 528 and 544 ticks (ffprobe says
// 30000/1001), into a transport stream on its 1/90000 s as 2970 and 3060.
test.each([
  [16, 30000 / 1001, rate(30000, 1001)],
  [90, 30000 / 1001, rate(30000, 1001)],
  [16, 24000 / 1001, rate(24000, 1001)],
  [16, 60, rate(60)],
  [90, 120000 / 1001, rate(120000, 1001)],
])("times rounded to milliseconds stay constant on a clock %i times as fine", (fine, perSecond, expected) => {
  const found = timingOf(throughMilliseconds(perSecond, 600, fine));
  expect(found?.timing).toMatchObject({ kind: "rounded", timescale: 1000 });
  expect(found?.frameRate).toEqual(expected);
});

test("holes of whole frames are no coarser clock", () => {
  expect(
    clockStep(
      [
        [1000, 240],
        [2000, 3],
      ],
      1000,
      25_000,
    ),
  ).toBe(1);
  const lengths = Array.from({ length: 240 }, (_, place) => (place % 80 === 40 ? 2000 : 1000));
  expect(timingOf(runsOf(25_000, lengths))?.timing).toMatchObject({ kind: "slips", lostFrames: 3, timescale: 25_000 });
});

test("two rates in one clip stay variable whatever their common divisor", () => {
  const lengths = Array.from({ length: 480 }, (_, place) => (place < 240 ? 3600 : 3750));
  expect(timingOf(runsOf(90_000, lengths))?.timing.kind).toBe("variable");
});

test("a single length, none, and lengths of nothing have no coarser clock", () => {
  expect(clockStep([[1001, 5]], 1001, 30_000)).toBe(1);
  expect(clockStep([], 0, 30_000)).toBe(1);
  expect(
    clockStep(
      [
        [0, 1],
        [528, 5],
      ],
      528,
      16_000,
    ),
  ).toBe(1);
});
