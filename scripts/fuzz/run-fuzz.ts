import { type ChildProcess, fork } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { cacheFolder, demoBriefFile, projectFolder, samplesFolder } from "../../fixtures/places.ts";
import { type Edit, minimised, type Recipe } from "./recipe.ts";
import type { Outcome, Task } from "./worker.ts";

/** Longest processor time one file may take. */
export const mostCpuMilliseconds = 2000;
/** Most memory of the process that reads. */
export const mostBytes = 300 * 1024 * 1024;
/** A file that gives no answer for so long hangs; generous, because other work may share the processor. */
const hangMilliseconds = 30_000;

/** After so many processes without an answer it is the fuzzing that is broken. */
const mostDeaths = 5;

/** One file that did harm. */
export interface Crasher {
  readonly what: string;
  readonly recipe: Recipe;
}

/** What a run found. */
export interface FuzzResult {
  readonly tried: number;
  readonly damaged: number;
  readonly crashers: readonly Crasher[];
  readonly hangs: number;
  readonly slowestMilliseconds: number;
  readonly peakBytes: number;
  /** Files whose verdict became better than before the change, by sample: worth a look, since a value may simply differ. */
  readonly better: readonly { readonly recipe: Recipe; readonly how: string }[];
}

/** How much is tried. */
export interface FuzzPlan {
  readonly from: number;
  readonly count: number;
  readonly workers: number;
  /** Recipes tried besides. */
  readonly recipes?: readonly Recipe[];
  readonly minimise: boolean;
  readonly onProgress?: (tried: number, wrong: number) => void;
}

/** The crashers kept as recipes. */
export function keptCrashers(): readonly Crasher[] {
  const folder = join(fileURLToPath(new URL(".", import.meta.url)), "crashers");
  return readdirSync(folder)
    .filter((name) => name.endsWith(".json"))
    .sort()
    .map((name) => JSON.parse(readFileSync(join(folder, name), "utf8")) as Crasher);
}

/** Bundles the worker as the program itself is bundled: it starts at once, and takes the memory that the program takes. */
async function bundledWorker(): Promise<string> {
  const outfile = join(cacheFolder, "fuzz", `worker-${process.pid}.mjs`);
  await build({
    entryPoints: [join(projectFolder, "scripts/fuzz/worker.ts")],
    outfile,
    bundle: true,
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
  return outfile;
}

/** Tries hostile files in processes of their own, so that neither a crash nor an endless loop ends the run. */
export async function runFuzz(plan: FuzzPlan): Promise<FuzzResult> {
  const tasks: Task[] = (plan.recipes ?? []).map((recipe, place) => ({ id: -1 - place, recipe }));
  for (let seed = plan.from; seed < plan.from + plan.count; seed += 1) tasks.push({ id: seed, seed });
  const crashers: Crasher[] = [];
  let deaths = 0;
  const better: { recipe: Recipe; how: string }[] = [];
  const result = { tried: 0, damaged: 0, hangs: 0, slowestMilliseconds: 0, peakBytes: 0 };
  const queue = tasks.values();
  const program = await bundledWorker();
  const bench = async (): Promise<void> => {
    const worker = new FuzzWorker(program);
    try {
      for (const task of queue) {
        const first = await worker.attempt(task);
        // A process that has read thousands of files holds what the runner keeps of them: the file counts alone.
        const again = "recipe" in first && first.wrong === undefined && verdictOn(first) !== undefined;
        if (again) worker.end();
        const outcome = again ? await worker.attempt({ id: first.id, recipe: first.recipe }) : first;
        result.tried += 1;
        deaths = "recipe" in outcome ? 0 : deaths + 1;
        if (deaths > mostDeaths) throw new Error(`${deaths} processes in a row died or hung`);
        const what = verdictOn(outcome);
        if ("recipe" in outcome) {
          if (outcome.damaged) result.damaged += 1;
          result.slowestMilliseconds = Math.max(result.slowestMilliseconds, outcome.cpuMilliseconds);
          result.peakBytes = Math.max(result.peakBytes, outcome.peakBytes);
          if (outcome.better !== undefined) better.push({ recipe: outcome.recipe, how: outcome.better });
        } else if (outcome.hung) result.hangs += 1;
        if (what !== undefined)
          crashers.push(await keep(worker, task, what, "recipe" in outcome ? outcome.recipe : undefined));
        plan.onProgress?.(result.tried, crashers.length);
      }
    } finally {
      worker.end();
    }
  };
  const keep = async (worker: FuzzWorker, task: Task, what: string, recipe: Recipe | undefined): Promise<Crasher> => {
    const of = recipe ?? ("recipe" in task ? task.recipe : undefined);
    // A process that died took its recipe with it: the number brings it back.
    if (of === undefined)
      return { what, recipe: { sample: "", file: `seed ${"seed" in task ? task.seed : 0}`, edits: [] } };
    if (!plan.minimise) return { what, recipe: of };
    const kind = what.slice(0, 24);
    const fails = async (edits: readonly Edit[]): Promise<boolean> =>
      verdictOn(await worker.attempt({ id: 0, recipe: { ...of, edits } }))?.slice(0, 24) === kind;
    return { what, recipe: { ...of, edits: await minimised(of.edits, fails) } };
  };
  try {
    await Promise.all(Array.from({ length: plan.workers }, bench));
  } finally {
    rmSync(program, { force: true });
  }
  return { ...result, crashers, better };
}

type Answer = Outcome | { readonly hung: boolean; readonly says: string };

function verdictOn(outcome: Answer): string | undefined {
  if (!("recipe" in outcome)) return outcome.says;
  if (outcome.wrong !== undefined) return outcome.wrong;
  if (outcome.cpuMilliseconds > mostCpuMilliseconds)
    return `took ${Math.round(outcome.cpuMilliseconds)} ms of processor time`;
  if (outcome.peakBytes > mostBytes) return `took ${Math.round(outcome.peakBytes / 1024 / 1024)} MB of memory`;
  return undefined;
}

/** A process that tries files; a new one is started when it dies or hangs. */
class FuzzWorker {
  readonly #program: string;
  #child: ChildProcess | undefined;
  #folder = "";

  constructor(program: string) {
    this.#program = program;
  }

  #start(): ChildProcess {
    this.#folder = mkdtempSync(join(tmpdir(), "goodgate-fuzz-"));
    return fork(this.#program, [samplesFolder, this.#folder, demoBriefFile], {
      // Not the runner that compiles this script: the memory is to be that of the program.
      execArgv: [],
      stdio: ["ignore", "ignore", "inherit", "ipc"],
    });
  }

  async attempt(task: Task): Promise<Answer> {
    const child = (this.#child ??= this.#start());
    const answer = await new Promise<Answer>((settle) => {
      let timer: NodeJS.Timeout | undefined;
      const finish = (given: Answer): void => {
        clearTimeout(timer);
        child.off("message", onMessage);
        child.off("exit", onExit);
        settle(given);
      };
      const onMessage = (message: Outcome | { begun: number }): void => {
        if (!("begun" in message)) finish(message);
        else
          timer = setTimeout(
            () => finish({ hung: true, says: `no answer within ${hangMilliseconds / 1000} s` }),
            hangMilliseconds,
          );
      };
      const onExit = (code: number | null, signal: string | null): void =>
        finish({ hung: false, says: `the process ended with ${signal ?? code}` });
      child.on("message", onMessage);
      child.on("exit", onExit);
      child.send(task);
    });
    // Memory is counted from the start of a process: after one that took too much, a new one is needed.
    if (!("recipe" in answer) || answer.peakBytes > mostBytes) this.end();
    return answer;
  }

  end(): void {
    this.#child?.kill("SIGKILL");
    this.#child = undefined;
    if (this.#folder !== "") rmSync(this.#folder, { recursive: true, force: true });
    this.#folder = "";
  }
}
