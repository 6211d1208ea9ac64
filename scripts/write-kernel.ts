// usage: tsx scripts/write-kernel.ts [--check]
// Compiles the loops over telemetry text (packages/probe/assembly) and over spectra (packages/measure/assembly) into the code
// that is committed; with --check it only fails when that is not what the compiler gives. The compiler, AssemblyScript, weighs
// a hundred megabytes: it is fetched when this runs, and nobody else needs it. Tests hold the code to its sources by a hash.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { kernelText } from "./kernel-text.ts";

const compiler = "assemblyscript@0.28.20";
const packages = join(dirname(fileURLToPath(import.meta.url)), "..", "packages");
const kernels = [
  { source: "probe/assembly/cue-kernel.ts", target: "probe/src/telemetry/cue-kernel-code.ts", features: [] },
  {
    source: "measure/assembly/picture-kernel.ts",
    target: "measure/src/picture-kernel-code.ts",
    // Pairs of numbers go from file to file, which the compiler warns of; none leave the kernel.
    features: ["--enable", "simd", "--disableWarning", "112"],
  },
] as const;

const folder = mkdtempSync(join(tmpdir(), "goodgate-kernel-"));
try {
  for (const kernel of kernels) {
    const [source, target] = [join(packages, kernel.source), join(packages, kernel.target)];
    const binary = join(folder, "kernel.wasm");
    const options = ["-O3", "--runtime", "stub", "--noAssert", ...kernel.features, "--outFile", binary];
    const done = spawnSync("npx", ["--yes", "--package", compiler, "asc", source, ...options], {
      stdio: ["ignore", "inherit", "inherit"],
      shell: process.platform === "win32",
    });
    if (done.status !== 0) throw new Error(`${compiler} could not compile ${source}`);
    const text = kernelText(dirname(source), readFileSync(binary));
    if (!process.argv.includes("--check")) writeFileSync(target, text);
    else if (readFileSync(target, "utf8").replaceAll("\r\n", "\n") !== text) {
      console.error(`packages/${kernel.target} is stale: run tsx scripts/write-kernel.ts`);
      process.exitCode = 1;
    }
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}
