// usage: tsx scripts/run-tests.ts [vitest arguments]
// Runs every test and prints "N passed, N failed" as its last line.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const folder = mkdtempSync(join(tmpdir(), "goodgate-tests-"));
const results = join(folder, "results.json");
const vitest = join("node_modules", "vitest", "vitest.mjs");
const run = spawnSync(
  process.execPath,
  [vitest, "run", "--reporter=default", "--reporter=json", `--outputFile.json=${results}`, ...process.argv.slice(2)],
  { stdio: "inherit" },
);
let passed = 0;
let failed = 0;
try {
  const counts = JSON.parse(readFileSync(results, "utf8"));
  passed = counts.numPassedTests;
  failed =
    counts.numFailedTests +
    counts.testResults.filter(
      (file: { status: string; assertionResults: unknown[] }) =>
        file.status === "failed" && file.assertionResults.length === 0,
    ).length;
} catch {
  failed = 1;
}
rmSync(folder, { recursive: true, force: true });
console.log(`${passed} passed, ${failed} failed`);
process.exit(run.status === 0 && failed === 0 && passed > 0 ? 0 : 1);
