// usage: tsx scripts/bench/measure-speed.ts [10s] [1min] [10min] [4k] [camera|cheapest] [all|sample] [rounds=3]   (Linux; after npm run build)
// What `audit --measure` adds to an audit, against ffmpeg decoding the same clip to nothing at the same size, turn by turn:
// processor time of every process, wall clock, and the highest memory of either program.
import { execFile, spawn } from "node:child_process";
import { existsSync, linkSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { join, resolve } from "node:path";
import { promisify } from "node:util";
import { record } from "../../packages/measure/truth/encode.ts";
import { codes } from "../../packages/measure/truth/film.ts";
import { texturedScene } from "../../packages/measure/truth/scenes.ts";
import { findEncoder } from "../ffmpeg.ts";

const asked = process.argv.slice(2);
const rounds = Number(asked.find((word) => word.startsWith("rounds="))?.slice(7) ?? 3);
const picked = (["all", "sample"] as const).filter((mode) => asked.includes(mode));
const modes = picked.length > 0 ? picked : (["all", "sample"] as const);
const codings = (["camera", "cheapest"] as const).filter((coding) => asked.includes(coding));
const encoder = await findEncoder();
const ffmpeg = process.env.FFMPEG_PATH ?? "ffmpeg";
const cache = ".cache/measure";
/** No time limit: three seconds of 4K take minutes. */
const encode = (...args: readonly string[]): Promise<unknown> =>
  promisify(execFile)(encoder.path, ["-v", "error", "-nostdin", "-y", ...args]);

/** Clips by name: seconds, size, depth, seconds that are filmed; the rest are those looped by copying. */
const clips = {
  "10s": { seconds: 10, width: 1920, height: 1080, bitDepth: 8, filmed: 10 },
  "1min": { seconds: 60, width: 1920, height: 1080, bitDepth: 8, filmed: 10 },
  "10min": { seconds: 600, width: 1920, height: 1080, bitDepth: 8, filmed: 10 },
  "4k": { seconds: 10, width: 3840, height: 2160, bitDepth: 10, filmed: 3 },
} as const;
/**
 * `camera`: a pan over a textured scene, coded with all that cameras' encoders use (arithmetic coding, filters of block
 * edges, large transforms), no B frames. `cheapest`: ffmpeg's test picture with grain, without any of these (1080p
 * alone), so that decoding costs as little as it can. Both 0.4 bit a pixel, a key frame a second.
 */
type Coding = "camera" | "cheapest";
const bitsPerPixel = 0.4;
const frameRate = 30;

async function clipOf(name: keyof typeof clips, coding: Coding): Promise<string> {
  mkdirSync(cache, { recursive: true });
  const { seconds, filmed } = clips[name];
  const base = await (coding === "camera" ? panOf(clips[name]) : grainOf());
  if (seconds === filmed) return base;
  const path = join(cache, `speed-${coding}-${name}.mp4`);
  const loops = `${Math.ceil(seconds / filmed) - 1}`;
  if (!existsSync(path)) await encode("-stream_loop", loops, "-i", base, "-c", "copy", "-t", `${seconds}`, path);
  return path;
}

async function panOf({ width, height, bitDepth, filmed }: (typeof clips)[keyof typeof clips]): Promise<string> {
  const [codec, preset] = bitDepth === 8 ? (["h264", "superfast"] as const) : (["hevc", "veryfast"] as const);
  return await record(
    encoder.path,
    cache,
    `speed-${filmed}`,
    () => {
      const scene = texturedScene("leaves", width === 1920 ? 4096 : 8192, height, 5);
      const frames = filmed * frameRate;
      // A hundredth of the width and half the time open: a steady pan, filmed by the rule.
      const pixelsPerFrame = 20.3 * (width / 1920);
      return codes({ scene, width, height, frames, pixelsPerFrame, shutterDegrees: 180, noise: 0.008, bitDepth });
    },
    {
      codec,
      bitsPerPixel,
      frameRate: `${frameRate}`,
      width,
      height,
      bitDepth,
      encoderOptions: ["-preset", preset, "-bf", "0"],
    },
  );
}

async function grainOf(): Promise<string> {
  const path = join(cache, "speed-cheapest.mp4");
  const source = `testsrc2=s=1920x1080:r=${frameRate},noise=alls=8:allf=t`;
  const how = ["-pix_fmt", "yuv420p", "-c:v", "libx264", "-preset", "ultrafast", "-g", `${frameRate}`];
  const rate = `${Math.round(1920 * 1080 * frameRate * bitsPerPixel)}`;
  if (!existsSync(path)) await encode("-f", "lavfi", "-i", source, "-t", "10", ...how, "-b:v", rate, path);
  return path;
}

interface Cost {
  readonly processor: number;
  readonly wall: number;
  /** Highest memory in MiB of the program itself, and of an ffmpeg it started. */
  readonly own: number;
  readonly ffmpeg: number;
}

/** Processor time in seconds of all ended children of this process and of theirs (proc(5): cutime, cstime). */
function spentByChildren(): number {
  const fields = readFileSync("/proc/self/stat", "utf8").split(") ")[1]?.split(" ") ?? [];
  return (Number(fields[13]) + Number(fields[14])) / 100;
}

const peakOf = (pid: number): number => {
  try {
    return Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, "utf8"))?.[1] ?? 0) / 1024;
  } catch {
    return 0;
  }
};
const childrenOf = (pid: number): readonly number[] => {
  try {
    return readdirSync(`/proc/${pid}/task`).flatMap((task) =>
      readFileSync(`/proc/${pid}/task/${task}/children`, "utf8").split(" ").filter(Boolean).map(Number),
    );
  } catch {
    return [];
  }
};

async function run(program: string, args: readonly string[]): Promise<Cost> {
  const before = spentByChildren();
  const began = performance.now();
  const child = spawn(program, args, { stdio: "ignore" });
  let [own, below] = [0, 0];
  const watch = setInterval(() => {
    own = Math.max(own, peakOf(child.pid ?? 0));
    for (const pid of childrenOf(child.pid ?? 0)) below = Math.max(below, peakOf(pid));
  }, 100);
  await new Promise((done, failed) => child.on("close", done).on("error", failed));
  clearInterval(watch);
  const wall = (performance.now() - began) / 1000;
  return { processor: spentByChildren() - before, wall, own, ffmpeg: below };
}

const middle = (values: readonly number[]): number =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;
const told = (value: number): string => value.toFixed(2);

async function compare(name: keyof typeof clips, coding: Coding): Promise<void> {
  const clip = await clipOf(name, coding);
  // The clip lies on a card of its own, by a hard link: nothing is copied.
  const folder = mkdtempSync(join(resolve(cache), "card-"));
  const media = join(folder, "DCIM", "100MEDIA");
  mkdirSync(media, { recursive: true });
  linkSync(clip, join(media, "CLIP0001.MP4"));
  const audit = (...options: readonly string[]): Promise<Cost> =>
    run(process.execPath, ["packages/cli/dist/goodgate.js", "audit", "--fresh", ...options, folder]);
  const runs: Record<"decode" | "none" | "all" | "sample", Cost[]> = { decode: [], none: [], all: [], sample: [] };
  try {
    for (let n = 0; n < rounds; n += 1) {
      runs.decode.push(await run(ffmpeg, ["-v", "error", "-i", clip, "-vf", "scale=512:-2", "-an", "-f", "null", "-"]));
      runs.none.push(await audit());
      for (const mode of modes) runs[mode].push(await audit(`--measure=${mode}`));
    }
  } finally {
    rmSync(folder, { recursive: true });
  }
  const of = (kind: keyof typeof runs, what: keyof Cost): number => middle(runs[kind].map((cost) => cost[what]));
  console.log(
    `${name} ${coding}: decode ${told(of("decode", "processor"))} s processor, ${told(of("decode", "wall"))} s wall, ${of("decode", "own").toFixed(0)} MiB; audit alone ${told(of("none", "processor"))} s processor`,
  );
  for (const mode of modes) {
    const added = (what: "processor" | "wall"): number => of(mode, what) - of("none", what);
    const each = runs[mode].map(
      (cost, n) => (cost.processor - (runs.none[n]?.processor ?? 0)) / (runs.decode[n]?.processor ?? 1),
    );
    console.log(
      `  ${mode}: adds ${told(added("processor"))} s processor = ${(added("processor") / of("decode", "processor")).toFixed(3)} × (${each.map((x) => x.toFixed(3)).join(" ")}), ${told(added("wall"))} s wall = ${(added("wall") / of("decode", "wall")).toFixed(3)} ×; memory ${of(mode, "own").toFixed(0)} + ${of(mode, "ffmpeg").toFixed(0)} MiB`,
    );
  }
}

const names = Object.keys(clips) as (keyof typeof clips)[];
const wanted = names.filter((name) => asked.includes(name));
for (const name of wanted.length > 0 ? wanted : names) {
  for (const coding of codings.length > 0 ? codings : (["camera", "cheapest"] as const)) {
    // One depth and size is enough to tell what the cheapest stream leaves.
    if (coding === "camera" || clips[name].bitDepth === 8) await compare(name, coding);
  }
}
