import * as fc from "fast-check";
import { expect, test } from "vitest";
import {
  flickerBeatHertz,
  flickerRipple,
  mainsSafeShutters,
  mostPulsesPerFrame,
  rippleSwingStops,
  safeRipple,
} from "./flicker.ts";
import { rate, seconds } from "./quantities.ts";
import { compare, divide, invert, isWhole, multiply, ratio, toNumber } from "./ratio.ts";

/** Mean of 1 + cos over a window that opens at `start`, by adding up many slices. */
function collected(light: number, start: number, open: number): number {
  const slices = 400;
  let sum = 0;
  for (let slice = 0; slice < slices; slice += 1) {
    sum += 1 + Math.cos(2 * Math.PI * light * (start + (open * (slice + 0.5)) / slices));
  }
  return sum / slices;
}

test("ripple and beat are what adding up the light frame by frame gives", () => {
  fc.assert(
    fc.property(
      fc.constantFrom(24, 25, 30, 48, 50, 60, 100, 120, 200, 240),
      fc.constantFrom(50, 60),
      fc.integer({ min: 1, max: 40 }),
      (fps, mains, part) => {
        const open = 1 / (fps * part);
        const beat = toNumber(flickerBeatHertz(rate(fps), mains));
        const ripple = flickerRipple(seconds(1, fps * part), mains);
        for (let frame = 0; frame < 48; frame += 1) {
          const middle = frame / fps + open / 2;
          // A pulsing at the beat frequency and of the ripple's height, phase aside, is all that is left.
          const seen = collected(2 * mains, frame / fps, open) - 1;
          const sign = Math.sign(Math.sin(Math.PI * 2 * mains * open)) || 1;
          const alias = Math.cos(2 * Math.PI * 2 * mains * middle);
          expect(Math.abs(seen - sign * ripple * alias)).toBeLessThan(1e-4);
          const folded = Math.cos((2 * Math.PI * beat * frame) / fps);
          expect(Math.abs(folded - Math.cos((2 * Math.PI * 2 * mains * frame) / fps))).toBeLessThan(1e-9);
        }
        expect(beat).toBeLessThanOrEqual(fps / 2);
      },
    ),
    { numRuns: 60 },
  );
});

test("far above the lamps' own pulsing the file shows that pulsing itself", () => {
  expect(flickerBeatHertz(rate(240), 50)).toEqual(ratio(100));
  expect(flickerBeatHertz(rate(240), 60)).toEqual(ratio(120));
});

test("safe times collect whole pulses, fit into the frame, and are all there are", () => {
  fc.assert(
    fc.property(fc.integer({ min: 4, max: 240 }), fc.constantFrom(50, 60), (fps, mains) => {
      const safe = mainsSafeShutters(rate(fps), mains);
      expect(safe.length).toBe(Math.floor((2 * mains) / fps));
      for (const time of safe) {
        expect(isWhole(multiply(time, ratio(2 * mains)))).toBe(true);
        expect(compare(time, invert(rate(fps)))).toBeLessThanOrEqual(0);
        expect(flickerRipple(time, mains)).toBeLessThan(1e-12);
      }
      expect(safe.slice(1).every((time, place) => compare(time, safe[place] ?? time) < 0)).toBe(true);
    }),
    { numRuns: 200 },
  );
  expect(mainsSafeShutters(rate(1), 60)).toHaveLength(mostPulsesPerFrame);
});

test("an open time of nothing keeps the whole ripple, and the safe limit is twice what a percent of mains drift gives", () => {
  expect(flickerRipple(seconds(0), 50)).toBe(1);
  expect(flickerRipple(divide(seconds(1), ratio(50)), 49.5)).toBeCloseTo(safeRipple / 2, 3);
  expect(rippleSwingStops(0)).toBe(0);
});
