import { expect, test } from "vitest";
import { exposures } from "../truth/film.ts";
import { type Scene, texturedScene } from "../truth/scenes.ts";
import { pairMotion } from "./global-motion.ts";
import { gatherSharpness } from "./sharpness.ts";

const sharp = texturedScene("leaves", 512, 256, 8);

/** The same scene out of focus: each pixel the mean of a square. */
function defocused({ width, height, light }: Scene, reach: number): Scene {
  const out = new Float32Array(light.length);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      let sum = 0;
      for (let j = -reach; j <= reach; j += 1) {
        for (let i = -reach; i <= reach; i += 1) {
          sum += light[((y + j + height) % height) * width + ((x + i + width) % width)] ?? 0;
        }
      }
      out[y * width + x] = sum / (2 * reach + 1) ** 2;
    }
  }
  return { width, height, light: out };
}

function powerOf(scene: Scene, shutterDegrees: number) {
  const take = { scene, width: 256, height: 128, frames: 2, pixelsPerFrame: 12.3, shutterDegrees };
  const [a, b] = [...exposures(take)].map((picture) => Float64Array.from(picture, (light) => light * 219));
  const pair = a === undefined || b === undefined ? undefined : pairMotion(a, b, 256, 128);
  if (pair === undefined) throw new Error("no pair");
  return pair;
}

test("loss of focus shows, and blur of motion does not pass for it", () => {
  const gatherer = gatherSharpness();
  for (let n = 0; n < 8; n += 1) {
    const { power, dx, dy } = powerOf(n === 5 ? defocused(sharp, 2) : sharp, n === 2 ? 360 : 45);
    gatherer.add(n, power, 256, 128, dx, dy);
  }
  const found = gatherer.result();
  if (found.state !== "read") throw new Error(found.why);
  expect(found.softest.atSeconds).toBe(5);
  expect(found.softest.dropDecibels).toBeGreaterThan(8);
});

test("a few readings are not enough", () => {
  expect(gatherSharpness().result().state).toBe("cannot tell");
});
