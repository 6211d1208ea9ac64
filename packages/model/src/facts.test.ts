import { expect, test } from "vitest";
import { type FactName, factUnits, type FactValues, seriesFacts } from "./facts.ts";
import type { Series } from "./series.ts";

/** The facts whose values are series, by their types; a fact missing from the list fails to compile. */
type SeriesName = { [Name in FactName]: FactValues[Name] extends Series<infer _> ? Name : never }[FactName];
const byType: Readonly<Record<SeriesName, true>> = {
  shutterSeconds: true,
  iso: true,
  fNumber: true,
  exposureBias: true,
  whiteBalanceKelvin: true,
  ndStops: true,
  gainDecibels: true,
  shutterAngle: true,
  focalLength35mm: true,
  digitalZoom: true,
  colourMode: true,
  heightMetres: true,
  yawDegrees: true,
};

test("the list of series holds every fact that is one, and no other", () => {
  expect([...seriesFacts].sort()).toEqual(Object.keys(byType).sort());
});

test("units are short words for print", () => {
  for (const unit of Object.values(factUnits)) expect(unit).toMatch(/^[A-Za-z/-]{1,9}$/);
});
