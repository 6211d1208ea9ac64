import { expect, test } from "vitest";
import { hannWindow, powerOfTwoWithin } from "./fourier.ts";

test("windows fade to nothing at both ends and powers of two are found", () => {
  const window = hannWindow(64);
  expect(window[0]).toBeLessThan(0.001);
  expect(window[63]).toBeCloseTo(window[0] ?? 0, 12);
  expect(window[31]).toBeGreaterThan(0.99);
  expect([0.5, 1, 2, 511, 512, 513].map(powerOfTwoWithin)).toEqual([0, 1, 2, 256, 512, 512]);
});
