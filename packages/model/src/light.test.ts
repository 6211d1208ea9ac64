import * as fc from "fast-check";
import { expect, test } from "vitest";
import {
  gainDecibels,
  miredApart,
  ndDensityOfStops,
  ndFactorOfStops,
  ndLabel,
  ndStopsMarked,
  ndStopsNeeded,
  ndStopsOfDensity,
  ndStopsOfFactor,
  ndTransmittance,
  nearestNd,
  rateCostStops,
  sceneEv,
  stopsDarker,
} from "./light.ts";
import { seconds } from "./quantities.ts";

const exposure = fc.record({
  shutterSeconds: fc.integer({ min: 1, max: 8000 }).map((inverse) => seconds(1, inverse)),
  iso: fc.integer({ min: 50, max: 25_600 }),
  fNumber: fc.double({ min: 1, max: 22, noNaN: true }),
  ndStops: fc.integer({ min: 0, max: 10 }),
});

test("two settings that expose for one light are as bright as each other", () => {
  fc.assert(
    fc.property(exposure, exposure, (a, b) => {
      // Settings that stand for a brighter scene give a darker picture of the same one.
      expect(stopsDarker(a, b)).toBeCloseTo(sceneEv(b) - sceneEv(a), 9);
      expect(stopsDarker(b, a)).toBeCloseTo(-stopsDarker(a, b), 9);
      expect(ndStopsNeeded(sceneEv(a), { ...b })).toBeCloseTo(sceneEv(a) - sceneEv(b), 9);
    }),
    { numRuns: 500 },
  );
});

test("a shorter time, a lower ISO, a higher f-number and a filter each darken the picture", () => {
  const usual = { shutterSeconds: seconds(1, 50), iso: 200, fNumber: 2 };
  expect(stopsDarker(usual, { ...usual, shutterSeconds: seconds(1, 100) })).toBeCloseTo(1, 12);
  expect(stopsDarker(usual, { ...usual, iso: 100 })).toBeCloseTo(1, 12);
  expect(stopsDarker(usual, { ...usual, fNumber: 4 })).toBeCloseTo(2, 12);
  expect(stopsDarker(usual, { ...usual, ndStops: 3 })).toBeCloseTo(3, 12);
  expect(sceneEv({ ...usual, ndStops: 3 }) - sceneEv(usual)).toBeCloseTo(3, 12);
});

test("the nearest filter may be none", () => {
  expect(nearestNd(0.4, [4, 8])).toEqual({ factor: 1, stops: 0 });
  expect(nearestNd(2.6, [4, 8, 16])).toEqual({ factor: 8, stops: 3 });
  expect(nearestNd(6.4, [64, 16, 8])).toEqual({ factor: 64, stops: 6 });
  expect(nearestNd(20, [])).toEqual({ factor: 1, stops: 0 });
  expect(nearestNd(-2, [8])).toEqual({ factor: 1, stops: 0 });
  // Halfway between two the stronger one, in whatever order they are listed; none at all stays none.
  expect(nearestNd(2.5, [4, 8])).toEqual({ factor: 8, stops: 3 });
  expect(nearestNd(2.5, [8, 4])).toEqual({ factor: 8, stops: 3 });
  expect(nearestNd(1, [4])).toEqual({ factor: 1, stops: 0 });
});

test("filters by factor, stops and density", () => {
  expect(ndStopsOfFactor(8)).toBe(3);
  expect(ndFactorOfStops(6.4)).toBe(64);
  expect(ndStopsOfDensity(ndDensityOfStops(5))).toBeCloseTo(5, 12);
  expect(ndStopsMarked(0.9)).toBe(3);
  expect(ndTransmittance(4)).toBe(0.25);
  expect([1, 0.5, 8].map(ndLabel)).toEqual(["no ND", "no ND", "ND8"]);
});

test("rates, gain and colour temperature", () => {
  expect(rateCostStops(30, 120)).toBe(2);
  expect(gainDecibels(100, 200)).toBeCloseTo(6.0206, 4);
  expect(miredApart(5600, 3200)).toBeCloseTo(133.93, 2);
  expect(miredApart(3200, 5600)).toBe(miredApart(5600, 3200));
});
