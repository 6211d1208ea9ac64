import * as fc from "fast-check";
import { ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { exactFraction } from "./exact-time.ts";

test("the fraction of a tag comes back from its quotient", () => {
  fc.assert(
    fc.property(fc.integer({ min: 1, max: 30_000 }), fc.integer({ min: 1, max: 30_000 }), (top, bottom) => {
      const found = exactFraction(top / bottom);
      expect(found === undefined ? "none" : Number(found.numerator) * bottom).toBe(Number(found?.denominator) * top);
    }),
    { numRuns: 500 },
  );
});

const text = (value: number): string => {
  const found = exactFraction(value);
  return found === undefined ? "none" : ratioText(found);
};

test("shutter times as cameras write them", () => {
  expect([1 / 60, 0.02, 1 / 8000, 2.5, 30, 1001 / 48000].map(text)).toEqual([
    "1/60",
    "1/50",
    "1/8000",
    "5/2",
    "30/1",
    "1001/48000",
  ]);
});

test("what is no positive fraction gives nothing", () => {
  for (const value of [0, -1, Number.NaN, Number.POSITIVE_INFINITY, Math.PI, Number.MIN_VALUE]) {
    expect(exactFraction(value)).toBeUndefined();
  }
});
