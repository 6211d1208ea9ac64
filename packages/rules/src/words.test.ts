import { rate, ratio, realTimeCadence } from "@goodgate/model";
import { expect, test } from "vitest";
import {
  cadenceText,
  counted,
  fitted,
  listText,
  nameText,
  ordinal,
  short,
  shortened,
  sizeText,
  stopsText,
} from "./words.ts";

test.each([
  [25, 25, "one frame for one frame"],
  [50, 25, "every 2nd frame, even"],
  [25, 50, "each frame shown 2 times, even"],
  [60, 25, "2 and 3 frames in turn, 10 odd steps a second, pattern returns after 0.2 s"],
  [24, 60, "frames shown 2 and 3 times in turn, 12 odd holds a second, pattern returns after 0.08 s"],
])("%s on %s: %s %s", (capture, timeline, text) => {
  expect(cadenceText(realTimeCadence(rate(capture), rate(timeline)))).toBe(text);
});

const near = (a: [number, number], b: [number, number]) => cadenceText(realTimeCadence(rate(...a), rate(...b)));

test("near misses are told as they play after the retime", () => {
  expect(near([24, 1], [24000, 1001])).toBe("one frame for one frame after the retime");
  expect(near([60000, 1001], [30, 1])).toBe("every 2nd frame, even after the retime");
  expect(near([30, 1], [60000, 1001])).toBe("each frame shown 2 times, even after the retime");
});

test("ordinals", () => {
  expect([1, 2, 3, 4, 11, 12, 13, 21, 22, 103, 112].map(ordinal).join(" ")).toBe(
    "1st 2nd 3rd 4th 11th 12th 13th 21st 22nd 103rd 112th",
  );
});

test("numbers are short, with the unit in number", () => {
  expect([stopsText(1), stopsText(-1.04), stopsText(2.25), short(1.0)]).toEqual(["1 stop", "1 stop", "2.3 stops", "1"]);
  expect([counted(1, "clip"), counted(3, "clip")]).toEqual(["1 clip", "3 clips"]);
  expect([12, 1500, 2_500_000, 1.2e9].map(sizeText)).toEqual(["12 bytes", "1.5 kB", "2.5 MB", "1.2 GB"]);
});

test("long names are cut in the middle, long lists say how much more there is", () => {
  expect(nameText("a/b/C0001.MP4")).toBe("C0001.MP4");
  expect(nameText(`${"x".repeat(60)}.MP4`)).toHaveLength(32);
  expect(listText(["a", "b", "c", "d"])).toBe("a, b, c and 1 more");
  expect(shortened("abcdef", 4)).toBe("ab…f");
  expect(ratio(1n)).toEqual(rate(1));
});

test("a text too long for a sentence loses whole clauses, else whole words, and shows no hole", () => {
  expect(fitted("one two three", 20)).toBe("one two three");
  expect(fitted("the first clause: and then some more", 20)).toBe("the first clause");
  expect(fitted("no clause in here at all", 12)).toBe("no clause in");
  expect(fitted("unbroken", 4)).toBe("unbr");
});
