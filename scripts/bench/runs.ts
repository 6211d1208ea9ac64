// Not run by itself: starts processes, times them, and sums up several runs.
import { type SpawnSyncOptions, spawnSync } from "node:child_process";
import { cpSync, existsSync, mkdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { build } from "esbuild";
import { cardsFolder } from "./cards.ts";
import type { Measured } from "./worker.ts";

/** The middle and the ends of several runs. */
export interface Spread {
  readonly least: number;
  readonly median: number;
  readonly most: number;
}

/** Least, median and most. */
export function spreadOf(values: readonly number[]): Spread {
  const sorted = [...values].sort((a, b) => a - b);
  const at = (place: number): number => sorted[Math.max(0, Math.min(sorted.length - 1, place))] ?? Number.NaN;
  const middle = (sorted.length - 1) / 2;
  return { least: at(0), median: (at(Math.floor(middle)) + at(Math.ceil(middle))) / 2, most: at(sorted.length - 1) };
}

/** Ratios run by run, so that what slows the machine down slows both sides. */
export const ratios = (ours: readonly number[], theirs: readonly number[]): Spread =>
  spreadOf(ours.map((value, place) => value / (theirs[place] ?? Number.NaN)));

/** Runs each piece of work in turn, `rounds` times over, after one round that is not counted. */
export async function alternate<Name extends string>(
  rounds: number,
  works: Readonly<Record<Name, () => number | Promise<number>>>,
): Promise<Record<Name, number[]>> {
  const names = Object.keys(works) as Name[];
  const found = Object.fromEntries(names.map((name) => [name, []])) as unknown as Record<Name, number[]>;
  for (let round = 0; round <= rounds; round += 1) {
    for (const name of names) {
      const value = await works[name]();
      // The first round brings files and programs into memory.
      if (round > 0) found[name].push(value);
    }
  }
  return found;
}

const packageFolder = join(import.meta.dirname, "../../packages/cli");
/** The program as it was built when the bench began: a build meanwhile must not change what is measured. */
export const program = join(cardsFolder, "program/dist/goodgate.js");

/** Takes a copy of the built program; false when there is none. */
export function takeProgram(): boolean {
  const built = join(packageFolder, "dist");
  if (!existsSync(join(built, "goodgate.js"))) return false;
  const folder = join(cardsFolder, "program");
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder, { recursive: true });
  cpSync(built, join(folder, "dist"), { recursive: true });
  symlinkSync(join(packageFolder, "node_modules"), join(folder, "node_modules"), "junction");
  return true;
}

/** What running a process took. */
export interface Run {
  readonly milliseconds: number;
  readonly stdout: string;
  readonly code: number | null;
  /** Largest resident memory in bytes; only of programs that run on Node. */
  readonly memoryBytes: number;
  readonly processorMilliseconds: number;
  /** Time to the first byte on stdout. */
  readonly firstMilliseconds?: number;
}

const peakFile = join(cardsFolder, "peak.txt");
/** Writes what the process used when it ends. */
const peakHook = `data:text/javascript,${encodeURIComponent(
  `import { writeFileSync } from "node:fs";
   process.on("exit", () => {
     const used = process.cpuUsage();
     writeFileSync(process.env.BENCH_PEAK, process.resourceUsage().maxRSS + " " + (used.user + used.system) / 1000);
   });`,
)}`;

/** Runs a program to its end. */
export function run(command: string, args: readonly string[], options: SpawnSyncOptions = {}): Run {
  const began = performance.now();
  const done = spawnSync(command, args, { maxBuffer: 1 << 30, ...options, encoding: "utf8" });
  const milliseconds = performance.now() - began;
  if (done.error !== undefined) throw done.error;
  return { milliseconds, stdout: String(done.stdout), code: done.status, memoryBytes: 0, processorMilliseconds: 0 };
}

/** Runs goodgate and looks at its memory. */
export function runProgram(args: readonly string[], env: Readonly<Record<string, string>> = {}): Run {
  rmSync(peakFile, { force: true });
  const done = run(process.execPath, ["--import", peakHook, program, ...args], {
    env: { ...process.env, NO_COLOR: "1", ...env, BENCH_PEAK: peakFile },
  });
  if (done.code !== 0 && done.code !== 1) throw new Error(`goodgate ${args.join(" ")} gave ${done.code}`);
  const [peak = 0, processorMilliseconds = 0] = readFileSync(peakFile, "utf8").split(" ").map(Number);
  return { ...done, memoryBytes: peak * 1024, processorMilliseconds };
}

const workerFile = join(cardsFolder, "worker/worker.mjs");

/** Bundles the worker, so that no compiler runs in what is measured. */
export async function buildWorker(): Promise<void> {
  mkdirSync(cardsFolder, { recursive: true });
  await build({
    entryPoints: { worker: join(import.meta.dirname, "worker.ts") },
    outdir: join(cardsFolder, "worker"),
    outExtension: { ".js": ".mjs" },
    bundle: true,
    splitting: true,
    platform: "node",
    target: "node20",
    format: "esm",
    external: ["fluent-ffmpeg", "ffprobe-static"],
    loader: { ".eta": "text", ".css": "text", ".client.js": "text" },
    logLevel: "error",
    banner: {
      js: "import{createRequire as __createRequire}from'node:module';const require=__createRequire(import.meta.url);",
    },
  });
}

/** Runs one piece of work of the worker in a process of its own. */
export function runWorker(work: string, options: object): Measured {
  const done = run(process.execPath, [workerFile, work, JSON.stringify(options)], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  if (done.code !== 0) throw new Error(`worker ${work} failed`);
  return JSON.parse(done.stdout) as Measured;
}

/** Empties the machine's memory of files (proc(5): drop_caches); false where that is not allowed or not known. */
export function forgetFiles(): boolean {
  try {
    run("sync", []);
    writeFileSync("/proc/sys/vm/drop_caches", "3");
    return true;
  } catch {
    return false;
  }
}

/** Whether a program is on PATH, and its version line. */
export function versionOf(command: string, flag: string): string | undefined {
  try {
    const said = run(command, [flag]);
    return said.code === 0 ? said.stdout.trim().split("\n").slice(0, 2).join(" ").trim() : undefined;
  } catch {
    return undefined;
  }
}
