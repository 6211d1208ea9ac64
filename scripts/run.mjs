// usage: node scripts/run.mjs demo|test|build|bench|fuzz|goodgate|docs [arguments]
// The entry of every npm script. It needs only Node and npm: it installs, builds, and then runs the task.
import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";

const root = join(dirname(fileURLToPath(import.meta.url)), "..");
const startedIn = process.cwd();
process.chdir(root);
const windows = process.platform === "win32";
const [major, minor] = process.versions.node.split(".").map(Number);
if (major < 20 || (major === 20 && minor < 19)) {
  console.error(`Node 20.19 or newer is needed, this is ${process.version}: install a newer Node and try again`);
  process.exit(2);
}
// npm hands its own settings to children as npm_config_*; pnpm would read them as its own.
const kept = /^npm_config_(registry|cache|userconfig|globalconfig|cafile|https?_proxy|proxy|noproxy)$/i;
const env = Object.fromEntries(Object.entries(process.env).filter(([name]) => !/^npm_/i.test(name) || kept.test(name)));

/** Runs one step with its output on stderr, so that stdout stays the task's own. */
function step(what, command, args, { quiet = false } = {}) {
  const began = performance.now();
  const done = spawnSync(command, args, {
    stdio: quiet ? ["ignore", "pipe", "pipe"] : ["ignore", 2, 2],
    env,
    shell: windows,
    encoding: "utf8",
  });
  if (done.error || done.status !== 0) {
    if (quiet) process.stderr.write(`${done.stdout ?? ""}${done.stderr ?? ""}`);
    console.error(`${what} failed (${done.error?.message ?? `exit ${done.status}`})`);
    process.exit(done.status || 1);
  }
  const seconds = (performance.now() - began) / 1000;
  if (!quiet || seconds > 2) console.error(`${what}: ${seconds.toFixed(1)} s`);
}
/** Programs of the packages are started by Node itself: their shell wrappers need more than Node and npm. */
const entries = {
  tsx: "tsx/dist/cli.mjs",
  oxlint: "oxlint/bin/oxlint",
  oxfmt: "oxfmt/bin/oxfmt",
  tsc: "typescript/bin/tsc",
};
const local = (name, ...args) => [process.execPath, [join(root, "node_modules", entries[name]), ...args]];

/** A key over everything that decides what an install gives. */
function installKey() {
  const hash = createHash("sha256").update(`${process.platform}-${process.arch}-${process.versions.modules}`);
  const manifests = readdirSync("packages").map((name) => `packages/${name}/package.json`);
  for (const file of ["pnpm-lock.yaml", "pnpm-workspace.yaml", "package.json", ...manifests]) {
    if (existsSync(file)) hash.update(readFileSync(file));
  }
  return hash.digest("hex");
}

function ensureInstalled() {
  const stamp = "node_modules/.install-stamp";
  const key = installKey();
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === key) return;
  const { packageManager } = JSON.parse(readFileSync("package.json", "utf8"));
  step("install", "npx", ["--yes", packageManager, "install", "--frozen-lockfile", "--prefer-offline"]);
  mkdirSync("node_modules", { recursive: true });
  writeFileSync(stamp, key);
}

/** A key over every source file, so that an unchanged tree is not built again. */
function sourceKey() {
  const hash = createHash("sha256");
  const walk = (folder) => {
    for (const entry of readdirSync(folder, { withFileTypes: true }).sort((a, b) => (a.name < b.name ? -1 : 1))) {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) walk(path);
      else hash.update(path).update(readFileSync(path));
    }
  };
  for (const name of readdirSync("packages").sort()) walk(join("packages", name, "src"));
  for (const file of ["scripts/bundle.mjs", "scripts/run.mjs", "package.json"]) hash.update(readFileSync(file));
  return hash.digest("hex");
}

function build() {
  const stamp = "packages/cli/dist/.build-stamp";
  const key = sourceKey();
  if (existsSync(stamp) && readFileSync(stamp, "utf8") === key) return;
  step("build", process.execPath, ["scripts/bundle.mjs"], { quiet: true });
  writeFileSync(stamp, key);
}

/** Runs the task itself, with the terminal's own input and output, and leaves with its exit code. */
function finish(command, args, cwd = root) {
  const done = spawnSync(command, args, {
    stdio: "inherit",
    env: cwd === root ? env : process.env,
    cwd,
    shell: windows,
  });
  if (done.error) console.error(done.error.message);
  process.exit(done.status ?? 1);
}

const task = process.argv[2];
const rest = process.argv.slice(3);
ensureInstalled();
switch (task) {
  case "build":
    build();
    break;
  case "goodgate":
    build();
    finish(process.execPath, [join(root, "packages/cli/dist/goodgate.js"), ...rest], startedIn);
    break;
  case "demo":
    build();
    finish(...local("tsx", "scripts/demo.ts", ...rest));
    break;
  case "bench":
    build();
    finish(...local("tsx", "scripts/bench/bench.ts", ...rest));
    break;
  case "fuzz":
    finish(...local("tsx", "scripts/fuzz/fuzz.ts", ...rest));
    break;
  case "docs":
    finish(...local("tsx", "scripts/write-docs.ts", ...rest));
    break;
  case "test":
    build();
    step("lint", ...local("oxlint", "--quiet"));
    step("format", ...local("oxfmt", "--check"), { quiet: true });
    step("types", ...local("tsc", "-b"));
    step("types of tests", ...local("tsc", "-p", "tsconfig.tests.json"));
    finish(...local("tsx", "scripts/run-tests.ts", ...rest));
    break;
  default:
    console.error(`unknown task ${task}: demo, test, build, bench, fuzz, goodgate or docs`);
    process.exit(2);
}
