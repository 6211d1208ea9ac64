import { expect, test } from "vitest";
import { flown, type Layer } from "../truth/flight.ts";
import { texturedScene } from "../truth/scenes.ts";
import { pairMotion } from "./global-motion.ts";
import { unevenness } from "./parts-motion.ts";

const [width, height] = [256, 128];
const leaves = texturedScene("leaves", 640, 256, 21);

/** Two pictures flown over leaves; `at` is where each pixel looks, so the motion of every part is known. */
function unevennessOf(at: Layer["at"]): number {
  const pictures = [
    ...flown({ layers: [{ scene: leaves, at }], width, height, frames: 2, shutterDegrees: 90, mostPixels: 10 }),
  ];
  const [first, second] = pictures.map((picture) => Float64Array.from(picture, (v) => 16 + 219 * v));
  if (first === undefined || second === undefined) throw new Error("no pictures");
  const whole = pairMotion(first, second, width, height);
  return whole === undefined ? Number.NaN : unevenness(first, second, width, height, whole);
}

test("the parts of a pan move alike", () => {
  expect(unevennessOf((x, y, time) => [x + 9.4 * time, y])).toBeLessThan(0.03);
});

// Known motion: parts of the picture lie a quarter of its width or height from the middle.
test.each<readonly [string, number, Layer["at"]]>([
  ["ground twice as fast near by", 0.1, (x, y, time) => [x + 9.4 * time * (0.67 + (0.67 * y) / height), y]],
  [
    "a pan that turns by two degrees a frame",
    0.1,
    (x, y, time) => [x + 9.4 * time - 0.035 * time * (y - 64), y + 0.035 * time * (x - 128)],
  ],
  [
    "a pan that zooms by 3 % a frame",
    0.1,
    (x, y, time) => [x + 9.4 * time - 0.03 * time * (x - 128), y - 0.03 * time * (y - 64)],
  ],
])("%s has parts that move otherwise", (_, least, at) => {
  expect(unevennessOf(at)).toBeGreaterThan(least);
});

test("without texture nothing is known of the parts", () => {
  const even = new Float64Array(width * height).fill(100);
  expect(unevenness(even, even, width, height, { dx: 9, dy: 0 })).toBeNaN();
});
