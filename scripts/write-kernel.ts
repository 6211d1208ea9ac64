// usage: tsx scripts/write-kernel.ts [--check]
// Compiles the loops over telemetry text (packages/probe/assembly) into the code that is committed; with
// --check it only fails when that is not what the compiler gives. The compiler, AssemblyScript, weighs a hundred megabytes:
// it is fetched when this runs, and nobody else needs it. `cue-kernel.test.ts` holds the code to its sources by a hash.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { kernelText } from "./kernel-text.ts";

const compiler = "assemblyscript@0.28.20";
const probe = join(dirname(fileURLToPath(import.meta.url)), "..", "packages", "probe");
const source = join(probe, "assembly", "cue-kernel.ts");
const target = join(probe, "src", "telemetry", "cue-kernel-code.ts");

const folder = mkdtempSync(join(tmpdir(), "goodgate-kernel-"));
try {
  const binary = join(folder, "kernel.wasm");
  const options = ["-O3", "--runtime", "stub", "--noAssert", "--outFile", binary];
  const done = spawnSync("npx", ["--yes", "--package", compiler, "asc", source, ...options], {
    stdio: ["ignore", "inherit", "inherit"],
    shell: process.platform === "win32",
  });
  if (done.status !== 0) throw new Error(`${compiler} could not compile ${source}`);
  const text = kernelText(dirname(source), readFileSync(binary));
  if (!process.argv.includes("--check")) writeFileSync(target, text);
  else if (readFileSync(target, "utf8").replaceAll("\r\n", "\n") !== text) {
    console.error("packages/probe/src/telemetry/cue-kernel-code.ts is stale: run tsx scripts/write-kernel.ts");
    process.exitCode = 1;
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
