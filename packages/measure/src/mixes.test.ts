import { expect, test } from "vitest";
import { codes } from "../truth/film.ts";
import { type Scene, texturedScene } from "../truth/scenes.ts";
import { frameLayout, pieceWidth, smallWidth } from "./frame-layout.ts";
import { countMixes, type MixCounts, type MixLook } from "./mixes.ts";
import { smallPicture } from "./small-picture.ts";

const layout = frameLayout({ width: 512, height: 288, frameRate: 30, durationSeconds: 1 });
const [width, height] = [smallWidth, layout.smallHeight];
const leaves = texturedScene("leaves", 1024, height, 8);
const fields = texturedScene("fields", 1024, height, 9);

/** Films a scene, hands each frame its mix of the filmed pictures (place, and share of the next one), and counts. */
function countedBy(scene: Scene, speed: (frame: number) => number, shown: (n: number) => MixOf): MixCounts {
  const frames = 24;
  const take = { scene, width, height, frames: frames + 2, pixelsPerFrame: speed, shutterDegrees: 180, noise: 0.006 };
  const all = [...codes(take)].map((picture) => picture.slice());
  const small = smallPicture(layout);
  const mixes: (MixLook | undefined)[] = [];
  for (let n = 0; n < frames; n += 1) {
    const { of, and, share } = shown(n);
    const samples = new Uint8Array(layout.samplesPerFrame);
    for (let y = 0; y < height; y += 1) {
      for (let x = 0; x < width; x += 1) {
        const i = y * width + x;
        samples[y * pieceWidth + x] = Math.round((1 - share) * (all[of]?.[i] ?? 0) + share * (all[and]?.[i] ?? 0));
      }
    }
    small.take(samples);
    if (n > 1) mixes[n - 1] = small.mix();
  }
  // Steps are those the camera was moved by.
  const across = Float64Array.from({ length: frames }, (_, n) => -speed(n - 1));
  return countMixes({ mixes, across, down: new Float64Array(frames) });
}

interface MixOf {
  readonly of: number;
  readonly and: number;
  readonly share: number;
}

const counted = (scene: Scene, speed: (frame: number) => number, mixed: (frame: number) => boolean): MixCounts =>
  countedBy(scene, speed, (n) =>
    mixed(n) && n > 0 ? { of: n - 1, and: n + 1, share: 0.5 } : { of: n, and: n, share: 0 },
  );

const speeds = [1.7, 5.4, 14].flatMap((speed) => [
  [speed, "leaves", leaves] as const,
  [speed, "fields", fields] as const,
]);

test.each(speeds)(
  "every fourth frame mixed of a pan of %f pixels over %s is found, in a real pan none",
  (speed, _, scene) => {
    const found = counted(
      scene,
      () => speed,
      (n) => n % 4 === 2,
    );
    expect(found.mixed).toBe(5);
    // A mix makes the frames on both sides of it unlike the next.
    expect(found.doubtful).toBeLessThanOrEqual(2 * found.mixed);
    const real = counted(
      scene,
      () => speed,
      () => false,
    );
    expect([real.mixed, real.doubtful]).toEqual([0, 0]);
  },
);

test.each(speeds)("every second frame mixed of a pan of %f pixels over %s is found", (speed, _, scene) => {
  const found = counted(
    scene,
    () => speed,
    (n) => n % 2 === 1,
  );
  expect(found.mixed).toBeGreaterThanOrEqual(9);
});

test.each([0.5, 0.37, 0.25, 0.21, 0.1])("shaking of %f turns a frame has no mixes", (turns) => {
  for (const base of [0, 4]) {
    const found = counted(
      leaves,
      (n) => base + 2 * Math.sin(2 * Math.PI * turns * n + 0.4),
      () => false,
    );
    expect(found.mixed).toBe(0);
  }
});

test("shaking in which real frames come near to mixes leaves doubt", () => {
  const found = counted(
    leaves,
    (n) => 2 * Math.sin(2 * Math.PI * 0.37 * n + 0.4),
    () => false,
  );
  expect(found.doubtful).toBeGreaterThan(1);
});

test.each([24, 25])(
  "a pan of %i pictures a second mixed to 30 leaves doubt, for no frame mixes its neighbours",
  (rate) => {
    for (const [scene, speed] of [
      [leaves, 2],
      [fields, 6],
    ] as const) {
      const found = countedBy(
        scene,
        () => speed,
        (n) => {
          const place = Math.floor((n * rate) / 30 + 1e-9);
          return { of: place, and: place + 1, share: (n * rate) / 30 - place };
        },
      );
      expect(found.doubtful).toBeGreaterThan(0.05 * found.judged);
      expect(found.mixed).toBe(0);
    }
  },
);

test("mixes amid motion of a third of a pixel are left in doubt: coding in both directions makes such ones", () => {
  const mixes = Array.from({ length: 24 }, (_, n) => ({ share: 0.5, left: n % 4 === 2 ? 0.1 : 6, span: 100 }));
  const at = (pixels: number): MixCounts =>
    countMixes({ mixes, across: new Float64Array(24).fill(pixels), down: new Float64Array(24) });
  expect(at(0.3).mixed).toBe(0);
  expect(at(0.3).doubtful).toBeGreaterThan(4);
  expect(at(0.5).mixed).toBe(5);
});
