// usage: tsx scripts/check-guards.ts [word of a promise …]
// Takes each guard of scripts/guards/guards.ts away in a copy of the project and requires its test to fail. Ends with 1
// when a test stays green, or when a guard's text is no longer there. Takes some minutes; no part of npm test.
import { spawnSync } from "node:child_process";
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { projectFolder } from "../fixtures/places.ts";
import { type Guard, guards } from "./guards/guards.ts";

/** A test that lost its guard may hang: then it is ended, and has failed. */
const mostMilliseconds = 240_000;
/** Marks every process of a trial, so that one that a missing guard left behind is found. */
const mark = "GOODGATE_GUARD_TRIAL";

const words = process.argv.slice(2);
const chosen = guards.filter(({ promise, file, test }) =>
  words.every((word) => `${promise} ${file} ${test}`.includes(word)),
);
const copy = mkdtempSync(join(tmpdir(), "goodgate-guards-"));
const failed: string[] = [];
try {
  const left = new Set(["node_modules", ".cache", ".git"]);
  for (const name of readdirSync(projectFolder).filter((each) => !left.has(each))) {
    cpSync(join(projectFolder, name), join(copy, name), { recursive: true, verbatimSymlinks: true });
  }
  for (const name of ["node_modules", ".cache"]) symlinkSync(join(projectFolder, name), join(copy, name));
  for (const guard of chosen) {
    const says = trial(guard);
    if (!says.startsWith("red")) failed.push(guard.promise);
    console.log(`${guard.promise} → ${guard.test.replace(/^packages\/|src\//g, "")}: ${guard.name} → ${says}`);
  }
} finally {
  rmSync(copy, { recursive: true, force: true });
}
console.log(`${chosen.length - failed.length} of ${chosen.length} guards are missed by their test when taken away`);
process.exitCode = failed.length > 0 ? 1 : 0;

/** What came of a guard's test with the guard taken away. */
function trial({ file, without, test, name, built }: Guard): string {
  const path = join(copy, file);
  const whole = readFileSync(path, "utf8");
  let text = whole;
  for (const [before, after] of without) {
    if (text.split(before).length !== 2) return `NOT TRIED: ${JSON.stringify(before)} must be in ${file} once`;
    text = text.replace(before, () => after);
  }
  writeFileSync(path, text);
  try {
    if (built === true && run("scripts/bundle.mjs").status !== 0) return "NOT TRIED: it cannot be built";
    const results = join(copy, "results.json");
    rmSync(results, { force: true });
    const pattern = name.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
    const { status, signal } = run(
      "node_modules/vitest/vitest.mjs",
      "run",
      test,
      "-t",
      pattern,
      "--reporter=json",
      `--outputFile=${results}`,
    );
    if (signal !== null) return "red (did not end)";
    const { numFailedTests, numPassedTests } = JSON.parse(readFileSync(results, "utf8")) as Record<string, number>;
    if (status !== 0 && (numFailedTests ?? 0) > 0) return "red";
    return numPassedTests === 0 ? `NOT TRIED: no test ran (exit ${status})` : "STAYS GREEN";
  } catch (error) {
    return `NOT TRIED: ${error instanceof Error ? error.message : String(error)}`;
  } finally {
    writeFileSync(path, whole);
    endLeftOver();
  }
}

function run(...args: readonly string[]): ReturnType<typeof spawnSync> {
  return spawnSync(process.execPath, [...args], {
    cwd: copy,
    stdio: "ignore",
    timeout: mostMilliseconds,
    killSignal: "SIGKILL",
    env: { ...process.env, [mark]: copy },
  });
}

/** Ends what a trial started and a missing guard left running; only where the system shows the environment (Linux). */
function endLeftOver(): void {
  let processes: readonly string[] = [];
  try {
    processes = readdirSync("/proc").filter((name) => /^\d+$/.test(name));
  } catch {
    // No Linux: what is left ends by itself or at the next restart.
  }
  for (const name of processes) {
    try {
      if (readFileSync(`/proc/${name}/environ`, "latin1").includes(`${mark}=${copy}`))
        process.kill(Number(name), "SIGKILL");
    } catch {
      // Ended meanwhile, or another user's.
    }
  }
}
