import * as fc from "fast-check";
import { expect, test } from "vitest";
import { clockReader } from "./clock.ts";

const find = (text: string) => clockReader()(text, 0, text.length);
const base = Date.UTC(2031, 3, 5, 8, 7, 8) * 1000;

test.each([
  ["2031-04-05 08:07:08,123,456", 123_456, 1],
  ["2031-04-05 08:07:08.123", 123_000, 1000],
  ["2031-04-05 08:07:08.123.456", 123_456, 1],
  ["2031-04-05T08:07:08.123456", 123_456, 1],
  ["2031.04.05 08:07:08", 0, 1_000_000],
  ["2031.4.5 8:07:08", 0, 1_000_000],
  ["2031/04/05 08:07:08.5", 500_000, 100_000],
] as const)("%s is read to the microsecond", (text, microseconds, stepMicroseconds) => {
  expect(find(text)).toEqual({ text, microseconds: base + microseconds, stepMicroseconds });
  expect(find(`FrameCnt : 17, DiffTime : 33ms\n${text}\n[iso : 100]`)?.text).toBe(text);
});

test.each(["2031-13-05 08:07:08", "2031-04-31 08:07:08", "2031-04-05 24:07:08", "2031-04-05", "31-04-05 08:07:08", ""])(
  "%j is no clock",
  (text) => {
    expect(find(text)).toBeUndefined();
  },
);

test("one reader reads clocks at changing places and over midnight", () => {
  const read = clockReader();
  const texts = ["a\n2031-04-05 23:59:59.900 x", "abc\n2031-04-06 00:00:00.100", "2031-04-06 00:00:00.300"];
  const times = texts.map((text) => read(text, 0, text.length)?.microseconds ?? 0);
  expect(times.slice(1).map((time, place) => time - (times[place] ?? 0))).toEqual([200_000, 200_000]);
});

test("a clock is never found inside a longer number", () => {
  const read = clockReader();
  expect(read("2031-04-05 08:07:08", 0, 19)).toBeDefined();
  expect(read("12031-04-05 08:07:08", 0, 20)).toBeUndefined();
  expect(read("x12031-04-05 08:07:08", 0, 21)).toBeUndefined();
});

test("the first clock counts, and a minus before a number is none", () => {
  expect(find("HOME(-5.1,-6) 2031-04-05 08:07:08")?.text).toBe("2031-04-05 08:07:08");
  const read = clockReader();
  const two = "a 2031-04-05 08:07:08\n2031-04-05 09:00:00";
  read("a\n2031-04-05 08:07:08", 0, 21);
  expect(read(two, 0, two.length)?.text).toBe("2031-04-05 08:07:08");
});

test("any text is searched without an exception", () => {
  const read = clockReader();
  fc.assert(
    fc.property(fc.string({ unit: fc.constantFrom(..."0123456789-:., T\n/") }), (text) => {
      read(text, 0, text.length);
    }),
  );
});
