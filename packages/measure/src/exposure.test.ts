import { expect, test } from "vitest";
import { clippedAndCrushed, gatherExposure, signalRange } from "./exposure.ts";
import { frameLayout, pieceWidth, smallWidth } from "./frame-layout.ts";

test("the declared range decides which codes are clipped", () => {
  expect(signalRange(8, false)).toEqual({ black: 16, white: 235 });
  expect(signalRange(10, false)).toEqual({ black: 64, white: 940 });
  expect(signalRange(10, true)).toEqual({ black: 0, white: 1023 });
});

test.each([
  [8, false, 235, 16, 128],
  [8, true, 255, 0, 235],
  [10, false, 940, 64, 500],
])("%i bit, full range %s: shares are counted on picked pixels", (bitDepth, fullRange, white, black, middle) => {
  const layout = frameLayout({ width: 1920, height: 1080, frameRate: 25, durationSeconds: 1, bitDepth });
  const samples = new Uint16Array(layout.samplesPerFrame).fill(middle);
  // A quarter of the columns clipped, an eighth crushed; the averaged picture beside it must not count.
  for (let y = 0; y < layout.smallHeight; y += 1) {
    samples.fill(white, y * pieceWidth, y * pieceWidth + smallWidth);
    samples.fill(white, y * pieceWidth + smallWidth, y * pieceWidth + smallWidth + 64);
    samples.fill(black, y * pieceWidth + smallWidth + 64, y * pieceWidth + smallWidth + 96);
  }
  expect(clippedAndCrushed(samples, layout, fullRange)).toEqual({ clipped: 0.25, crushed: 0.125 });
});

test("means, extremes and a jump of brightness are told; a drift is no jump", () => {
  const exposure = gatherExposure(false);
  exposure.addShares(0, 0.1, 0);
  exposure.addShares(1, 0.3, 0.2);
  for (let n = 0; n < 60; n += 1) exposure.addMean(n / 30, (n < 30 ? 0.4 : 0.6) * 219 + 16, n === 0);
  const found = exposure.result();
  if (found.state !== "read") throw new Error(found.why);
  expect(found).toMatchObject({ mostClipped: { atSeconds: 1, share: 0.3 }, mostCrushed: { atSeconds: 1, share: 0.2 } });
  expect(found.clippedShare).toBeCloseTo(0.2);
  expect([found.darkestPercent, found.brightestPercent, found.meanPercent].map(Math.round)).toEqual([40, 60, 50]);
  expect(found.jumps.length).toBe(1);
  expect(found.jumps[0]?.changePercent).toBeCloseTo(20);
  expect(Math.abs((found.jumps[0]?.atSeconds ?? 0) - 1)).toBeLessThan(0.1);

  const drift = gatherExposure(false);
  drift.addShares(0, 0, 0);
  for (let n = 0; n < 120; n += 1) drift.addMean(n / 30, 60 + n, n === 0);
  expect(drift.result()).toMatchObject({ state: "read", jumps: [] });
});

test("a gap between stretches is no jump, and nothing is not read", () => {
  const exposure = gatherExposure(false);
  exposure.addShares(0, 0, 0);
  for (let n = 0; n < 40; n += 1) exposure.addMean(n, n < 20 ? 50 : 200, n % 20 === 0);
  expect(exposure.result()).toMatchObject({ jumps: [] });
  expect(gatherExposure(false).result().state).toBe("cannot tell");
});
