import { expect, test } from "vitest";
import { parseTimecode } from "./timecode-text.ts";

test("a drop-frame label is told by its separator and counted so", () => {
  expect(parseTimecode("01:02:03:04", 25)).toEqual({
    start: "01:02:03:04",
    dropFrame: false,
    labelsPerSecond: 25,
    startFrame: 93_079,
  });
  // SMPTE ST 12-1 by public teaching: 00:01:00;02 follows 00:00:59;29.
  expect(parseTimecode("00:01:00.02", 30)).toMatchObject({ start: "00:01:00;02", dropFrame: true, startFrame: 1800 });
});

test("labels that cannot be are refused", () => {
  for (const [label, rate] of [
    ["00:01:00;00", 30],
    ["00:00:00:25", 25],
    ["1:2:3:4", 25],
    ["00:00:00:00", 0],
    ["00:00:00:00", 29.97],
  ] as const) {
    expect(parseTimecode(label, rate)).toBeUndefined();
  }
});
