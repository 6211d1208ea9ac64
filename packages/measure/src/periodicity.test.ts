import { expect, test } from "vitest";
import { exposures } from "../truth/film.ts";
import { type Pattern, patternScene } from "../truth/patterns.ts";
import { type Scene, type Texture, texturedScene } from "../truth/scenes.ts";
import { pairMotion } from "./global-motion.ts";
import { filledShare, lineShare } from "./periodicity.ts";

const [width, height] = [256, 128];
const leaves = texturedScene("leaves", 960, 128, 21);

function pairOf(scene: Scene) {
  const take = { scene, width, height, frames: 2, pixelsPerFrame: 17.7, shutterDegrees: 180 };
  const [first, second] = [...exposures(take)].map((picture) => Float64Array.from(picture, (v) => 16 + 219 * v));
  const pair = first === undefined || second === undefined ? undefined : pairMotion(first, second, width, height);
  if (pair === undefined) throw new Error("no pair");
  const { power, rival, roundness } = pair;
  return { lines: lineShare(power, width, height), filled: filledShare(power, width, height), rival, roundness };
}

test.each<Texture>(["leaves", "fields", "roofs", "clouds"])("%s do not repeat", (kind) => {
  const { lines, rival } = pairOf(texturedScene(kind, 960, 128, 7));
  expect(lines).toBeLessThan(0.25);
  expect(rival).toBeLessThan(0.5);
});

test("waves of a few directions fill little of their spectrum; roofs fill more", () => {
  expect(pairOf(patternScene("waves", 960, 128, leaves)).filled).toBeLessThan(0.004);
  expect(pairOf(texturedScene("roofs", 960, 128, 7)).filled).toBeGreaterThan(0.01);
});

test.each<Pattern>(["stripes", "fine stripes", "tiles", "fence", "crops"])("%s repeat", (kind) => {
  expect(pairOf(patternScene(kind, 960, 128, leaves)).lines).toBeGreaterThan(0.5);
});

test.each<Pattern>(["stripes", "fine stripes", "tiles"])("%s may have moved otherwise just as well", (kind) => {
  expect(pairOf(patternScene(kind, 960, 128, leaves)).rival).toBeGreaterThan(0.9);
});

test("a lone line between sky and ground leaves the motion along it open; texture does not", () => {
  const light = Float32Array.from({ length: 960 * 128 }, (_, i) => (i < 960 * 60 ? 0.8 : 0.3));
  expect(pairOf({ width: 960, height: 128, light }).roundness).toBeLessThan(0.035);
  expect(pairOf(leaves).roundness).toBeGreaterThan(0.1);
});
