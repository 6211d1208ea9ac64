import { type NextFlight, rate, seconds } from "@goodgate/model";
import { expect, test } from "vitest";
import { renderSettings } from "./settings-table.ts";

const flight: NextFlight = {
  lightEv: 13.04,
  fNumber: 2.8,
  rows: [
    {
      captureRate: rate(25),
      uses: ["real time 180°"],
      shutterSeconds: seconds(1, 50),
      angleDegrees: 180,
      iso: 100,
      ndFactor: 16,
      mainsSafeHertz: [50],
      cannot: [],
      possible: true,
      says: "",
    },
    {
      captureRate: rate(200),
      uses: ["slow to 12.5 % 180°"],
      shutterSeconds: seconds(1, 400),
      angleDegrees: 180,
      mainsSafeHertz: [],
      cannot: ["too dark: ISO 5120 is over the ceiling of 800"],
      possible: false,
      says: "",
    },
  ],
  text: [],
  caution: "Refly only if the rules at this place allow.",
};

test("a row a rate, what cannot be had, the caution, and no spaces at the end of a line", () => {
  const lines = renderSettings(flight, { columns: 120, colour: false, assumed: "assumed: f/2.8" }).split("\n");
  expect(lines[0]).toBe("Next flight, light about EV 13 at ISO 100, f/2.8 (assumed: f/2.8)");
  expect(lines.find((line) => line.startsWith("25 "))).toMatch(/^25 +1\/50 s +100 +ND16 +real time 180°$/);
  expect(lines.find((line) => line.startsWith("200"))).toMatch(
    /–.*not here: too dark: ISO 5120 is over the ceiling of 800$/,
  );
  expect(lines.at(-2)).toBe(flight.caution);
  expect(lines.filter((line) => line.endsWith(" "))).toEqual([]);
});
