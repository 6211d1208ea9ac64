import { ratio, seconds } from "@goodgate/model";
import { expect, test } from "vitest";
import { bytesAt } from "./boxes.ts";
import { editEntries, editsAreSane, presentationOf, readEditList } from "./edit-list.ts";
import { be, joined } from "./make-movie.ts";

const real = 0x10000;
const span = (timescale: number, movieTimescale: number, firstTick: number, endTick: number) => ({
  timescale,
  movieTimescale,
  firstTick,
  endTick,
});

test("TI-015: an edit that starts at the first composition offset shows everything from zero", () => {
  // ffmpeg 5.1.9 wrote elst [[10000, 1024, 1.0]] for 250 frames of 512 at 12800, movie clock 1000.
  const edits = [{ duration: 10_000, mediaTime: 1024, speed: real }];
  const shown = presentationOf(edits, span(12_800, 1000, 1024, 1024 + 128_000));
  expect(shown.startSeconds).toEqual(seconds(0));
  expect(shown.durationSeconds).toEqual(seconds(10));
});

test("TI-019: an empty edit delays, and a later media time trims", () => {
  const edits = [
    { duration: 300, mediaTime: -1, speed: real },
    { duration: 6000, mediaTime: 1001, speed: real },
  ];
  const shown = presentationOf(edits, span(30_000, 600, 0, 1_000_000));
  expect(shown.startSeconds).toEqual(seconds(1, 2));
  expect(shown.durationSeconds).toEqual(seconds(10));
});

test("without edits the first offset is the start", () => {
  const shown = presentationOf([], span(12_800, 1000, 1024, 1024 + 25_600));
  expect(shown.startSeconds).toEqual(seconds(2, 25));
  expect(shown.durationSeconds).toEqual(seconds(2));
});

test("a length rounded to the movie clock shows the media's exact length", () => {
  const edits = [{ duration: 9977, mediaTime: 0, speed: real }];
  expect(presentationOf(edits, span(30_000, 1000, 0, 299 * 1001)).durationSeconds).toEqual(seconds(299 * 1001, 30_000));
});

test("an edit longer than its media shows only the media; a shorter one only itself", () => {
  const long = [{ duration: 99_000, mediaTime: 0, speed: real }];
  expect(presentationOf(long, span(25, 1000, 0, 50)).durationSeconds).toEqual(seconds(2));
  const short = [{ duration: 1000, mediaTime: 25, speed: real }];
  expect(presentationOf(short, span(25, 1000, 0, 100)).durationSeconds).toEqual(seconds(1));
});

test("a stretch at quarter speed lasts four times its media (QuickTime allows fractions)", () => {
  const edits = [
    { duration: 250, mediaTime: 0, speed: real },
    { duration: 2000, mediaTime: 30, speed: 0x4000 },
    { duration: 250, mediaTime: 90, speed: real },
  ];
  expect(presentationOf(edits, span(120, 1000, 0, 120)).durationSeconds).toEqual(seconds(5, 2));
  expect(editEntries(edits, 120, 1000)[1]).toEqual({
    durationSeconds: seconds(2),
    mediaSeconds: seconds(1, 4),
    speed: ratio(1, 4),
  });
});

test("TI-016 to TI-018: −1 is an empty edit, 0 holds a picture, 0x00010000 is real time; both versions", () => {
  const short = joined(be(4, 0, 2, 300, -1, real, 600, 10, 0));
  expect(readEditList(bytesAt(short, 0), 0, short.length)).toEqual([
    { duration: 300, mediaTime: -1, speed: real },
    { duration: 600, mediaTime: 10, speed: 0 },
  ]);
  const long = joined(be(4, 0x01000000, 1), be(8, 2 ** 33, -1), be(4, real));
  expect(readEditList(bytesAt(long, 0), 0, long.length)).toEqual([{ duration: 2 ** 33, mediaTime: -1, speed: real }]);
});

test("a count past the box is refused, and numbers past any clock are not calculated with", () => {
  const box = joined(be(4, 0, 0xffffffff, 1, 2, 3));
  expect(readEditList(bytesAt(box, 0), 0, box.length)).toBeUndefined();
  expect(editsAreSane([{ duration: 2 ** 63, mediaTime: 0, speed: real }])).toBe(false);
  expect(editsAreSane([{ duration: 1, mediaTime: -5, speed: real }])).toBe(false);
  expect(editsAreSane([{ duration: 1, mediaTime: 0, speed: -1 }])).toBe(false);
});
