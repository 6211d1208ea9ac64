import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { chmod, mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Clip, ratioText, valueOf } from "@goodgate/model";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { captureRateKey } from "../../../fixtures/published-names.ts";
import { findCard } from "./card/find-card.ts";
import { be, keysBox, makeMovie, pictureEntry, soundEntry } from "./containers/isobmff/make-movie.ts";
import type { FfprobeProgram, ReadOptions } from "./contracts.ts";
import { readClip } from "./read-clip.ts";

const never = new AbortController().signal;
let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-clip-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

const picture = {
  handler: "vide",
  entry: pictureEntry("avc1", 1920, 1080),
  timescale: 25,
  durations: [[50, 1]] as const,
  sizes: Array.from({ length: 50 }, () => 20),
};
/** Two seconds at 25 frames a second; the clock is 2031-04-05 06:07:08 UTC, counted from 1904. */
const movie = (more: Partial<Parameters<typeof makeMovie>[0]> = {}): Uint8Array =>
  makeMovie({
    tracks: [picture],
    movieTicks: 2000,
    clock: Date.UTC(2031, 3, 5, 6, 7, 8) / 1000 + 2_082_844_800,
    ...more,
  });

const cueTime = (frame: number): string =>
  `00:00:0${Math.floor(frame / 25)},${String((frame % 25) * 40).padStart(3, "0")}`;

/** Two seconds of cues, one a frame, as bracketed pairs. */
const cues = (iso: number, shutter: string): string =>
  Array.from({ length: 50 }, (_, frame) => {
    return `${frame + 1}\n${cueTime(frame)} --> ${cueTime(frame + 1)}\n[iso: ${iso}] [shutter: ${shutter}] [fnum: 2.8] [ev: 0]\n`;
  }).join("\n");

async function put(name: string, content: Uint8Array | string): Promise<void> {
  const path = join(folder, name);
  await mkdir(join(path, ".."), { recursive: true });
  await writeFile(path, content);
}

async function clipsOf(options: Partial<ReadOptions> = {}): Promise<readonly Clip[]> {
  const card = await findCard([folder], never);
  return await Promise.all(card.clips.map((found) => readClip(found, { signal: never, ...options })));
}
async function onlyClip(options: Partial<ReadOptions> = {}): Promise<Clip> {
  const [clip, ...others] = await clipsOf(options);
  if (clip === undefined || others.length > 0) throw new Error("one clip was expected");
  return clip;
}

test("a clip with a subtitle, an XML and an XMP beside it: each fact from the source that ranks first", async () => {
  await put("C0001.MP4", movie({ more: keysBox({ [captureRateKey]: 120 }) }));
  await put("C0001.SRT", cues(100, "1/500.0"));
  await put(
    "C0001M01.XML",
    `<M xmlns="urn:x"><VideoFrame captureFps="100p" formatFps="25p"/><CreationDate value="2031-04-05T08:07:08+02:00"/></M>`,
  );
  await put(
    "C0001.xmp",
    `<x:xmpmeta xmlns:x="adobe:ns:meta/"><r:RDF xmlns:r="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><r:Description xmlns:c="http://cipa.jp/exif/1.0/" c:PhotographicSensitivity="800"/></r:RDF></x:xmpmeta>`,
  );
  const { facts, readers, cost } = await onlyClip();
  expect(facts.structure).toMatchObject({ state: "read" });
  const rate = valueOf(facts.frameRate);
  expect(rate === undefined ? "" : ratioText(rate)).toBe("25/1");
  expect(facts.captureRate).toMatchObject({
    value: { numerator: 100n, denominator: 1n },
    origin: { file: "C0001M01.XML" },
    witnesses: [{ value: { numerator: 120n }, agrees: false, origin: { file: "C0001.MP4" } }],
  });
  expect(facts.iso).toMatchObject({
    value: { values: [100], coverage: 1 },
    origin: { file: "C0001.SRT" },
    witnesses: [{ origin: { file: "C0001.xmp" }, agrees: false }],
  });
  const shutter = valueOf(facts.shutterSeconds)?.values[0];
  expect(shutter === undefined ? "" : ratioText(shutter)).toBe("1/500");
  expect(facts.createdAt).toMatchObject({ origin: { file: "C0001M01.XML" }, witnesses: [{ agrees: true }] });
  expect(readers).toEqual(["goodgate"]);
  expect(cost.bytes).toBeGreaterThan(0);
  expect(cost.neededBytes).toBeGreaterThan(cues(100, "1/500.0").length);
});

test("a clock ahead of the file's last write is doubted", async () => {
  await put("a.MP4", movie());
  expect(valueOf((await onlyClip()).facts.createdAt)?.suspect).toBe("in the future");
});

test("what cannot be read is damage with a reason, never an exception", async () => {
  await put("empty.MP4", "");
  await put("words.MP4", "this is only text\n");
  await put("zeros.MOV", new Uint8Array(5000));
  await put(
    "noise.MXF",
    Uint8Array.from({ length: 5000 }, (_, place) => (place * 7919 + 131) % 251),
  );
  const clips = await clipsOf();
  expect(
    clips.map((clip) => [clip.name, clip.facts.structure?.state === "damaged" ? clip.facts.structure.why : "?"]),
  ).toEqual([
    ["empty.MP4", "the file is empty"],
    ["noise.MXF", "does not begin as any container goodgate knows"],
    ["words.MP4", "holds text, not pictures"],
    ["zeros.MOV", "begins with zeros: the data was never written"],
  ]);
});

test("a file that vanishes, or turns into a folder, between finding and reading is damage", async () => {
  await put("gone.MP4", movie());
  await put("folder.MP4", movie());
  const card = await findCard([folder], never);
  await rm(join(folder, "gone.MP4"));
  await rm(join(folder, "folder.MP4"));
  await mkdir(join(folder, "folder.MP4"));
  const clips = await Promise.all(card.clips.map((found) => readClip(found, { signal: never })));
  expect(clips.map((clip) => clip.facts.structure)).toMatchObject([
    { state: "damaged", why: "cannot be read: it is not a regular file" },
    { state: "damaged", why: "cannot be read: it is not there" },
  ]);
});

test("a sidecar that vanishes or is broken spoils only itself", async () => {
  await put("a.MP4", movie());
  await put("a.SRT", cues(100, "1/500"));
  await put("aM01.XML", `<M><VideoFrame captureFps="100p"`);
  const card = await findCard([folder], never);
  await rm(join(folder, "a.SRT"));
  const [found] = card.clips;
  if (found === undefined) throw new Error("no clip");
  const { facts } = await readClip(found, { signal: never });
  expect(facts.structure).toMatchObject({ state: "read" });
  expect(facts.telemetry).toMatchObject({ state: "damaged", why: "cannot be read: it is not there" });
  expect(facts.captureRate).toMatchObject({ state: "damaged", why: expect.stringContaining("not well formed") });
  expect(facts.createdAt).toMatchObject({ state: "read" });
});

test("subtitles of spoken words are no telemetry, and the reason is told", async () => {
  await put("a.MP4", movie());
  await put("a.SRT", "1\n00:00:00,000 --> 00:00:02,000\nSet the ISO to 400 now.\n");
  expect((await onlyClip()).facts.telemetry).toMatchObject({ state: "absent", why: expect.stringContaining("a.SRT") });
});

test("sound alone is no footage, and neither is a picture under a clip's name", async () => {
  const sound = {
    handler: "soun",
    entry: soundEntry("mp4a", 2, 16, 48000),
    timescale: 48000,
    durations: [[10, 1024]] as const,
    sizes: Array.from({ length: 10 }, () => 4),
  };
  await put("a.MP4", makeMovie({ tracks: [sound] }));
  await put("b.MP4", Uint8Array.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 0, 0, 0, 0]));
  expect((await clipsOf()).map((clip) => clip.notFootage)).toEqual([
    "no picture track: sound or data only",
    "a still picture",
  ]);
});

test("a low-resolution copy is read for its own facts and never for telemetry", async () => {
  await put("AB010001.MP4", movie());
  await put(
    "AB010001.LRV",
    makeMovie({ tracks: [{ ...picture, entry: pictureEntry("avc1", 480, 270) }], movieTicks: 2000 }),
  );
  const clip = await onlyClip();
  expect(valueOf(clip.facts.width)).toBe(1920);
  expect(clip.proxyFacts === undefined ? undefined : valueOf(clip.proxyFacts.width)).toBe(480);
  expect(clip.files.map((file) => file.role)).toEqual(["original", "proxy"]);
});

test("an abort is the one thing that is thrown", async () => {
  await put("a.MP4", movie());
  const [found] = (await findCard([folder], never)).clips;
  if (found === undefined) throw new Error("no clip");
  await expect(readClip(found, { signal: AbortSignal.abort() })).rejects.toThrow(/abort/i);
});

test.skipIf(process.platform !== "linux")("every file that was opened is closed again, damaged or not", async () => {
  await put("a.MP4", movie());
  await put("a.SRT", cues(100, "1/500"));
  await put("b.MP4", movie().subarray(0, 900));
  await put("c.MP4", "");
  await clipsOf();
  const before = readdirSync("/proc/self/fd").length;
  for (let round = 0; round < 10; round += 1) await clipsOf();
  expect(readdirSync("/proc/self/fd").length).toBeLessThan(before + 5);
});

test("a clip cut anywhere gives a clip, and a cut one is never whole without saying so", async () => {
  const whole = movie();
  for (let length = 0; length < whole.length; length += Math.ceil(whole.length / 60)) {
    await put("a.MP4", whole.subarray(0, length));
    const clip = await onlyClip();
    expect([length, clip.facts.structure?.state]).toEqual([length, "damaged"]);
  }
});

test("a container for which there is no program is named, its bounds checked, and the rest unknown with the reason", async () => {
  await put(
    "a.mkv",
    Buffer.concat([Buffer.from("1a45dfa38442868101", "hex"), Buffer.from("1853806784", "hex"), be(4, 0)]),
  );
  const { facts } = await onlyClip();
  expect(valueOf(facts.container)).toBe("matroska");
  expect(facts.structure).toMatchObject({ state: "read" });
  expect(facts.frameRate).toEqual({ state: "absent", why: "no ffprobe to read matroska with" });
});

async function program(body: string): Promise<() => Promise<FfprobeProgram>> {
  const path = join(folder, "a program.bin");
  await writeFile(path, `#!${process.execPath}\n${body}`);
  await chmod(path, 0o755);
  return async () => ({ path, version: "6.0", from: "setting" });
}

describe.skipIf(process.platform === "win32")("with a program in ffprobe's place", () => {
  const matroska = Buffer.concat([
    Buffer.from("1a45dfa38442868101", "hex"),
    Buffer.from("1853806784", "hex"),
    be(4, 0),
  ]);

  test("garbage and refusal are damage in one line", async () => {
    await put("a.mkv", matroska);
    const garbage = await onlyClip({ ffprobe: await program(`console.log("no JSON")`) });
    expect(garbage.facts.structure).toMatchObject({
      state: "damaged",
      why: "ffprobe 6.0 cannot read it: its answer is not JSON",
    });
    const refusing = await onlyClip({
      ffprobe: await program(`console.error(process.argv.at(-1) + ": End of file"); process.exit(1)`),
    });
    expect(refusing.facts.structure).toMatchObject({
      state: "damaged",
      why: "ffprobe 6.0 cannot read it: End of file",
    });
    expect(refusing.readers).toEqual(["ffprobe 6.0"]);
  });

  test("a second reader's contradictions are listed, and ours stand", async () => {
    await put("a.MP4", movie());
    const stream = {
      index: 0,
      codec_type: "video",
      codec_name: "h264",
      width: 1280,
      height: 1080,
      avg_frame_rate: "24/1",
      nb_frames: "50",
      duration: "2.0",
    };
    const answer = JSON.stringify({ streams: [stream], format: { format_name: "mov,mp4" } });
    const clip = await onlyClip({
      ffprobe: await program(`console.log(${JSON.stringify(answer)})`),
      secondReader: true,
    });
    expect(clip.disagreements).toEqual([
      { fact: "frameRate", ours: "25/1", theirs: "24/1", reader: "ffprobe 6.0" },
      { fact: "width", ours: "1920", theirs: "1280", reader: "ffprobe 6.0" },
    ]);
    expect(valueOf(clip.facts.width)).toBe(1920);
    expect(clip.readers).toEqual(["goodgate", "ffprobe 6.0"]);
  });

  test("a codec our own reader does not know is asked of ffprobe, and the rest stays ours", async () => {
    await put("a.MP4", movie({ tracks: [{ ...picture, entry: pictureEntry("zzzz", 1920, 1080) }] }));
    const stream = {
      index: 0,
      codec_type: "video",
      codec_name: "wonder",
      width: 1280,
      height: 720,
      pix_fmt: "yuv422p10le",
    };
    const answer = JSON.stringify({ streams: [stream], format: { format_name: "mov,mp4" } });
    const clip = await onlyClip({ ffprobe: await program(`console.log(${JSON.stringify(answer)})`) });
    expect(clip.readers).toEqual(["goodgate", "ffprobe 6.0"]);
    expect(clip.facts.codec).toMatchObject({ value: "wonder", origin: { reader: "ffprobe 6.0" } });
    expect(valueOf(clip.facts.bitDepth)).toBe(10);
    expect(valueOf(clip.facts.width)).toBe(1920);
    expect(clip.disagreements).toBeUndefined();
    const alone = await onlyClip();
    expect(alone.facts.codec).toMatchObject({ state: "absent" });
  });

  test("a second reader that agrees is told from none", async () => {
    await put("a.MP4", movie());
    const stream = {
      index: 0,
      codec_type: "video",
      codec_name: "h264",
      width: 1920,
      height: 1080,
      avg_frame_rate: "25/1",
    };
    const answer = JSON.stringify({ streams: [stream], format: { format_name: "mov,mp4" } });
    const ffprobe = await program(`console.log(${JSON.stringify(answer)})`);
    expect((await onlyClip({ ffprobe, secondReader: true })).disagreements).toEqual([]);
    expect((await onlyClip({ ffprobe })).disagreements).toBeUndefined();
  });

  test("no program is asked about a container we read ourselves", async () => {
    await put("a.MP4", movie());
    const clip = await onlyClip({
      ffprobe: () => {
        throw new Error("asked");
      },
    });
    expect(clip.facts.structure).toMatchObject({ state: "read" });
  });
});

const source = (file: string): string => JSON.stringify(fileURLToPath(new URL(file, import.meta.url)));

test("the machine's zone and language change nothing", async () => {
  await put("C0001.MP4", movie());
  await put("C0001.SRT", cues(100, "1/500").replaceAll("[iso", "2031-04-05 08:07:08,000\n[iso"));
  await put("C0001M01.XML", `<M><CreationDate value="2031-04-05T08:07:08"/></M>`);
  const script = `
    const { findCard } = await import(${source("./card/find-card.ts")});
    const { readClip } = await import(${source("./read-clip.ts")});
    const signal = new AbortController().signal;
    for (const zone of ["UTC", "America/New_York", "Asia/Kathmandu"]) {
      process.env.TZ = zone;
      const card = await findCard([${JSON.stringify(folder)}], signal);
      const clip = await readClip(card.clips[0], { signal });
      const { milliseconds, ...cost } = clip.cost;
      const text = JSON.stringify({ ...clip, cost }, (_, value) => (typeof value === "bigint" ? String(value) : value));
      console.log(new Date(0).getTimezoneOffset() + " " + text);
    }`;
  const runner = fileURLToPath(new URL("../../../node_modules/tsx/dist/cli.mjs", import.meta.url));
  const lines = execFileSync(process.execPath, [runner, "--input-type=module", "-e", script], {
    env: { ...process.env, LANG: "tr_TR.UTF-8", LC_ALL: "tr_TR.UTF-8" },
    encoding: "utf8",
  }).trim();
  const [utc, west, east] = lines.split("\n").map((line) => /^(-?\d+) (.*)$/.exec(line)?.slice(1) ?? []);
  expect(utc?.[1]).toContain("2031-04-05T06:07:08Z");
  // The offsets prove that the zones were in force.
  expect([utc?.[0], west?.[0], east?.[0]]).toEqual(["0", "300", "-330"]);
  expect([west?.[1], east?.[1]]).toEqual([utc?.[1], utc?.[1]]);
});
