import * as fc from "fast-check";
import { expect, test } from "vitest";
import { rate, seconds } from "./quantities.ts";
import {
  labelsPerDay,
  labelsPerSecondOf,
  labelsSkippedPerMinute,
  timecodeFrame,
  timecodeLabel,
  timecodeSeconds,
} from "./timecode.ts";

const two = (value: number): string => String(value).padStart(2, "0");

/** Counts labels as a clock would: one after the other, leaving out those that drop-frame skips. */
function* clock(labelsPerSecond: number, skipped: number): Generator<string> {
  for (let minute = 0; minute < 1440; minute += 1) {
    for (let second = 0; second < 60; second += 1) {
      const first = second === 0 && minute % 10 !== 0 ? skipped : 0;
      for (let frame = first; frame < labelsPerSecond; frame += 1) {
        yield `${two(Math.floor(minute / 60))}:${two(minute % 60)}:${two(second)};${two(frame)}`;
      }
    }
  }
}

test("all 2,589,408 labels of a day at 29.97 drop-frame are those a clock counts, and lead back", () => {
  let frame = 0;
  let wrong = 0;
  for (const label of clock(30, 2)) {
    // Every label is counted; one in eleven is compared, which meets every minute and every place in it.
    if (frame % 11 === 0 && (timecodeLabel(frame, 30, true) !== label || timecodeFrame(label, 30) !== frame))
      wrong += 1;
    frame += 1;
  }
  expect(wrong).toBe(0);
  expect(frame).toBe(labelsPerDay(30, true));
  expect(frame).toBe(2_589_408);
  expect(timecodeLabel(frame, 30, true)).toBe("00:00:00;00");
});

test("the labels of a day at 59.94 drop-frame are those a clock counts, and lead back", () => {
  let frame = 0;
  let wrong = 0;
  for (const label of clock(60, 4)) {
    if (frame % 23 === 0 && (timecodeLabel(frame, 60, true) !== label || timecodeFrame(label, 60) !== frame))
      wrong += 1;
    frame += 1;
  }
  expect(wrong).toBe(0);
  expect(frame).toBe(labelsPerDay(60, true));
});

test("labels lead back to their frame at every count, dropped or not", () => {
  fc.assert(
    fc.property(
      fc.constantFrom(24, 25, 30, 48, 50, 60, 100, 120),
      fc.boolean(),
      fc.integer({ min: 0, max: 120 * 86400 }),
      (labelsPerSecond, dropFrame, any) => {
        const frame = any % labelsPerDay(labelsPerSecond, dropFrame);
        const label = timecodeLabel(frame, labelsPerSecond, dropFrame);
        expect(timecodeFrame(label, labelsPerSecond)).toBe(frame);
        expect(label.includes(";")).toBe(dropFrame && labelsPerSecond % 30 === 0);
      },
    ),
    { numRuns: 5000 },
  );
});

test("drop-frame skips two, four or eight labels a minute at 30, 60 and 120, and exists nowhere else", () => {
  expect([24, 25, 30, 48, 50, 60, 90, 100, 120, 240].map(labelsSkippedPerMinute)).toEqual([
    0, 0, 2, 0, 0, 4, 0, 0, 8, 0,
  ]);
  expect(timecodeLabel(1440, 24, true)).toBe("00:01:00:00");
  expect(timecodeLabel(7200, 120, true)).toBe("00:01:00;008");
  expect(timecodeLabel(7200, 120, false)).toBe("00:01:00:000");
  expect(labelsPerDay(25, true)).toBe(86400 * 25);
});

test.each([
  "",
  "00:00:00",
  "0:00:00:00",
  "00:00:00:0",
  "24:00:00:00",
  "00:60:00:00",
  "00:00:60:00",
  "00:00:00:30",
  "00:01:00;00",
  "00:01:00;01",
  "00:05:00;01",
  "23:59:00.01",
  "00:00:00,00",
  " 00:00:00:00",
  "00:00:00:00\n",
])("%j is no label at 30 a second", (text) => {
  expect(timecodeFrame(text, 30)).toBeUndefined();
});

test("a point before the frames means drop-frame, as a semicolon does", () => {
  expect(timecodeFrame("00:01:00.02", 30)).toBe(1800);
  expect(timecodeFrame("00:10:00;00", 30)).toBe(17_982);
  expect(timecodeFrame("00:00:00:29", 30)).toBe(29);
  expect(timecodeFrame("00:00:01;00", 25)).toBeUndefined();
});

test("a label stands for its frames over the rate", () => {
  expect(timecodeSeconds("01:00:00:00", rate(24000, 1001))).toEqual(seconds(18018, 5));
  expect(timecodeSeconds("01:00:00:00", rate(25))).toEqual(seconds(3600));
  expect(timecodeSeconds("nonsense", rate(25))).toBeUndefined();
  expect([rate(24000, 1001), rate(25), rate(60000, 1001)].map(labelsPerSecondOf)).toEqual([24, 25, 60]);
});
