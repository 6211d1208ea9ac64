import { expect, test } from "vitest";
import {
  degrees,
  framesDuration,
  nearestStandardRate,
  parseRate,
  percentLabel,
  rate,
  rateLabel,
  seconds,
  shutterLabel,
  speed,
  standardRates,
  timelineRates,
} from "./quantities.ts";
import { compare, equal, multiply, ratio, ratioText } from "./ratio.ts";

test.each([
  ["23.976", "24000/1001"],
  ["23.98", "24000/1001"],
  ["29.97", "30000/1001"],
  ["59.94", "60000/1001"],
  ["119.88", "120000/1001"],
  ["239.76", "240000/1001"],
  ["24", "24/1"],
  ["25.000", "25/1"],
  ["30000/1001", "30000/1001"],
  ["12.5", "25/2"],
  ["24.02", "1201/50"],
])("the rate %s means %s", (text, meant) => {
  const value = parseRate(text);
  expect(value && ratioText(value)).toBe(meant);
});

test.each(["0", "-25", "", "fast", "25/0"])("%j is no rate", (text) => {
  expect(parseRate(text)).toBeUndefined();
});

test("every standard rate is its own nearest, and 300 ppm is the end of its reach", () => {
  for (const standard of standardRates) {
    expect(nearestStandardRate(standard)).toEqual(standard);
    expect(nearestStandardRate(multiply(standard, ratio(1_000_299, 1_000_000)))).toEqual(standard);
    expect(nearestStandardRate(multiply(standard, ratio(1_000_301, 1_000_000)))).toBeUndefined();
    expect(nearestStandardRate(multiply(standard, ratio(999_701, 1_000_000)))).toEqual(standard);
    expect(nearestStandardRate(multiply(standard, ratio(999_699, 1_000_000)))).toBeUndefined();
  }
  expect(nearestStandardRate(rate(1000))).toBeUndefined();
  expect(nearestStandardRate(ratio(251, 10), 5000)).toEqual(rate(25));
});

test("the lists of rates rise, and every timeline rate is a standard rate", () => {
  for (const list of [standardRates, timelineRates]) {
    list.slice(1).forEach((value, place) => expect(compare(value, list[place] ?? value)).toBe(1));
  }
  expect(timelineRates.every((value) => standardRates.some((standard) => equal(standard, value)))).toBe(true);
});

test.each([
  [rate(24000, 1001), "23.976"],
  [rate(30000, 1001), "29.97"],
  [rate(48000, 1001), "47.952"],
  [rate(60000, 1001), "59.94"],
  [rate(120000, 1001), "119.88"],
  [rate(240000, 1001), "239.76"],
  [rate(25), "25"],
  [rate(25, 2), "12.5"],
  [rate(2300, 77), "29.87"],
])("a rate is named as the trade names it", (value, name) => {
  expect(rateLabel(value)).toBe(name);
});

test.each([
  [seconds(1, 50), "1/50"],
  [seconds(2, 97), "1/48.5"],
  [seconds(1001, 60000), "1/59.9"],
  [seconds(1, 8000), "1/8000"],
  [seconds(10, 1249), "1/125"],
  [seconds(1, 2), "0.5"],
  [seconds(2), "2"],
  [seconds(2, 5), "0.4"],
  [seconds(1, 3), "1/3"],
  [seconds(0), "0"],
  [seconds(-1), "-1"],
])("a shutter time is printed as on a camera menu", (time, text) => {
  expect(shutterLabel(time)).toBe(text);
});

test("percentages have four significant digits", () => {
  expect(percentLabel(speed(5, 12))).toBe("41.67");
  expect(percentLabel(speed(1, 2))).toBe("50");
  expect(percentLabel(speed(1000, 1001))).toBe("99.9");
  expect(percentLabel(speed(25, 24))).toBe("104.2");
});

test("frames last their number over the rate", () => {
  expect(framesDuration(240, rate(24000, 1001))).toEqual(seconds(1001, 100));
  expect(degrees(360, 2)).toEqual(degrees(180));
});
