import { rate, seconds } from "@goodgate/model";
import { expect, test } from "vitest";
import { oneOver, steps, stepsEvery } from "./example-facts.ts";
import { exposureOverTime, spread, stepTimes, typicalExposure } from "./exposure.ts";

test("exposure is log2(t·ISO/N²), at every change of any setting", () => {
  const points = exposureOverTime({ shutterSeconds: oneOver(64, 128), iso: steps(128, 128, 256), fNumber: steps(2) });
  // log2(128/64/4) = −1; the shutter halves at 10 s, ISO doubles at 20 s.
  expect(points.map((point) => [point.seconds, point.stops])).toEqual([
    [0, -1],
    [10, -2],
    [20, -1],
  ]);
});

test("values that are no exposure are left out", () => {
  expect(exposureOverTime({ shutterSeconds: oneOver(64), iso: steps(0, 64) }).at(-1)?.stops).toBe(0);
  expect(typicalExposure(oneOver(50), steps(0), steps(2.8))).toBeUndefined();
});

test("a step counts when it happens within the window, a slow climb does not", () => {
  const fast = exposureOverTime({ shutterSeconds: oneOver(50), iso: stepsEvery(0.1, 100, 112, 126, 141, 158) });
  expect(stepTimes(fast, 0.33, 0.5).length).toBeGreaterThan(0);
  const slow = exposureOverTime({ shutterSeconds: oneOver(50), iso: stepsEvery(2, 100, 112, 126, 141, 158) });
  expect(stepTimes(slow, 0.33, 0.5)).toEqual([]);
});

test("times of steps are bounded at 64", () => {
  const wild = Array.from({ length: 400 }, (_, place) => (place % 2 === 0 ? 100 : 400));
  const points = exposureOverTime({ shutterSeconds: oneOver(50), iso: stepsEvery(1, ...wild) });
  expect(stepTimes(points, 0.33, 0.5)).toHaveLength(64);
});

test("spread finds the ends, and nothing in nothing", () => {
  const points = exposureOverTime({ shutterSeconds: oneOver(50), iso: steps(200, 100, 400) });
  const ends = spread(points);
  expect([ends?.least.seconds, ends?.most.seconds]).toEqual([10, 20]);
  expect(spread([])).toBeUndefined();
  expect(seconds(1)).toEqual(rate(1));
});
