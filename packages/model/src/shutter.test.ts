import * as fc from "fast-check";
import { expect, test } from "vitest";
import { degrees, rate, seconds } from "./quantities.ts";
import { compare, equal, invert, ratio, toNumber } from "./ratio.ts";
import {
  markedShutterSeconds,
  nearestMarkedShutter,
  shutterAngle,
  shutterTime,
  stopsFromAngle,
  viewedAngle,
} from "./shutter.ts";

const anyRate = fc
  .tuple(fc.integer({ min: 1, max: 240 }), fc.integer({ min: 1, max: 1001 }))
  .map(([n, d]) => rate(n, d));

test("angle and time lead back to each other", () => {
  fc.assert(
    fc.property(anyRate, fc.integer({ min: 1, max: 3600 }), (capture, tenths) => {
      const angle = degrees(tenths, 10);
      expect(equal(shutterAngle(capture, shutterTime(capture, angle)), angle)).toBe(true);
    }),
    { numRuns: 1000 },
  );
  // In floating point this is 180.00000000000003.
  expect(shutterAngle(rate(24000, 1001), seconds(1001, 48000))).toEqual(degrees(180));
});

test("the viewer sees a smaller angle where frames are skipped, and the angle of capture where they are not", () => {
  expect(viewedAngle(rate(120), seconds(1, 240), ratio(5))).toEqual(degrees(36));
  expect(viewedAngle(rate(120), seconds(1, 240), ratio(1))).toEqual(degrees(180));
  expect(viewedAngle(rate(25), seconds(1, 50), ratio(1, 2))).toEqual(degrees(180));
  expect(viewedAngle(rate(60), seconds(1, 120), ratio(5, 2))).toEqual(degrees(72));
});

test("stops from an angle are negative when it is shorter", () => {
  expect(stopsFromAngle(degrees(90), degrees(180))).toBe(-1);
  expect(stopsFromAngle(degrees(360), degrees(180))).toBe(1);
});

test("marked times get shorter, and the nearest one never outlasts the frame", () => {
  markedShutterSeconds.slice(1).forEach((time, place) => {
    expect(compare(time, markedShutterSeconds[place] ?? time)).toBe(-1);
  });
  fc.assert(
    fc.property(anyRate, fc.integer({ min: 1, max: 20_000 }), (capture, inverse) => {
      const wanted = seconds(1, inverse);
      const found = nearestMarkedShutter(wanted, capture);
      const fitting = markedShutterSeconds.filter((time) => compare(time, invert(capture)) <= 0);
      const off = (time: typeof wanted): number => Math.abs(Math.log2(toNumber(time) * inverse));
      expect(fitting.every((time) => off(found) <= off(time) + 1e-12)).toBe(true);
      expect(fitting.some((time) => equal(time, found))).toBe(true);
    }),
    { numRuns: 500 },
  );
  expect(nearestMarkedShutter(seconds(1, 48), rate(24))).toEqual(seconds(1, 48));
  expect(nearestMarkedShutter(seconds(1, 100), rate(240))).toEqual(seconds(1, 240));
  // No marked time fits into a frame this short.
  expect(nearestMarkedShutter(seconds(1, 20_000), rate(10_000))).toEqual(seconds(1, 20_000));
});
