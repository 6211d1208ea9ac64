import { execFile } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { record, type Recording } from "../truth/encode.ts";
import { codes, codesOf, exposures, type Take } from "../truth/film.ts";
import { flatScene, texturedScene } from "../truth/scenes.ts";
import { measureClip } from "./measure-clip.ts";
import type { ClipOutline } from "./measurement.ts";

const [width, height, frameRate] = [640, 360, 30];
const folder = ".cache/measure-tests";
const { signal } = new AbortController();
let ffmpeg = "";
beforeAll(async () => {
  ffmpeg = (await findEncoder()).path;
});

const scenes = new Map([
  ["leaves", texturedScene("leaves", 1600, 360, 21)],
  ["fields", texturedScene("fields", 1600, 360, 22)],
]);
const leaves = (): Take["scene"] => scenes.get("leaves") ?? flatScene(8, 8, 0);

interface Shot extends Partial<Omit<Take, "width" | "height">> {
  readonly codec?: Recording["codec"];
  readonly order?: (frame: number) => number;
}

async function film(name: string, shot: Shot): Promise<string> {
  const { codec = "h264", order = (n: number): number => n, ...rest } = shot;
  const take: Take = {
    scene: leaves(),
    frames: 45,
    pixelsPerFrame: 18.3,
    shutterDegrees: 180,
    noise: 0.006,
    ...rest,
    width,
    height,
  };
  const how = {
    codec,
    bitsPerPixel: codec === "hevc" ? 0.25 : 0.4,
    frameRate: `${frameRate}`,
    width,
    height,
    bitDepth: take.bitDepth ?? 8,
  };
  return await record(ffmpeg, folder, `1 ${name}`, () => inOrder(codes(take), order, take.frames), how);
}

/** Shows picture `order(n)` in place `n`; `order` does not fall. */
function* inOrder<T>(pictures: Iterable<T>, order: (frame: number) => number, frames: number): Generator<T> {
  const source = pictures[Symbol.iterator]();
  let [shown, at] = [source.next(), 0];
  for (let n = 0; n < frames; n += 1) {
    for (; at < order(n) && shown.done !== true; at += 1) shown = source.next();
    if (shown.done === true) return;
    yield shown.value;
  }
}

async function measure(path: string, frames: number, more: Partial<ClipOutline> = {}, mode: "all" | "sample" = "all") {
  const about = { width, height, frameRate, durationSeconds: frames / frameRate, ...more };
  return await measureClip(path, about, { mode, signal, ffmpeg });
}

/** What ffmpeg's own filter prints about a clip. */
async function filter(path: string, chain: string): Promise<string> {
  return await new Promise((done) => {
    execFile(
      ffmpeg,
      ["-v", "info", "-i", path, "-vf", chain, "-f", "null", "-"],
      { maxBuffer: 2 ** 26 },
      (_, out, says) => done(out + says),
    );
  });
}

test.each([
  [90, "h264", 27.3],
  [180, "hevc", 18.3],
  [360, "h264", 18.3],
] as const)("%i degrees through %s are read from the pictures", async (degrees, codec, pixelsPerFrame) => {
  const path = await film(`angle ${degrees} ${codec} ${pixelsPerFrame}`, {
    shutterDegrees: degrees,
    codec,
    pixelsPerFrame,
  });
  const { shutterAngle, motion, repeats } = await measure(path, 45);
  expect(shutterAngle.state === "read" ? "" : shutterAngle.why).toBe("");
  if (shutterAngle.state !== "read" || motion.state !== "read") return;
  expect(Math.abs(shutterAngle.degrees - degrees)).toBeLessThan(12);
  expect(shutterAngle.low).toBeLessThanOrEqual(degrees);
  expect(shutterAngle.high).toBeGreaterThanOrEqual(degrees);
  expect(motion.medianWidthsPerSecond).toBeCloseTo((pixelsPerFrame * frameRate) / width, 1);
  expect(repeats).toMatchObject({ state: "read", pattern: "none", droppedAtSeconds: [] });
});

test("10 bit narrow codes keep their range: an even grey of known code is read as it is", async () => {
  const path = await film("flat 10", {
    scene: flatScene(64, 64, 0.5),
    bitDepth: 10,
    frames: 12,
    noise: 0,
    pixelsPerFrame: 0,
    codec: "none",
  });
  const { exposure, shutterAngle, repeats } = await measure(path, 12, { bitDepth: 10 });
  expect(exposure.state === "read" ? exposure.meanPercent : 0).toBeCloseTo(50, 0);
  expect(exposure).toMatchObject({ clippedShare: 0, crushedShare: 0 });
  expect(shutterAngle.state).toBe("cannot tell");
  expect(repeats.state).toBe("cannot tell");
});

test("brightness agrees with ffmpeg's signalstats", async () => {
  const path = await film("angle 180 hevc 18.3", { codec: "hevc" });
  const { exposure } = await measure(path, 45);
  const said = await filter(path, "signalstats,metadata=print:key=lavfi.signalstats.YAVG");
  const means = [...said.matchAll(/YAVG=([\d.]+)/g)].map((match) => Number(match[1]));
  expect(means.length).toBe(45);
  // Making the picture small rounds down: half a code.
  const theirs = means.reduce((a, b) => a + b, 0) / means.length;
  expect(exposure.state === "read" ? Math.abs((exposure.meanPercent / 100) * 219 + 16 - theirs) : 99).toBeLessThan(0.6);
});

test("24 in 30 is found, and mpdecimate finds as many repeats", async () => {
  const path = await film("24 in 30", { order: (n) => Math.floor((n * 4) / 5), frames: 60, pixelsPerFrame: 6.3 });
  const { repeats } = await measure(path, 60);
  expect(repeats).toMatchObject({ state: "read", pattern: "regular", trueFramesPerSecond: 24 });
  const said = await filter(path, "mpdecimate");
  expect(Number([...said.matchAll(/frame=\s*(\d+)/g)].at(-1)?.[1])).toBe(48);
});

test("a black and a frozen stretch are found where ffmpeg's blackdetect and freezedetect find them", async () => {
  const path = await film("black and frozen", {
    frames: 90,
    pixelsPerFrame: 4.3,
    order: (n) => (n < 20 ? n : n < 50 ? 20 : n - 30),
    lamp: (frame) => (frame >= 35 ? 0 : 1),
    noise: 0,
  });
  const { black, frozen } = await measure(path, 90);
  const said = await filter(path, "blackdetect=d=0.4:pix_th=0.05,freezedetect=n=0.005:d=0.7");
  const theirs = /black_start:([\d.]+) black_end:([\d.]+)/.exec(said);
  expect(black.length).toBe(1);
  expect(black[0]?.fromSeconds).toBeCloseTo(65 / 30, 1);
  expect(Math.abs((black[0]?.fromSeconds ?? 0) - Number(theirs?.[1]))).toBeLessThan(0.05);
  const freezes = [...said.matchAll(/freeze_start: ([\d.]+)/g)].map((match) => Number(match[1]));
  // Coding polishes a frozen picture for some frames before it stands.
  expect(Math.abs((frozen[0]?.fromSeconds ?? 0) - 20 / 30)).toBeLessThan(0.15);
  expect(Math.abs((frozen[0]?.fromSeconds ?? 0) - (freezes[0] ?? 99))).toBeLessThan(0.15);
});

test("noise is read within a decibel without coding", async () => {
  const path = await film("noise none", {
    scene: scenes.get("fields") ?? leaves(),
    codec: "none",
    noise: 0.016,
    frames: 20,
  });
  const { noise } = await measure(path, 20);
  expect(noise.state === "read" ? Math.abs(20 * Math.log10(noise.sigmaPercent / 1.6)) : 99).toBeLessThan(1);
});

test("flicker of a lamp over a pan is read from the clip", async () => {
  const lamp = (frame: number): number => 1 + 0.03 * Math.sin((2 * Math.PI * 10 * frame) / 30);
  const path = await film("flicker", { lamp, frames: 120, pixelsPerFrame: 6.3 });
  const { flicker } = await measure(path, 120);
  expect(flicker).toMatchObject({ state: "read", found: true, mainsHertz: 50 });
  expect(flicker.state === "read" && Math.abs((flicker.hertz ?? 0) - 10) < 0.2).toBe(true);
});

test("sampling looks at the same clip in part and says so", async () => {
  const path = await film("flicker", {});
  const found = await measure(path, 120, {}, "sample");
  expect(found.coverage.frames).toBe(120);
  const claimed = await measure(path, 120, { durationSeconds: 60 }, "sample");
  expect(claimed.coverage.lookedSeconds).toBeLessThan(60);
  expect(claimed.coverage.fault).toBeDefined();
});

test("what cannot be decoded is refused with a reason, and no path of this machine is told", async () => {
  mkdirSync(folder, { recursive: true });
  const path = join(folder, "no clip.mp4");
  writeFileSync(path, "this is no clip");
  const found = await measure(path, 30);
  expect(found.coverage).toMatchObject({ frames: 0, lookedSeconds: 0 });
  expect(found.coverage.fault).toMatch(/\w/);
  expect(JSON.stringify(found)).not.toContain(process.cwd());
  expect((await measure(join(folder, "missing.mp4"), 30)).shutterAngle.state).toBe("cannot tell");
  expect(
    (
      await measureClip(
        path,
        { width: 0, height: 1, frameRate: 25, durationSeconds: 1 },
        { mode: "all", signal, ffmpeg },
      )
    ).coverage.frames,
  ).toBe(0);
  expect(
    (
      await measureClip(
        path,
        { width, height, frameRate: 30, durationSeconds: 1 },
        { mode: "all", signal, ffmpeg: join(folder, "none") },
      )
    ).coverage.fault,
  ).toMatch(/\w/);
});

test("an abort ends the run at once", async () => {
  const path = await film("flicker", {});
  const stop = new AbortController();
  const running = measureClip(
    path,
    { width, height, frameRate, durationSeconds: 4 },
    { mode: "all", signal: stop.signal, ffmpeg },
  );
  stop.abort();
  await expect(running).rejects.toThrow(/abort/i);
});

test.each([
  ["h264", 2],
  ["h264", 5],
  ["hevc", 3],
] as const)(
  "noise as it went into %s, %i codes strong, is told within 2 dB and within its interval",
  async (codec, sigma) => {
    const scene = scenes.get("fields") ?? leaves();
    const shot = { scene, codec, noise: sigma / 219, frames: 40, pixelsPerFrame: 6.3 };
    const { noiseBeforeCoding: found } = await measure(await film(`noise ${codec} ${sigma}`, shot), 40);
    if (found.state !== "read") throw new Error(found.why);
    expect(Math.abs(20 * Math.log10((found.sigmaPercent * 2.19) / sigma))).toBeLessThan(2);
    expect(found.lowPercent * 2.19).toBeLessThan(sigma);
    expect(found.highPercent * 2.19).toBeGreaterThan(sigma);
  },
);

test.each([
  [8, false, 232, 18],
  [8, true, 251, 3],
  [10, false, 927, 72],
])(
  "%i bit, full range %s: clipped and crushed agree with all pixels counted by ffmpeg",
  async (bitDepth, fullRange, top, bottom) => {
    const how = { codec: "none", bitsPerPixel: 1, frameRate: "30", width, height, bitDepth, fullRange } as const;
    const bright = { ...leaves(), light: leaves().light.map((light) => (light - 0.3) * 2.2) };
    const take = { scene: bright, width, height, frames: 9, pixelsPerFrame: 6.3, shutterDegrees: 180 };
    const pictures = (): ReturnType<typeof codesOf> => codesOf(exposures(take), { noise: 0.004, bitDepth, fullRange });
    const path = await record(ffmpeg, folder, `clipped ${bitDepth} ${fullRange}`, pictures, how);
    const { exposure } = await measure(path, 9, { bitDepth, fullRange });
    if (exposure.state !== "read") throw new Error(exposure.why);
    const share = async (condition: string): Promise<number> => {
      const white = 2 ** bitDepth - 1;
      const chain = `lutyuv=y='if(${condition},${white},0)',signalstats,metadata=print:key=lavfi.signalstats.YAVG`;
      const means = [...(await filter(path, chain)).matchAll(/YAVG=([\d.]+)/g)].map((match) => Number(match[1]));
      expect(means.length).toBe(9);
      return means.reduce((a, b) => a + b, 0) / means.length / white;
    };
    // Picked pixels stand for all: a share of a few per cent from 250 000 of them.
    expect(Math.abs(exposure.clippedShare - (await share(`gte(val,${top})`)))).toBeLessThan(0.01);
    expect(Math.abs(exposure.crushedShare - (await share(`lte(val,${bottom})`)))).toBeLessThan(0.01);
    expect(exposure.clippedShare).toBeGreaterThan(0.02);
    expect(exposure.crushedShare).toBeGreaterThan(0.02);
  },
);

test("a retime inside the camera shows each picture twice, and says the rate it was taken at", async () => {
  const path = await film("retime", { order: (n) => Math.floor(n / 2), frames: 60, pixelsPerFrame: 6.3 });
  const { repeats } = await measure(path, 60);
  expect(repeats).toMatchObject({ state: "read", pattern: "regular", trueFramesPerSecond: 15 });
});
