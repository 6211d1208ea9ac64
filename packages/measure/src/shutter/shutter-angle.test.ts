import { expect, test } from "vitest";
import { codes, type Take } from "../../truth/film.ts";
import { flatScene, type Scene, texturedScene } from "../../truth/scenes.ts";
import { pairMotion } from "../global-motion.ts";
import { gatherAngle } from "./shutter-angle.ts";

const [width, height] = [256, 256];
const leaves = texturedScene("leaves", 1536, 512, 11);

/** Films with noise, and feeds every second pair as the look at a clip does. */
function angleOf(how: Partial<Take> & Pick<Take, "pixelsPerFrame" | "shutterDegrees">, scene: Scene = leaves) {
  const take: Take = { scene, width, height, frames: 24, noise: 0.006, ...how };
  const pictures = [...codes(take)].map((picture) => Float64Array.from(picture));
  const angle = gatherAngle(1.2 / width);
  for (let n = 0; n + 1 < pictures.length; n += 2) {
    const [first, second] = [pictures[n], pictures[n + 1]];
    if (first === undefined || second === undefined) break;
    const pair = pairMotion(first, second, width, height);
    if (pair === undefined || Math.hypot(pair.dx, pair.dy) < 6 || pair.peak < 0.25) continue;
    angle.add(n / 8, pair.power, width, height, { dx: pair.dx, dy: pair.dy, scale: 1 });
  }
  return angle.result();
}

test.each([
  [90, 24.3, 0],
  [135, 20.3, 0],
  [180, 16.3, 0],
  [270, 18.3, 0],
  [360, 16.3, 0],
  [180, 22.3, 90],
  [180, 20.3, 33],
])("%f degrees at %f pixels a frame towards %f degrees is read within its interval", (degrees, pixels, direction) => {
  const found = angleOf({ shutterDegrees: degrees, pixelsPerFrame: pixels, directionDegrees: direction });
  expect(found.state === "read" ? "read" : found.why).toBe("read");
  if (found.state !== "read") return;
  expect(Math.abs(found.degrees - degrees)).toBeLessThan(12);
  expect(found.low).toBeLessThanOrEqual(degrees);
  expect(found.high).toBeGreaterThanOrEqual(degrees);
  expect(found.high - found.low).toBeLessThan(60);
});

test.each([90, 180])("of %i degrees in the dark the interval holds the truth, or nothing is said", (degrees) => {
  const scene = { ...leaves, light: leaves.light.map((light) => light * 0.1) };
  const found = angleOf({ shutterDegrees: degrees, pixelsPerFrame: 17.7, noise: 0.012, frames: 48 }, scene);
  if (found.state !== "read") return;
  expect(found.low).toBeLessThanOrEqual(degrees);
  expect(found.high).toBeGreaterThanOrEqual(degrees);
  // Much less sure than by day.
  expect(found.high - found.low).toBeGreaterThan(25);
});

test("a pan that slows down is read as one", () => {
  const found = angleOf({ shutterDegrees: 180, pixelsPerFrame: (frame) => 26 - frame * 0.5, frames: 28 });
  expect(found.state === "read" && Math.abs(found.degrees - 180) < 12).toBe(true);
});

test("blur too short to have a zero is refused, with a ceiling", () => {
  const found = angleOf({ shutterDegrees: 30, pixelsPerFrame: 12.3 });
  expect(found.state === "cannot tell" && found.why).toMatch(/below about \d+|stand out|texture/);
});

test("noise without texture is refused", () => {
  const noise = gatherAngle(1.2 / width);
  const take: Take = {
    scene: flatScene(256, 256, 0.3),
    width,
    height,
    frames: 24,
    noise: 0.02,
    pixelsPerFrame: 0,
    shutterDegrees: 180,
  };
  const pictures = [...codes(take)].map((picture) => Float64Array.from(picture));
  for (let n = 0; n + 1 < pictures.length; n += 2) {
    const pair = pairMotion(pictures[n] ?? new Float64Array(0), pictures[n + 1] ?? new Float64Array(0), width, height);
    // Even when something claims that it moves, the spectrum of noise holds no zeros.
    if (pair !== undefined) noise.add(n / 8, pair.power, width, height, { dx: 20, dy: 0, scale: 1 });
  }
  expect(noise.result().state).toBe("cannot tell");
});

test("nothing looked at, nothing read", () => {
  expect(gatherAngle(0.005).result()).toEqual({
    state: "cannot tell",
    why: "no stretch moves fast and evenly enough with enough texture",
  });
});
