import { expect, test } from "vitest";
import { randomNumbers } from "../truth/scenes.ts";
import { hannWindow, powerOfTwoWithin, transformPicture } from "./fourier.ts";

test("the transform of a picture is the plain sum over all its pixels", () => {
  const [width, height] = [8, 4];
  const random = randomNumbers(3);
  const picture = Float64Array.from({ length: 2 * width * height }, () => random() - 0.5);
  const terms = picture.slice();
  transformPicture({ width, height, terms });
  for (let v = 0; v < height; v += 1) {
    for (let u = 0; u < width; u += 1) {
      let [re, im] = [0, 0];
      for (let y = 0; y < height; y += 1) {
        for (let x = 0; x < width; x += 1) {
          const turn = -2 * Math.PI * ((u * x) / width + (v * y) / height);
          const [a, b] = [picture[2 * (y * width + x)] ?? 0, picture[2 * (y * width + x) + 1] ?? 0];
          re += a * Math.cos(turn) - b * Math.sin(turn);
          im += a * Math.sin(turn) + b * Math.cos(turn);
        }
      }
      expect(terms[2 * (v * width + u)]).toBeCloseTo(re, 10);
      expect(terms[2 * (v * width + u) + 1]).toBeCloseTo(im, 10);
    }
  }
});

test("back and forth gives the picture again", () => {
  const random = randomNumbers(5);
  const picture = Float64Array.from({ length: 2 * 16 * 8 }, random);
  const terms = picture.slice();
  transformPicture({ width: 16, height: 8, terms });
  transformPicture({ width: 16, height: 8, terms }, true);
  picture.forEach((value, i) => expect(terms[i]).toBeCloseTo(value, 10));
});

test("windows fade to nothing at both ends and powers of two are found", () => {
  const window = hannWindow(64);
  expect(window[0]).toBeLessThan(0.001);
  expect(window[63]).toBeCloseTo(window[0] ?? 0, 12);
  expect(window[31]).toBeGreaterThan(0.99);
  expect([0.5, 1, 2, 511, 512, 513].map(powerOfTwoWithin)).toEqual([0, 1, 2, 256, 512, 512]);
});
