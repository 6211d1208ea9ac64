import { expect, test } from "vitest";
import { countCodes, signalRange } from "./code-values.ts";
import { clippedAndCrushed, gatherExposure } from "./exposure.ts";
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
  const codes = countCodes(layout);
  expect(clippedAndCrushed(codes.add(samples), codes.pixels, bitDepth, fullRange)).toEqual({
    clipped: 0.25,
    crushed: 0.125,
  });
});

const layout = frameLayout({ width: 1920, height: 1080, frameRate: 25, durationSeconds: 1 });

/** A frame whose picked pixels hold the first code, and a share of them the others. */
function frame(base: number, ...others: readonly (readonly [code: number, share: number])[]): Uint8Array {
  const samples = new Uint8Array(layout.samplesPerFrame).fill(base);
  for (let y = 0; y < layout.smallHeight; y += 1) {
    let from = y * pieceWidth + smallWidth;
    for (const [code, share] of others) {
      samples.fill(code, from, from + share * smallWidth);
      from += share * smallWidth;
    }
  }
  return samples;
}

test("means, extremes and a jump of brightness are told; a drift is no jump", () => {
  const exposure = gatherExposure(layout, false, "bt709");
  exposure.addCodes(0, frame(100, [240, 0.125]), 100);
  exposure.addCodes(1, frame(100, [240, 0.25], [16, 0.25]), 90);
  for (let n = 0; n < 60; n += 1) exposure.addMean(n / 30, (n < 30 ? 0.4 : 0.6) * 219 + 16, n === 0);
  const found = exposure.result();
  if (found.state !== "read") throw new Error(found.why);
  expect(found).toMatchObject({
    mostClipped: { atSeconds: 1, share: 0.25 },
    mostCrushed: { atSeconds: 1, share: 0.25 },
    clippedShare: 0.1875,
  });
  expect(found.ribbon.map((point) => [point.atSeconds, point.clippedShare])).toEqual([
    [0, 0.125],
    [1, 0.25],
  ]);
  expect([found.darkestPercent, found.brightestPercent, found.meanPercent].map(Math.round)).toEqual([40, 60, 50]);
  expect(found.jumps.length).toBe(1);
  expect(found.jumps[0]?.changePercent).toBeCloseTo(20);
  // ITU-R BT.709 turned round: 0.6 and 0.4 of the signal are light of 0.3637 and 0.1739.
  expect(found.jumps[0]?.changeStops).toBeCloseTo(Math.log2(0.3637 / 0.1739), 1);
  expect(Math.abs((found.jumps[0]?.atSeconds ?? 0) - 1)).toBeLessThan(0.1);

  const drift = gatherExposure(layout, false);
  drift.addCodes(0, frame(100), 100);
  for (let n = 0; n < 120; n += 1) drift.addMean(n / 30, 60 + n, n === 0);
  expect(drift.result()).toMatchObject({ state: "read", jumps: [] });
});

test("codes outside narrow range, and outside what EBU R 103 lets pass, are counted whatever is declared", () => {
  const exposure = gatherExposure(layout, true);
  exposure.addCodes(0, frame(100, [10, 0.25], [4, 0.125], [240, 0.25], [247, 0.125]), 100);
  exposure.addMean(0, 100, true);
  expect(exposure.result()).toMatchObject({
    codes: {
      bitDepth: 8,
      least: 4,
      most: 247,
      belowNarrowShare: 0.375,
      aboveNarrowShare: 0.375,
      outsideToleratedShare: 0.25,
    },
  });
});

test.each([
  [19, 1],
  [20, 0],
  [984, 0],
  [985, 1],
])("in 10 bit EBU R 103 lets pass 20 to 984: code %i is outside by %i", (code, outside) => {
  const ten = frameLayout({ width: 1920, height: 1080, frameRate: 25, durationSeconds: 1, bitDepth: 10 });
  const codes = countCodes(ten);
  codes.add(new Uint16Array(ten.samplesPerFrame).fill(code));
  expect(codes.result()?.outsideToleratedShare).toBe(outside);
});

test("a gap between stretches is no jump, and nothing is not read", () => {
  const exposure = gatherExposure(layout, false);
  exposure.addCodes(0, frame(50), 50);
  for (let n = 0; n < 40; n += 1) exposure.addMean(n, n < 20 ? 50 : 200, n % 20 === 0);
  expect(exposure.result()).toMatchObject({ jumps: [] });
  expect(gatherExposure(layout, false).result().state).toBe("cannot tell");
});
