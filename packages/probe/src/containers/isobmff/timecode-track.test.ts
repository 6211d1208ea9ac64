import { expect, test } from "vitest";
import { bytesAt } from "./boxes.ts";
import { be, plainEntry } from "./make-movie.ts";
import { firstTimecode, readTimecodeEntry } from "./timecode-track.ts";

const entryOf = (flags: number, labels: number) => {
  const array = plainEntry("tmcd", be(4, 0, flags, 30_000, 1001), be(1, labels, 0));
  return readTimecodeEntry(bytesAt(array, 0), { type: 0x746d6364, start: 0, body: 8, end: array.length });
};
const labelOf = (flags: number, labels: number, frame: number) => {
  const entry = entryOf(flags, labels);
  return entry === undefined ? undefined : firstTimecode(entry, be(4, frame));
};

test("outside check: frame 111582 of a drop-frame track is at 01:02:03;04, as ffprobe and mediainfo print it", () => {
  // 30·3723 + 4 labels less 2 in each of 62 minutes but 6: 111694 − 112 = 111582.
  expect(labelOf(1, 30, 111_582)).toEqual({
    start: "01:02:03;04",
    dropFrame: true,
    labelsPerSecond: 30,
    startFrame: 111_582,
  });
});

test("a plain track counts every label", () => {
  expect(labelOf(0, 25, 36_000 * 25)).toMatchObject({ start: "10:00:00:00", dropFrame: false });
});

test("TI-040: the label after 00:09:59;59 at 60 drop-frame labels is 00:10:00;00", () => {
  expect(labelOf(1, 60, 35_963)).toMatchObject({ start: "00:09:59;59" });
  expect(labelOf(1, 60, 35_964)).toMatchObject({ start: "00:10:00;00" });
});

test("counters, negative starts, zero labels, impossible drop-frame and a missing sample give no label", () => {
  expect(labelOf(8, 25, 5)).toHaveProperty("absent");
  expect(labelOf(4, 25, -5)).toHaveProperty("absent");
  expect(labelOf(0, 0, 5)).toHaveProperty("damaged");
  expect(labelOf(1, 25, 5)).toHaveProperty("damaged");
  const entry = entryOf(0, 25);
  expect(entry !== undefined && firstTimecode(entry, new Uint8Array(3))).toHaveProperty("damaged");
});
