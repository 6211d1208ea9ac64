import { expect, test } from "vitest";
import {
  panDegreesPerSecond,
  panDegreesPerSecondAtCentre,
  panGuideSeconds,
  panPixelsPerFrame,
  viewDegreesOf35mm,
} from "./motion.ts";
import { rate } from "./quantities.ts";

test("a lens of 24 mm on the 36 mm frame sees 73.7 degrees across", () => {
  // From memory; lens tables print 73.7 or 74.
  expect(viewDegreesOf35mm(24)).toBeCloseTo(73.74, 2);
  expect(viewDegreesOf35mm(18)).toBeCloseTo(90, 12);
});

test("the pan guide holds when no time is given", () => {
  expect(panPixelsPerFrame(1680, rate(24))).toBe(10);
  expect(panDegreesPerSecond(70)).toBe(10);
  expect(panDegreesPerSecondAtCentre(90)).toBeCloseTo((2 * 180) / Math.PI / panGuideSeconds, 12);
});
