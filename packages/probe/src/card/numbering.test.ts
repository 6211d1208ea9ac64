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

// CIPA DC-009: file numbers run from 0001 to 9999; the count then begins anew, in the next folder.
test("a count that began anew has no hole between its low and its high numbers", () => {
  const card = (numbers: readonly string[]) =>
    numbers.map((number) => `DCIM/${number > "5000" ? "100" : "101"}MEDIA/CLIP${number}.MP4`);
  expect(numberingRemarks(card(["9997", "9998", "9999", "0001", "0002"]))).toEqual([]);
  const [missing, ...more] = numberingRemarks(card(["9997", "9998", "0002", "0003"]));
  expect(more).toEqual([]);
  expect(missing).toMatchObject({
    kind: "number-gap",
    says: expect.stringContaining("numbers 9999, 1 are missing between DCIM/100MEDIA/CLIP9998.MP4 and DCIM/101MEDIA"),
  });
});

test("low and high numbers without any near the end are a jump", () => {
  const remarks = numberingRemarks(["CLIP0001.MP4", "CLIP0002.MP4", "CLIP9000.MP4"]);
  expect(remarks.map(({ kind }) => kind)).toEqual(["number-jump"]);
  // A single run to the last number began where it begins.
  expect(numberingRemarks(["CLIP9998.MP4", "CLIP9999.MP4"])).toEqual([]);
});
