import { expect, test } from "vitest";
import { normalNumbers } from "../truth/scenes.ts";
import { flickerOf } from "./flicker.ts";
import { rowBands } from "./small-picture.ts";

/** Brightness of 16 bands under a lamp, with noise and a cloud that passes. */
function bandsUnder(hertz: number, amplitude: number, fps: number, seconds: number, turns = 0, noise = 0.001) {
  const normal = normalNumbers(3);
  const frames = Math.round(fps * seconds);
  const series = new Float64Array(frames * rowBands);
  for (let n = 0; n < frames; n += 1) {
    for (let band = 0; band < rowBands; band += 1) {
      const pulse = amplitude * Math.sin(2 * Math.PI * ((hertz * n) / fps + (turns * band) / rowBands) + 0.4);
      const cloud = 0.06 * Math.sin((2 * Math.PI * n) / frames / 1.7);
      series[n * rowBands + band] = (60 + 5 * band) * (1 + pulse + cloud + noise * normal());
    }
  }
  return flickerOf(series, fps);
}

test.each([
  [10, 0.03, 30, 50],
  [4, 0.02, 24, 50],
  [1.4, 0.03, 25, undefined],
  [7.37, 0.006, 30, undefined],
  [20.1, 0.05, 50 / 1.001, 60],
] as const)("%f Hz of %f at %f frames a second is found to a twentieth of a hertz", (hertz, amplitude, fps, mains) => {
  const found = bandsUnder(hertz, amplitude, fps, 4);
  if (found.state !== "read") throw new Error(found.why);
  expect(found.found).toBe(true);
  expect(Math.abs((found.hertz ?? 0) - hertz)).toBeLessThan(0.05);
  expect(found.amplitudePercent).toBeGreaterThan(85 * amplitude);
  expect(found.amplitudePercent).toBeLessThan(115 * amplitude);
  expect(found.bandsPerPicture).toBe(0);
  expect(found.mainsHertz).toBe(mains);
});

test("rolling bands are found and counted although the whole picture keeps its brightness", () => {
  const found = bandsUnder(10, 0.04, 30, 4, 2.5);
  expect(found).toMatchObject({ state: "read", found: true });
  expect(found.state === "read" && Math.abs((found.bandsPerPicture ?? 0) - 2.5) < 0.1).toBe(true);
});

test("a steady light has none, and says what it would have seen", () => {
  const found = bandsUnder(10, 0, 30, 4);
  expect(found).toMatchObject({ state: "read", found: false });
  expect(found.state === "read" && found.leastSeenPercent > 0 && found.leastSeenPercent < 1).toBe(true);
});

test("something bright that passes through some rows only is no lamp", () => {
  const series = Float64Array.from({ length: 120 * rowBands }, (_, i) => {
    const [n, band] = [Math.floor(i / rowBands), i % rowBands];
    return 80 + (band < 5 ? 8 * Math.sin((2 * Math.PI * 3 * n) / 30) : 0);
  });
  expect(flickerOf(series, 30)).toMatchObject({ state: "read", found: false });
});

test("short runs and black pictures are refused", () => {
  expect(bandsUnder(10, 0.03, 30, 2).state).toBe("cannot tell");
  expect(flickerOf(new Float64Array(120 * rowBands), 30).state).toBe("cannot tell");
});
