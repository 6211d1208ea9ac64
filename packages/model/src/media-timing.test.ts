import * as fc from "fast-check";
import { expect, test } from "vitest";
import {
  averageRate,
  decodeTimes,
  editSummary,
  framesMissing,
  framesToWholeSamples,
  isConstantWithinOneTick,
  tableSeconds,
  tableSums,
  ticksPerFrame,
} from "./media-timing.ts";
import { rate, seconds, standardRates } from "./quantities.ts";
import { multiply, one, ratio, round, zero } from "./ratio.ts";

test("a table without time has no rate", () => {
  expect(averageRate([], 1000)).toBeUndefined();
  expect(averageRate([{ count: 5, delta: 0 }], 1000)).toBeUndefined();
  expect(averageRate([{ count: 0, delta: 5 }], 1000)).toBeUndefined();
  expect(averageRate([{ count: 250, delta: 40 }], 1000)).toEqual(rate(25));
  expect(tableSeconds([{ count: 250, delta: 40 }], 1000)).toEqual(seconds(10));
});

test("sums of tables past what a double can hold stay exact", () => {
  const most = 2 ** 32 - 1;
  expect(tableSums([{ count: most, delta: most }]).ticks).toBe(BigInt(most) ** 2n);
});

test("decode times stop at the number asked for, whatever the table claims", () => {
  expect(decodeTimes([{ count: 4_000_000_000, delta: 1 }], 3)).toEqual([0n, 1n, 2n]);
  expect(decodeTimes([], 3)).toEqual([]);
});

test("any standard rate rounded to any clock is constant within one tick", () => {
  fc.assert(
    fc.property(fc.constantFrom(...standardRates), fc.integer({ min: 600, max: 90_000 }), (at, timescale) => {
      const perFrame = ticksPerFrame(timescale, at);
      const times = Array.from({ length: 200 }, (_, frame) => Number(round(multiply(perFrame, ratio(frame)))));
      const runs = times.slice(1).map((time, place) => ({ count: 1, delta: time - (times[place] ?? 0) }));
      expect(isConstantWithinOneTick(runs)).toBe(true);
    }),
    { numRuns: 200 },
  );
});

test("two ticks off is not constant, but the last interval may be", () => {
  expect(
    isConstantWithinOneTick([
      { count: 9, delta: 100 },
      { count: 1, delta: 102 },
      { count: 9, delta: 100 },
    ]),
  ).toBe(false);
  expect(
    isConstantWithinOneTick([
      { count: 9, delta: 100 },
      { count: 1, delta: 98 },
      { count: 9, delta: 100 },
    ]),
  ).toBe(false);
  expect(
    isConstantWithinOneTick([
      { count: 9, delta: 100 },
      { count: 1, delta: 250 },
    ]),
  ).toBe(true);
  expect(
    isConstantWithinOneTick(
      [
        { count: 9, delta: 100 },
        { count: 1, delta: 250 },
      ],
      false,
    ),
  ).toBe(false);
  expect(
    isConstantWithinOneTick([
      { count: 9, delta: 100 },
      { count: 2, delta: 250 },
    ]),
  ).toBe(false);
  expect(
    isConstantWithinOneTick([
      { count: 1, delta: 100 },
      { count: 0, delta: 9 },
    ]),
  ).toBe(true);
  expect(isConstantWithinOneTick([])).toBe(false);
  expect(isConstantWithinOneTick([{ count: 0, delta: 9 }])).toBe(false);
});

test("a whole tick off the mean is too much", () => {
  const runs = [99, 101].map((delta) => ({ count: 5, delta }));
  expect(isConstantWithinOneTick(runs, false)).toBe(false);
  expect(isConstantWithinOneTick([...runs, { count: 1, delta: 100 }], false)).toBe(false);
  expect(
    isConstantWithinOneTick(
      [99, 100].map((delta) => ({ count: 5, delta })),
      false,
    ),
  ).toBe(true);
});

test("missing frames are whole ones", () => {
  expect([1001, 1002, 2002, 3003, 0].map((ticks) => framesMissing(ticks, 1001))).toEqual([0, 0, 1, 2, 0]);
});

test("an edit list without pictures shows nothing, and a second cut does not trim the head", () => {
  expect(editSummary([])).toEqual({ startSeconds: zero, trimmedSeconds: zero, trackSeconds: zero });
  expect(editSummary([{ durationSeconds: seconds(2), speed: one }])).toEqual({
    startSeconds: seconds(2),
    trimmedSeconds: zero,
    trackSeconds: seconds(2),
  });
  expect(
    editSummary([
      { durationSeconds: seconds(1), speed: one },
      { durationSeconds: seconds(3), mediaSeconds: seconds(4), speed: one },
      { durationSeconds: seconds(5), speed: one },
      { durationSeconds: seconds(7), mediaSeconds: seconds(9), speed: one },
    ]),
  ).toEqual({ startSeconds: seconds(1), trimmedSeconds: seconds(4), trackSeconds: seconds(16) });
});

test("sound and picture meet after whole frames", () => {
  expect(framesToWholeSamples(44_100, rate(24000, 1001))).toBe(80);
  expect(framesToWholeSamples(48_000, rate(25))).toBe(1);
});
