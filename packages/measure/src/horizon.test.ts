import { expect, test } from "vitest";
import { codesOf } from "../truth/film.ts";
import { type Texture, texturedScene } from "../truth/scenes.ts";
import { frameLayout, pieceWidth, smallWidth } from "./frame-layout.ts";
import { gatherHorizon } from "./horizon.ts";

const [width, height] = [1920, 1080];
const layout = frameLayout({ width, height, frameRate: 25, durationSeconds: 2 });
const ground = texturedScene("leaves", 512, 256, 5);

/** Small pictures of which `grey` tells the brightness at each place, with noise that changes. */
function horizonOf(grey: (x: number, y: number) => number, looks = 6) {
  const horizon = gatherHorizon(layout, width, height);
  const light = Float32Array.from({ length: smallWidth * layout.smallHeight }, (_, i) => {
    const [x, y] = [i % smallWidth, Math.floor(i / smallWidth)];
    // Four by four places a pixel, as making a picture small means them.
    let sum = 0;
    for (let k = 0; k < 16; k += 1) sum += grey(x + ((k & 3) + 0.5) / 4, y + ((k >> 2) + 0.5) / 4) / 16;
    return sum;
  });
  let at = 0;
  for (const codes of codesOf(
    Array.from({ length: looks }, () => light),
    { noise: 0.004 },
  )) {
    const samples = new Uint8Array(layout.samplesPerFrame);
    for (let y = 0; y < layout.smallHeight; y += 1) {
      samples.set(codes.subarray(y * smallWidth, (y + 1) * smallWidth), y * pieceWidth);
    }
    horizon.add(at, samples);
    at += 0.5;
  }
  return horizon.result();
}

const sky = (y: number): number => 0.8 - y * 0.0008;
const leaves = (x: number, y: number): number =>
  0.6 * (ground.light[(Math.floor(y) % 256) * 512 + (Math.floor(x) % 512)] ?? 0);
const sea = (x: number, y: number): number => 0.3 + 0.02 * Math.sin(x / 3 + y);

test.each([-6, -2, -1, -0.4, 0, 0.4, 1, 2, 6])("a horizon tilted by %f degrees is read within 0.3", (degrees) => {
  for (const below of [leaves, sea]) {
    const line = (x: number): number => 70 + Math.tan((degrees * Math.PI) / 180) * (x - 128);
    const found = horizonOf((x, y) => (y < line(x) ? sky(y) : below(x, y)));
    if (found.state !== "read") throw new Error(found.why);
    expect(Math.abs(found.tiltDegrees - degrees)).toBeLessThan(0.3);
    expect(found.highDegrees - found.lowDegrees).toBeLessThan(0.5);
  }
});

test("hills, houses and a slope that ends are no horizon", () => {
  const hills = (x: number): number => 70 + 8 * Math.sin(x / 23) + 3 * Math.sin(x / 7);
  const houses = (x: number): number => 70 + (Math.floor(x / 19) % 3) * 7;
  const slope = (x: number): number => (x < 150 ? 60 + x * 0.1 : 75);
  for (const line of [hills, houses, slope]) {
    expect(horizonOf((x, y) => (y < line(x) ? sky(y) : leaves(x, y))).state).toBe("cannot tell");
  }
});

test.each<Texture>(["leaves", "fields", "roofs", "clouds"])("%s from above have no horizon", (kind) => {
  const scene = texturedScene(kind, 512, 256, 8);
  const grey = (x: number, y: number): number => scene.light[(Math.floor(y) % 256) * 512 + (Math.floor(x) % 512)] ?? 0;
  expect(horizonOf(grey).state).toBe("cannot tell");
});

test("a straight road or wall amid the ground is no horizon: what lies above it is no sky", () => {
  const line = (x: number): number => 70 + 0.05 * (x - 128);
  const grey = (x: number, y: number): number => (y < line(x) ? 0.3 + leaves(x, y) : 0.1);
  expect(horizonOf(grey).state).toBe("cannot tell");
});
