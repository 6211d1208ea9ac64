import { expect, test } from "vitest";
import { normalNumbers } from "../truth/scenes.ts";
import { waveFinder } from "./waves.ts";

const series = (length: number, of: (k: number) => number): Float64Array =>
  Float64Array.from({ length }, (_, k) => of(k));

test.each([0.2, 1 / 6, 0.04, 0.4167])("a wave of %f turns beside slow change and gaps is read as it is", (turns) => {
  const finder = waveFinder(
    series(60, (k) =>
      k % 7 === 3 ? Number.NaN : 5 + 0.1 * k - 0.002 * k * k + 0.3 * Math.cos(2 * Math.PI * (turns * k + 0.1)),
    ),
  );
  const wave = finder.at(turns);
  expect(finder.known).toBe(51);
  expect(wave.size).toBeCloseTo(0.3, 6);
  expect(Math.atan2(-wave.sine, wave.cosine) / (2 * Math.PI)).toBeCloseTo(0.1, 6);
  expect(wave.share).toBeCloseTo(1, 6);
});

test("half a turn for each value has no sine", () => {
  const wave = waveFinder(series(40, (k) => (k % 2 === 0 ? 1 : -1))).at(0.5);
  expect(wave.sine).toBe(0);
  // The trend takes a little of it.
  expect(wave.cosine).toBeCloseTo(1, 2);
});

test("chance has no wave that makes up much of it", () => {
  const random = normalNumbers(5);
  const finder = waveFinder(series(60, random));
  for (let turns = 0.06; turns < 0.5; turns += 0.02) expect(finder.at(turns).share).toBeLessThan(0.3);
});

test("an even series has no waves at all", () => {
  expect(waveFinder(series(30, () => 3)).at(0.2).size).toBeCloseTo(0, 9);
});
