import { expect, test } from "vitest";
import { exposures } from "../truth/film.ts";
import { flatScene, texturedScene } from "../truth/scenes.ts";
import { pairMotion } from "./global-motion.ts";

const [width, height] = [256, 128];

function pair(texture: "leaves" | "clouds", pixels: number, directionDegrees: number) {
  const scene = texturedScene(texture, 512, 512, 7);
  const take = { scene, width, height, frames: 2, pixelsPerFrame: pixels, directionDegrees, shutterDegrees: 90 };
  const [first, second] = [...exposures(take)].map((picture) =>
    Float64Array.from(picture, (light) => light * 219 + 16),
  );
  if (first === undefined || second === undefined) throw new Error("two pictures are needed");
  return pairMotion(first, second, width, height);
}

test.each([
  [3.4, 0],
  [17.7, 0],
  [9.25, 90],
  [12.6, 37],
  [25.3, 180],
])("a pan of %f pixels towards %f degrees is found to a tenth of a pixel", (pixels, direction) => {
  for (const texture of ["leaves", "clouds"] as const) {
    const found = pair(texture, pixels, direction);
    const turn = (direction * Math.PI) / 180;
    // What the camera turns to comes towards it: the content moves the other way.
    expect(Math.abs((found?.dx ?? 99) + pixels * Math.cos(turn))).toBeLessThan(0.15);
    expect(Math.abs((found?.dy ?? 99) + pixels * Math.sin(turn))).toBeLessThan(0.15);
    expect(found?.peak).toBeGreaterThan(0.5);
  }
});

test("pictures that have nothing in common give a low peak, even ones none at all", () => {
  const a = texturedScene("leaves", width, height, 1).light;
  const b = texturedScene("leaves", width, height, 2).light;
  expect(pairMotion(Float64Array.from(a), Float64Array.from(b), width, height)?.peak).toBeLessThan(0.25);
  const flat = Float64Array.from(flatScene(width, height, 0.5).light);
  expect(pairMotion(flat, flat, width, height)).toBeUndefined();
});
