// Clips that ffmpeg's own filters made of one still picture: the truth is theirs, not that of our truth folder.
import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { encode, type Encoder, findEncoder } from "../../../scripts/ffmpeg.ts";
import { texturedScene } from "../truth/scenes.ts";
import { measureClip } from "./measure-clip.ts";
import type { Measurement } from "./measurement.ts";

const [width, height] = [640, 360];
const folder = ".cache/measure-tests/outside";
let encoder: Encoder;

beforeAll(async () => {
  encoder = await findEncoder();
  mkdirSync(folder, { recursive: true });
  const { light } = texturedScene("leaves", 2048, 512, 31);
  const grey = Uint8Array.from(light, (v) => Math.round(16 + 219 * v));
  // PGM: a header and the codes (netpbm, pgm(5)).
  writeFileSync(join(folder, "still.pgm"), Buffer.concat([Buffer.from("P5\n2048 512\n255\n"), grey]));
});

/** Shows the still `rate` times a second, sends it through the filters and codes it as a camera would. */
async function made(name: string, filters: string, seconds: number, rate = 30, frameRate = 30): Promise<Measurement> {
  const path = join(folder, `${name}.mp4`);
  if (!existsSync(path)) {
    // The picture is read once and repeated by the loop filter.
    const chain = `format=gray,loop=loop=-1:size=1,setpts=N,${filters},format=yuv420p,setparams=range=tv`;
    const bits = `${Math.round(width * height * 0.4 * frameRate)}`;
    const source = ["-framerate", `${rate}`, "-i", join(folder, "still.pgm"), "-vf", chain];
    const length = ["-r", `${frameRate}`, "-t", `${seconds}`];
    const coding = ["-c:v", "libx264", "-preset", "superfast", "-bf", "0", "-g", `${frameRate}`];
    const rates = ["-b:v", bits, "-maxrate", bits, "-bufsize", bits];
    await encode(encoder, [...source, ...length, ...coding, ...rates, path]);
  }
  const about = { width, height, frameRate, durationSeconds: seconds };
  return await measureClip(path, about, { mode: "all", signal: new AbortController().signal, ffmpeg: encoder.path });
}

const pan = (pixels: number): string => `crop=${width}:${height}:${pixels}*n:40`;

test("8 of 16 moments of a pan mixed by ffmpeg's tmix are 180 degrees, at the speed of its crop", async () => {
  // The still moves a pixel a moment; every sixteenth mix is a frame.
  const { shutterAngle, motion } = await made("angle", `${pan(1)},tmix=frames=8,framestep=16`, 1.6, 480);
  if (shutterAngle.state !== "read") throw new Error(shutterAngle.why);
  expect(Math.abs(shutterAngle.degrees - 180)).toBeLessThan(12);
  expect(shutterAngle.low).toBeLessThanOrEqual(180);
  expect(shutterAngle.high).toBeGreaterThanOrEqual(180);
  if (motion.state !== "read") throw new Error(motion.why);
  expect(motion.medianWidthsPerSecond).toBeCloseTo((16 * 30) / width, 2);
});

test("shaking of ffmpeg's crop is told as far as it goes", async () => {
  // Six pixels to and fro ten times a second: the root of the mean square is 6 / √2 pixels, whole pixels add a third of one.
  const { motion } = await made("shake", `crop=${width}:${height}:'200+round(6*sin(2*PI*10*n/30+0.5))':40`, 2);
  if (motion.state !== "read") throw new Error(motion.why);
  expect(motion.vibrationPercent).toBeGreaterThan((0.8 * 100 * 6) / Math.SQRT2 / width);
  expect(motion.vibrationPercent).toBeLessThan((1.2 * 100 * 6) / Math.SQRT2 / width);
});

test("a lamp that ffmpeg's eq makes pulse is told with its frequency", async () => {
  const { flicker } = await made(
    "flicker",
    `${pan(6)},format=yuv420p,eq=brightness='0.02*sin(2*PI*7*t)':eval=frame`,
    4,
  );
  expect(flicker).toMatchObject({ state: "read", found: true });
  expect(flicker.state === "read" && Math.abs((flicker.hertz ?? 0) - 7) < 0.2).toBe(true);
});

test("frames blurred by ffmpeg's gblur are told as softer", async () => {
  const { sharpness } = await made("soft", `${pan(3)},gblur=sigma=2:enable='gte(t,1.4)'`, 2);
  if (sharpness.state !== "read") throw new Error(sharpness.why);
  // A Gaussian of 2 pixels takes exp(-(2π·0.25·2)²) of the power at a quarter cycle a pixel: 43 dB; coding fills some in.
  expect(sharpness.softest.dropDecibels).toBeGreaterThan(6);
  expect(sharpness.softest.atSeconds).toBeGreaterThan(1.35);
});

test("a level line turned by ffmpeg's rotate is a horizon at that tilt", async () => {
  // Ground darker than the sky.
  const sky = "lut=c0=val*0.6,drawbox=y=0:h=256:w=iw:c=0xc8c8c8:t=fill";
  const turned = `${sky},crop=900:512:2*n:0,rotate=4*PI/180:c=none,crop=${width}:${height}`;
  const { horizon } = await made("horizon", turned, 2, 8, 8);
  if (horizon.state !== "read") throw new Error(horizon.why);
  expect(Math.abs(horizon.tiltDegrees - 4)).toBeLessThan(0.3);
});

test("pictures that ffmpeg's minterpolate mixed to double the rate are told as every second one, a plain pan as none", async () => {
  const { repeats } = await made("mixed", `${pan(4)},minterpolate=fps=60:mi_mode=blend`, 1.4, 30, 60);
  if (repeats.state !== "read") throw new Error(repeats.why);
  expect(repeats.blendedShare).toBeGreaterThan(0.45);
  expect(repeats.blendedShare).toBeLessThan(0.55);
  const plain = await made("unmixed", pan(4), 1.4);
  expect(plain.repeats).toMatchObject({ state: "read", blendedShare: 0 });
});

test.each([
  [24, 30],
  [25, 30],
])(
  "a pan of %i pictures a second that ffmpeg's minterpolate mixed to %i is told with the rate it came from",
  async (from, to) => {
    const mixed = `${pan(5)},minterpolate=fps=${to}:mi_mode=blend`;
    const { repeats, shutterAngle } = await made(`converted ${from}`, mixed, 2, from, to);
    if (repeats.state !== "read") throw new Error(repeats.why);
    expect(repeats.mixedFromFramesPerSecond).toBe(from);
    // Of five (six) pictures one is a source picture.
    expect(Math.abs((repeats.blendedShare ?? 0) - (from === 24 ? 0.8 : 0.8333))).toBeLessThan(0.1);
    expect(shutterAngle).toMatchObject({ state: "cannot tell", why: expect.stringContaining("mix two") as string });
  },
);
