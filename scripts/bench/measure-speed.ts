// usage: tsx scripts/bench/measure-speed.ts [10s] [1min] [10min] [4k] [all|sample] [rounds=3]   (Linux; after npm run build)
// What `audit --measure` adds to an audit, against ffmpeg decoding the same clip to nothing at the same size, turn by turn:
// processor time of every process, wall clock, and the highest memory of either program.
import { execFile, spawn } from "node:child_process";
import { existsSync, linkSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { join, resolve } from "node:path";
import { promisify } from "node:util";
import { findEncoder } from "../ffmpeg.ts";

const asked = process.argv.slice(2);
const rounds = Number(asked.find((word) => word.startsWith("rounds="))?.slice(7) ?? 3);
const picked = (["all", "sample"] as const).filter((mode) => asked.includes(mode));
const modes = picked.length > 0 ? picked : (["all", "sample"] as const);
const encoder = await findEncoder();
const ffmpeg = process.env.FFMPEG_PATH ?? "ffmpeg";
const cache = ".cache/measure";
/** No time limit: three seconds of 4K take minutes. */
const encode = (...args: readonly string[]): Promise<unknown> =>
  promisify(execFile)(encoder.path, ["-v", "error", "-nostdin", "-y", ...args]);

/** Clips by name: seconds, size, encoder, depth. Long ones are short ones looped by copying. */
const clips = {
  "10s": [10, "1920x1080", "libx264", 8],
  "1min": [60, "1920x1080", "libx264", 8],
  "10min": [600, "1920x1080", "libx264", 8],
  "4k": [10, "3840x2160", "libx265", 10],
} as const;

/** ffmpeg's own test picture with grain, 0.4 bit a pixel, a key frame a second. */
async function clipOf(name: keyof typeof clips): Promise<string> {
  mkdirSync(cache, { recursive: true });
  const [seconds, size, codec, depth] = clips[name];
  const [wide, high] = size.split("x").map(Number) as [number, number];
  const base = join(cache, `speed-${codec}-${wide}-${depth}.mp4`);
  const baseSeconds = wide > 1920 ? 3 : 10;
  const source = `testsrc2=s=${size}:r=30,noise=alls=8:allf=t`;
  const how = ["-pix_fmt", depth === 10 ? "yuv420p10le" : "yuv420p", "-c:v", codec, "-preset", "ultrafast", "-g", "30"];
  if (!existsSync(base)) {
    const rate = `${Math.round(wide * high * 30 * 0.4)}`;
    await encode("-f", "lavfi", "-i", source, "-t", `${baseSeconds}`, ...how, "-b:v", rate, base);
  }
  const path = join(cache, `speed-${name}.mp4`);
  const loops = `${Math.ceil(seconds / baseSeconds) - 1}`;
  if (!existsSync(path)) await encode("-stream_loop", loops, "-i", base, "-c", "copy", "-t", `${seconds}`, path);
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

async function compare(name: keyof typeof clips): Promise<void> {
  const clip = await clipOf(name);
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
    `${name}: decode ${told(of("decode", "processor"))} s processor, ${told(of("decode", "wall"))} s wall, ${of("decode", "own").toFixed(0)} MiB; audit alone ${told(of("none", "processor"))} s processor`,
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
for (const name of wanted.length > 0 ? wanted : names) await compare(name);
