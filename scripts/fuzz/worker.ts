// usage: forked by fuzz.ts
// Tries one hostile file after another and says of each what it cost and what was wrong.
import { cpSync, mkdirSync, readdirSync, readFileSync, statSync, utimesSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { parseBrief } from "../../packages/model/src/brief-file.ts";
import { auditPages } from "../../packages/cli/src/audit-pages.ts";
import { auditFolder, type FolderAudit } from "./audit-folder.ts";
import { complaint } from "./complaints.ts";
import { mutate } from "./mutate.ts";
import { textRecipe, texts, textSample, tryText } from "./parsers.ts";
import { applyEdits, type Edit, randomFrom, type Recipe } from "./recipe.ts";

/** One task: a mutation by its number, or a recipe as it is. */
export type Task = { readonly id: number; readonly seed: number } | { readonly id: number; readonly recipe: Recipe };

/** What came of a task. */
export interface Outcome {
  readonly id: number;
  readonly recipe: Recipe;
  readonly wrong?: string;
  /** Processor time of this process, threads included. */
  readonly cpuMilliseconds: number;
  /** Largest memory of this process so far. */
  readonly peakBytes: number;
  /** Whether the verdict of some clip became better than that of the file as it was. */
  readonly better?: string;
  readonly damaged: boolean;
}

const [samplesFolder = "", workFolder = "", briefFile = ""] = process.argv.slice(2);
const brief = readFileSync(briefFile, "utf8");
const stated = parseBrief(brief, "brief.yaml");
const { signal } = new AbortController();
const order = ["clean", "workable", "unknown", "reshoot"];
/** Pages cost more than all the rest: every so many audits they are made too. */
const pagesEvery = 20;
/** Sample whose audit gives the texts that are no files of a card. */
const textsFrom = "mp4-cfr-24";
const fixedTime = new Date(Date.UTC(2031, 4, 14));

interface Target {
  readonly sample: string;
  readonly file: string;
}

/** Containers that only ffprobe reads cost a process each. */
const isForeign = (file: string): boolean => /\.(mkv|webm|avi|mxf|ts|mts|m2ts)$/i.test(file);

function targets(): readonly Target[] {
  const all: Target[] = [];
  for (const sample of readdirSync(samplesFolder).sort()) {
    const folder = join(samplesFolder, sample);
    if (!statSync(folder).isDirectory()) continue;
    const files = readdirSync(folder, { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && entry.name !== "truth.json")
      .map((entry) => join(entry.parentPath, entry.name).slice(folder.length + 1))
      .sort();
    for (const file of files) if (statSync(join(folder, file)).size > 0) all.push({ sample, file });
  }
  return all;
}

const every = targets();
const own = every.filter(({ file }) => !isForeign(file));
const foreign = every.filter(({ file }) => isForeign(file));
const made = new Map<string, string>();
const baselines = new Map<string, Promise<FolderAudit>>();

/** A working copy of a sample, all files of one age. */
function workingCopy(sample: string): string {
  const known = made.get(sample);
  if (known !== undefined) return known;
  const folder = join(workFolder, sample);
  mkdirSync(folder, { recursive: true });
  cpSync(join(samplesFolder, sample), folder, { recursive: true, filter: (path) => !path.endsWith("truth.json") });
  for (const entry of readdirSync(folder, { recursive: true, withFileTypes: true })) {
    if (entry.isFile()) utimesSync(join(entry.parentPath, entry.name), fixedTime, fixedTime);
  }
  made.set(sample, folder);
  return folder;
}

async function tryRecipe(
  id: number,
  recipe: Recipe,
  kind: ReturnType<typeof mutate>["kind"],
  withFfprobe: boolean,
): Promise<Outcome> {
  const folder = workingCopy(recipe.sample);
  const path = join(folder, recipe.file);
  const key = `${recipe.sample} ${withFfprobe}`;
  let baseline = baselines.get(key);
  if (baseline === undefined) baselines.set(key, (baseline = auditFolder(folder, stated, withFfprobe, signal)));
  const before = await baseline;
  const original = readFileSync(path);
  writeFileSync(path, applyEdits(original, recipe.edits));
  utimesSync(path, fixedTime, fixedTime);
  const began = process.cpuUsage();
  let wrong: string | undefined;
  let better: string | undefined;
  let damaged = false;
  try {
    const after = await auditFolder(folder, stated, withFfprobe, signal);
    wrong = complaint(before, after, kind, recipe.file);
    if (id % pagesEvery === 0) await auditPages(after.report);
    for (const [name, { clip, judged }] of after.clips) {
      const was = before.clips.get(name)?.judged.verdict;
      if (was !== undefined && order.indexOf(judged.verdict) < order.indexOf(was))
        better = `${was} to ${judged.verdict}`;
      damaged ||= Object.values(clip.facts).some((each) => each?.state === "damaged");
    }
  } catch (error) {
    wrong = `threw ${error instanceof Error ? (error.stack ?? error.message).split("\n").slice(0, 4).join(" | ") : String(error)}`;
  } finally {
    writeFileSync(path, original);
    utimesSync(path, fixedTime, fixedTime);
  }
  const spent = process.cpuUsage(began);
  return {
    id,
    recipe,
    cpuMilliseconds: (spent.user + spent.system) / 1000,
    peakBytes: peakBytes(),
    damaged,
    ...(wrong === undefined ? {} : { wrong }),
    ...(better === undefined ? {} : { better }),
  };
}

/**
 * Largest memory of this process. What getrusage says counts that of the process it was forked from too, so the
 * system's own count for this program is asked where there is one.
 */
function peakBytes(): number {
  try {
    const found = /^VmHWM:\s+(\d+) kB/m.exec(readFileSync("/proc/self/status", "utf8"));
    if (found !== null) return Number(found[1]) * 1024;
  } catch {
    // No Linux.
  }
  return process.resourceUsage().maxRSS * 1024;
}

/** The mutation of a number: which file, which change. */
function choose(seed: number): {
  readonly target: Target;
  readonly random: () => number;
  readonly withFfprobe: boolean;
} {
  const random = randomFrom(seed * 2_654_435_761);
  const asksFfprobe = random() < 0.02 && foreign.length > 0;
  const from = asksFfprobe ? foreign : own;
  const target = from[Math.floor(random() * from.length)] as Target;
  return { target, random, withFfprobe: asksFfprobe || random() < 0.005 };
}

let allTexts: ReturnType<typeof texts> | undefined;

async function tryTextRecipe(id: number, recipe: Recipe | number): Promise<Outcome> {
  allTexts ??= texts(await auditFolder(workingCopy(textsFrom), stated, false, signal), brief);
  const made = typeof recipe === "number" ? textRecipe(allTexts, recipe) : recipe;
  const began = process.cpuUsage();
  const wrong = await tryText(allTexts, made);
  const spent = process.cpuUsage(began);
  return {
    id,
    recipe: made,
    cpuMilliseconds: (spent.user + spent.system) / 1000,
    peakBytes: peakBytes(),
    damaged: false,
    ...(wrong === undefined ? {} : { wrong }),
  };
}

async function run(task: Task): Promise<Outcome> {
  if ("recipe" in task) {
    if (task.recipe.sample === textSample) return await tryTextRecipe(task.id, task.recipe);
    const kind = isCut(task.recipe) ? "cut" : "bytes";
    return await tryRecipe(task.id, task.recipe, kind, isForeign(task.recipe.file));
  }
  if (task.seed % 10 === 9) return await tryTextRecipe(task.id, task.seed);
  const { target, random, withFfprobe } = choose(task.seed);
  const bytes = readFileSync(join(workingCopy(target.sample), target.file));
  const other = every[Math.floor(random() * every.length)] as Target;
  const { kind, edits } = mutate(bytes, readFileSync(join(samplesFolder, other.sample, other.file)), random);
  return await tryRecipe(task.id, { ...target, edits }, kind, withFfprobe);
}

const isCut = ({ sample, file, edits }: Recipe): boolean => {
  const size = statSync(join(samplesFolder, sample, file)).size;
  return edits.length === 1 && edits.every((edit: Edit) => edit.put === "" && edit.at + edit.remove >= size);
};

process.on("message", (task: Task) => {
  process.send?.({ begun: task.id });
  void run(task).then((outcome) => process.send?.(outcome));
});
