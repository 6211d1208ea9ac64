import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { mkdir, stat } from "node:fs/promises";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { encode, type Encoder, findEncoder } from "../../../scripts/ffmpeg.ts";
import { measureClip } from "./measure-clip.ts";
import type { ClipOutline, Measurement } from "./measurement.ts";

const folder = ".cache/measure-tests/odd";
const { signal } = new AbortController();
let encoder: Encoder | undefined;
beforeAll(async () => {
  encoder = await findEncoder();
  await mkdir(folder, { recursive: true });
});

/** A moving picture, made once. */
async function clip(name: string, source: string, ...options: readonly string[]): Promise<string> {
  const path = join(folder, name);
  const there = await stat(path).catch(() => undefined);
  if (there === undefined && encoder !== undefined)
    await encode(encoder, ["-f", "lavfi", "-i", source, ...options, path]);
  return path;
}

async function measure(path: string, about: Partial<ClipOutline> = {}): Promise<Measurement> {
  const outline = { width: 640, height: 360, frameRate: 25, durationSeconds: 2, ...about };
  const found = await measureClip(path, outline, { mode: "all", signal, ffmpeg: encoder?.path ?? "" });
  // Whatever came in: an answer, or a reason.
  for (const answer of Object.values(found)) {
    if (!("state" in answer) || answer.state === "read") continue;
    expect(answer.why).toMatch(/\w{3}/);
  }
  expect(JSON.stringify(found)).not.toMatch(/null|undefined/);
  return found;
}

const moving = (size: string, rate = 25): string =>
  `testsrc2=s=1920x360:r=${rate},crop=640:360:x=4*n:y=0,scale=${size}`;
const plain = ["-t", "2", "-pix_fmt", "yuv420p", "-c:v", "libx264", "-preset", "ultrafast"];

test("fields woven into frames are combed, with the order of the fields; frames are not", async () => {
  const woven = ["-vf", "tinterlace=interleave_top", "-flags", "+ilme+ildct", ...plain];
  const combed = await measure(await clip("woven.mp4", moving("640:360", 50), ...woven));
  expect(combed.combing).toMatchObject({ state: "read", firstField: "top" });
  expect(combed.combing.state === "read" && combed.combing.combedShare).toBeGreaterThan(0.9);
  const whole = await measure(await clip("whole.mp4", moving("640:360"), ...plain));
  expect(whole.combing.state === "read" ? whole.combing.combedShare : 9).toBeLessThan(0.05);
});

test("a clip of one frame tells its levels, and of time nothing", async () => {
  const path = await clip("one.mp4", moving("640:360"), ...plain, "-frames:v", "1");
  const found = await measure(path, { durationSeconds: 0.04 });
  expect(found.coverage.frames).toBe(1);
  expect(found.exposure.state).toBe("read");
  for (const name of ["shutterAngle", "repeats", "flicker", "motion", "combing", "drift"] as const) {
    expect(found[name].state).toBe("cannot tell");
  }
});

test.each([
  ["101:57", 101, 57],
  ["642:34", 642, 34],
  ["48:1200", 48, 1200],
])("odd size %s is looked at", async (size, width, height) => {
  const path = await clip(`odd ${width}.mkv`, moving(size), "-t", "2", "-pix_fmt", "yuv444p", "-c:v", "ffv1");
  const found = await measure(path, { width, height });
  expect(found.coverage.frames).toBe(50);
  expect(found.exposure.state).toBe("read");
});

test("a size other than the stated one is a reason, or is looked at; never a throw", async () => {
  const path = await clip("whole.mp4", moving("640:360"), ...plain);
  await measure(path, { width: 320, height: 180 });
  await measure(path, { width: 3840, height: 2160 });
  await measure(path, { bitDepth: 10 });
});

test("a turned clip is looked at as it is stored", async () => {
  const path = await clip("turned.mp4", moving("640:360"), ...plain, "-metadata:s:v:0", "rotate=90");
  expect((await measure(path)).coverage.frames).toBe(50);
});

test("an uneven frame rate loses no frame", async () => {
  const path = await clip("uneven.mp4", moving("640:360"), "-vf", "select=mod(n\\,3)", "-vsync", "vfr", ...plain);
  const found = await measure(path);
  expect(found.coverage.frames).toBeGreaterThanOrEqual(33);
});

test("10 bit PQ is read in its own codes, and drifts by its own curve", async () => {
  const ten = ["-t", "2", "-pix_fmt", "yuv420p10le", "-c:v", "libx265", "-preset", "ultrafast"];
  const path = await clip("pq.mp4", moving("640:360"), ...ten, "-x265-params", "log-level=none:transfer=16");
  const found = await measure(path, { bitDepth: 10, transfer: "smpte2084" });
  expect(found.exposure).toMatchObject({ state: "read", codes: { bitDepth: 10 } });
  expect(found.exposure.state === "read" ? found.exposure.codes.most : 0).toBeGreaterThan(600);
});

test("sound alone has no picture", async () => {
  const path = await clip("sound.m4a", "sine=d=2", "-c:a", "aac");
  const found = await measure(path);
  expect(found.coverage.frames).toBe(0);
  expect(found.noise.state).toBe("cannot tell");
});

test("a clip that breaks off is read as far as it goes, with the fault", async () => {
  const path = await clip("front.mp4", moving("640:360"), ...plain, "-movflags", "+faststart");
  const bytes = readFileSync(path);
  const cut = join(folder, "cut.mp4");
  writeFileSync(cut, bytes.subarray(0, Math.round(bytes.length * 0.6)));
  const found = await measure(cut);
  expect(found.coverage.frames).toBeGreaterThan(10);
  expect(found.coverage.frames).toBeLessThan(50);
  expect(found.coverage.fault).toMatch(/\w/);
});

test("a clip with spoilt bytes gives answers or reasons, and says that something is wrong", async () => {
  const path = await clip("front.mp4", moving("640:360"), ...plain, "-movflags", "+faststart");
  const bytes = Buffer.from(readFileSync(path));
  for (let i = Math.round(bytes.length * 0.3); i < bytes.length; i += 997) bytes[i] = (bytes[i] ?? 0) ^ 0x55;
  const spoilt = join(folder, "spoilt.mp4");
  writeFileSync(spoilt, bytes);
  const found = await measure(spoilt);
  expect(found.coverage.fault).toMatch(/\w/);
});

test("an ffmpeg that does not change the size of pictures when told gives a reason, and no number", async () => {
  const path = await clip("long.mp4", moving("640:360", 4), ...plain.map((option) => (option === "2" ? "6" : option)));
  // Beside no package: a program without an ending is a script of the old kind there.
  const deaf = join(mkdtempSync(join(tmpdir(), "goodgate-odd-")), "ffmpeg");
  const body = `#!/usr/bin/env node
    const { spawnSync } = require("node:child_process");
    const asked = process.argv.slice(2).map((word) => word.replace(/sendcmd=c='[^']*',/, ""));
    process.exit(spawnSync(${JSON.stringify(encoder?.path)}, asked, { stdio: "inherit" }).status);`;
  writeFileSync(deaf, body, { mode: 0o755 });
  const outline = { width: 640, height: 360, frameRate: 4, durationSeconds: 6 };
  const well = await measureClip(path, outline, { mode: "all", signal, ffmpeg: encoder?.path ?? "" });
  expect([well.coverage.frames, well.coverage.fault, well.exposure.state]).toEqual([24, undefined, "read"]);
  const awry = await measureClip(path, outline, { mode: "all", signal, ffmpeg: deaf });
  expect(awry.coverage).toMatchObject({ frames: 0, fault: expect.stringContaining("other sizes") as string });
  expect(awry.exposure.state).toBe("cannot tell");
  rmSync(dirname(deaf), { recursive: true });
});

test("an absurdly low frame rate is looked at as any other", async () => {
  const path = await clip("whole.mp4", moving("640:360"), ...plain);
  const found = await measure(path, { frameRate: 0.1, durationSeconds: 500 });
  expect([found.coverage.frames, found.coverage.fault]).toEqual([50, undefined]);
  // Nothing that is looked at every ten seconds shows a pulse.
  expect([found.exposure.state, found.flicker.state]).toEqual(["read", "cannot tell"]);
});
