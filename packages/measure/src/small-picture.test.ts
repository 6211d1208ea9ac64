import { expect, test } from "vitest";
import { frameLayout, pieceWidth, smallWidth } from "./frame-layout.ts";
import type { MixLook } from "./mixes.ts";
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
  const look = (middle: (x: number, y: number) => number): MixLook => {
    const small = smallPicture(layout);
    for (const code of [a, middle, b]) small.take(frameOf(code));
    const { share, left, span } = small.mix() ?? { share: Number.NaN, left: Number.NaN, span: Number.NaN };
    return { share, left: left / span, span };
  };
  const half = look((x, y) => Math.round((a(x, y) + b(x, y)) / 2));
  expect([half.share, half.left]).toEqual([expect.closeTo(0.5, 2), expect.closeTo(0, 2)]);
  const third = look((x, y) => Math.round(0.3 * a(x, y) + 0.7 * b(x, y)));
  expect([third.share, third.left]).toEqual([expect.closeTo(0.3, 2), expect.closeTo(0, 2)]);
  // A lamp that brightens all of the picture changes nothing of that.
  expect(look((x, y) => Math.round((a(x, y) + b(x, y)) / 2 + 80)).left).toBeLessThan(0.01);
  expect(look((x, y) => ((x * 7 + y * 19) % 83) * 8).left).toBeGreaterThan(0.4);
  expect(look(a).share).toBeCloseTo(1, 6);
  expect(half.span).toBeGreaterThan(100);
  const small = smallPicture(layout);
  for (const code of [a, a]) small.take(frameOf(code));
  expect(small.mix()).toBeUndefined();
});
