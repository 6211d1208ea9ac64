import { expect, test } from "vitest";
import { exposures, type Take } from "../truth/film.ts";
import { flatScene, texturedScene } from "../truth/scenes.ts";
import { gatherDrift, linksPerSecond } from "./drift.ts";

const [width, height] = [128, 64];
const leaves = texturedScene("leaves", 1024, 64, 9);

/** Signal by BT.709, as scene light is filmed at `stops` more than its usual exposure. */
const brighter = (light: number, stops: number): number => {
  const linear = (light < 0.081 ? light / 4.5 : ((light + 0.099) / 1.099) ** (1 / 0.45)) * 2 ** stops;
  return Math.min(1, linear < 0.018 ? 4.5 * linear : 1.099 * linear ** 0.45 - 0.099);
};

function driftOf(how: Partial<Take>, stops: (picture: number) => number, transfer: string | undefined = "bt709") {
  const drift = gatherDrift(width, height, false, transfer);
  const take: Take = { scene: leaves, width, height, frames: 24, pixelsPerFrame: 0, shutterDegrees: 0, ...how };
  let n = 0;
  for (const picture of exposures(take)) {
    const change = stops(n);
    drift.add(
      n / linksPerSecond,
      Float64Array.from(picture, (light) => 16 + 219 * brighter(light, change)),
    );
    n += 1;
  }
  return drift.result();
}

test.each([
  [0, 0.5],
  [7.3, 0.5],
  [7.3, -0.8],
  [15.6, 1],
])("%f pixels a picture: a change of %f stops is read within a tenth", (pixelsPerFrame, change) => {
  const found = driftOf({ pixelsPerFrame }, (n) => change * Math.min(1, Math.max(0, (n - 6) / 10)));
  if (found.state !== "read") throw new Error(found.why);
  expect(Math.abs(found.changeStops - change)).toBeLessThan(0.1);
  expect(Math.abs(found.fromSeconds - 6 / linksPerSecond)).toBeLessThan(0.6);
  expect(Math.abs(found.toSeconds - 16 / linksPerSecond)).toBeLessThan(0.6);
});

test("a pan over dark and bright ground is no change of exposure", () => {
  const scene = texturedScene("leaves", 1024, 64, 9);
  const light = scene.light.map((value, i) => value * (0.6 + 0.4 * Math.sin((2 * Math.PI * (i % 1024)) / 1024)));
  const found = driftOf({ scene: { ...scene, light }, pixelsPerFrame: 15.6, frames: 60 }, () => 0);
  if (found.state !== "read") throw new Error(found.why);
  expect(Math.abs(found.changeStops)).toBeLessThan(0.1);
});

test("pictures without texture, or of a curve that is not known, tell nothing", () => {
  expect(driftOf({ scene: flatScene(64, 64, 0.4) }, () => 0).state).toBe("cannot tell");
  expect(driftOf({}, () => 0, "film").state).toBe("cannot tell");
});
