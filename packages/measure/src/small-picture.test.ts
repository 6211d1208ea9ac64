import { expect, test } from "vitest";
import { frameLayout, pieceWidth, smallWidth } from "./frame-layout.ts";
import { rowBands, smallPicture } from "./small-picture.ts";

const layout = frameLayout({ width: 1280, height: 720, frameRate: 30, durationSeconds: 1, bitDepth: 10 });

function frameOf(code: (x: number, y: number) => number): Uint16Array {
  const samples = new Uint16Array(layout.samplesPerFrame);
  for (let y = 0; y < layout.smallHeight; y += 1) {
    for (let x = 0; x < smallWidth; x += 1) samples[y * pieceWidth + x] = code(x, y);
  }
  return samples;
}

test("brightness, bands and difference are told in 8 bit codes whatever the depth", () => {
  const small = smallPicture(layout);
  small.take(frameOf((_, y) => 400 + 4 * Math.floor((y * rowBands) / layout.smallHeight)));
  expect(small.difference).toBeNaN();
  expect([small.bands[0], small.bands[15]]).toEqual([100, 115]);
  expect(small.mean).toBeCloseTo(107.5);
  small.take(frameOf((_, y) => 440 + 4 * Math.floor((y * rowBands) / layout.smallHeight)));
  expect(small.difference).toBeCloseTo(10);
});

test("a mix of two pictures is known as one, a third picture and a repeat are not", () => {
  const a = (x: number, y: number): number => ((x * 73 + y * 151) % 97) * 8;
  const b = (x: number, y: number): number => ((x * 29 + y * 211) % 89) * 8;
  const residue = (middle: (x: number, y: number) => number): number => {
    const small = smallPicture(layout);
    for (const code of [a, middle, b]) small.take(frameOf(code));
    return small.mixResidue();
  };
  expect(residue((x, y) => Math.round((a(x, y) + b(x, y)) / 2))).toBeLessThan(0.01);
  expect(residue((x, y) => Math.round(0.3 * a(x, y) + 0.7 * b(x, y)))).toBeLessThan(0.01);
  expect(residue((x, y) => ((x * 7 + y * 19) % 83) * 8)).toBeGreaterThan(0.4);
  expect(residue(a)).toBe(1);
});
