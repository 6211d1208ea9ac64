import { expect, test } from "vitest";
import { numberedName, numberingRemarks } from "./numbering.ts";

const kinds = (...paths: readonly string[]) => numberingRemarks(paths).map((one) => one.kind);

test("the running number is the last short group of digits; date stamps count nothing", () => {
  expect(numberedName("DCIM/100A/ABCD0012.MP4")).toMatchObject({ number: 12, digits: 4 });
  expect(numberedName("X_20310405080708_0007_D.MP4")).toMatchObject({ number: 7 });
  expect(numberedName("clip.MP4")).toBeUndefined();
  expect(numberedName("20310405080708.MP4")).toBeUndefined();
});

test("a missing number is named with its neighbours", () => {
  const [gap] = numberingRemarks(["D/ABCD0002.MP4", "D/ABCD0005.MP4"]);
  expect(gap).toMatchObject({ kind: "number-gap", paths: ["D/ABCD0002.MP4", "D/ABCD0005.MP4"] });
  expect(gap?.says).toContain("numbers 3, 4 are missing");
});

test("names with stamps count on, and other cameras count for themselves", () => {
  expect(kinds("X_20310405080708_0007.MP4", "X_20310405081208_0009.MP4")).toEqual(["number-gap"]);
  expect(kinds("AAAA0001.MP4", "BBBB0007.MP4")).toEqual([]);
  expect(kinds("AB010007.MP4", "AB020007.MP4", "AB010008.MP4")).toEqual([]);
});

test("a counter that jumps is told apart from a hole", () => {
  expect(kinds("ABCD0001.MP4", "ABCD0900.MP4")).toEqual(["number-jump"]);
});

test("one name in two folders is a warning for copies, and so are names that differ by case alone", () => {
  expect(kinds("100A/ABCD0001.MP4", "101A/ABCD0001.MP4")).toEqual(["name-collision"]);
  expect(kinds("100A/clip.MP4", "100A/Clip.MP4")).toEqual(["case-collision"]);
  expect(kinds("100A/clip.MP4", "100A/clip.MOV")).toEqual([]);
});
