import { expect, test } from "vitest";
import { codes, type Take } from "../truth/film.ts";
import { flatScene, type Scene, texturedScene } from "../truth/scenes.ts";
import { frameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { gatherNoise } from "./noise.ts";

/** A scene of even areas of five brightnesses, as wide as the piece that is looked at. */
function steps(width: number, height: number): Scene {
  const light = Float32Array.from({ length: width * height }, (_, i) => 0.15 + 0.15 * Math.floor((i % width) / 110));
  return { width, height, light };
}

function noiseOf(scene: Scene, noise: NonNullable<Take["noise"]>, bitDepth = 8, frames = 6) {
  const layout = frameLayout({ width: 512, height: 256, frameRate: 30, durationSeconds: 1, bitDepth });
  const gatherer = gatherNoise(layout, false);
  const take: Take = {
    scene,
    width: 512,
    height: 256,
    frames,
    pixelsPerFrame: 0,
    shutterDegrees: 180,
    noise,
    bitDepth,
  };
  let before: Samples | undefined;
  for (const picture of codes(take)) {
    const samples =
      picture instanceof Uint8Array ? new Uint8Array(layout.samplesPerFrame) : new Uint16Array(layout.samplesPerFrame);
    samples.set(picture, layout.smallHeight * pieceWidth);
    gatherer.add(samples);
    if (before !== undefined) gatherer.addStill(before, samples);
    before = samples;
  }
  return gatherer.result();
}

const decibels = (read: number, truth: number): number => Math.abs(20 * Math.log10(read / truth));

test.each([
  [0.5, 8],
  [1, 8],
  [2, 8],
  [4, 8],
  [0.3, 10],
  [2, 10],
])("noise of %f %% in %i bit is read within half a decibel, over and between frames", (percent, bitDepth) => {
  const found = noiseOf(steps(512, 256), percent / 100, bitDepth);
  if (found.state !== "read") throw new Error(found.why);
  expect(decibels(found.sigmaPercent, percent)).toBeLessThan(0.5);
  expect(decibels(found.fineSigmaPercent, percent)).toBeLessThan(0.5);
  expect(decibels(found.temporalSigmaPercent ?? 0, percent)).toBeLessThan(0.7);
});

test("photon noise grows with brightness, and is read so level by level", () => {
  const found = noiseOf(steps(512, 256), (light) => 0.03 * Math.sqrt(light));
  if (found.state !== "read") throw new Error(found.why);
  expect(found.perLevel.length).toBeGreaterThanOrEqual(4);
  for (const level of found.perLevel) {
    // The levels are a tenth of the range wide; the steps stand at 15, 30, 45, 60 and 75 %.
    const light = [0.15, 0.3, 0.45, 0.6, 0.75].reduce((a, b) =>
      Math.abs(b - level.brightnessPercent / 100) < Math.abs(a - level.brightnessPercent / 100) ? b : a,
    );
    expect(decibels(level.sigmaPercent, 3 * Math.sqrt(light))).toBeLessThan(1);
  }
});

test("texture does not count as noise", () => {
  const found = noiseOf(texturedScene("leaves", 512, 256, 4), 0.01);
  if (found.state !== "read") throw new Error(found.why);
  expect(decibels(found.sigmaPercent, 1)).toBeLessThan(1);
});

test("twice the noise is two stops more, and the reference is none", () => {
  const found = noiseOf(steps(512, 256), 0.016);
  expect(found.state === "read" ? found.stopsOverReference : 0).toBeCloseTo(2, 0);
});

test("a clipped picture tells nothing", () => {
  expect(noiseOf(flatScene(512, 256, 1), 0.01).state).toBe("cannot tell");
});

test("levels whose evenest areas hold fine texture are left out, and weak noise of roofs is refused", () => {
  const roofs = texturedScene("roofs", 512, 256, 4);
  const weak = noiseOf(roofs, 0.0045);
  expect(weak.state === "read" ? "read" : weak.why).toMatch(/texture/);
  const strong = noiseOf(roofs, 0.02);
  expect(strong.state === "read" && decibels(strong.sigmaPercent, 2) < 1).toBe(true);
});
