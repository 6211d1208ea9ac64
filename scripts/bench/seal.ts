// usage: tsx scripts/bench/seal.ts [--megabytes 1024] [--folder /tmp]
// Compares hashing with sha256sum and plain reading, and copying with cp followed by sha256sum, on the same warm file.
// The bars: hashing at least 0.9 of the rate of sha256sum; copy and check at most 1.15 of the time of cp and sha256sum.
import { execFileSync } from "node:child_process";
import { randomFillSync } from "node:crypto";
import { closeSync, mkdirSync, mkdtempSync, openSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { copyCard, hashFile } from "../../packages/seal/src/seal.ts";

const { values } = parseArgs({
  options: { megabytes: { type: "string", default: "1024" }, folder: { type: "string", default: tmpdir() } },
});
const megabytes = Number(values.megabytes);
const rounds = 5;
const folder = mkdtempSync(join(values.folder, "goodgate-bench-seal-"));
const card = join(folder, "card");
const film = join(card, "FLY_0001.MP4");
const { signal } = new AbortController();

async function secondsOf(work: () => unknown): Promise<number> {
  const began = performance.now();
  await work();
  return (performance.now() - began) / 1000;
}

/** Median of several rounds, taken in turn so that a slow moment hits all alike. */
async function medians(works: Readonly<Record<string, () => unknown>>): Promise<Readonly<Record<string, number>>> {
  const taken: Record<string, number[]> = {};
  for (let round = 0; round < rounds; round += 1) {
    for (const [name, work] of Object.entries(works)) (taken[name] ??= []).push(await secondsOf(work));
  }
  return Object.fromEntries(
    Object.entries(taken).map(([name, list]) => [name, list.toSorted((a, b) => a - b)[Math.floor(rounds / 2)] ?? 0]),
  );
}

try {
  mkdirSync(card);
  const file = openSync(film, "w");
  const block = Buffer.alloc(1024 * 1024);
  for (let written = 0; written < megabytes; written += 1) writeSync(file, randomFillSync(block));
  closeSync(file);
  const run = (command: string, ...args: readonly string[]): void => {
    execFileSync(command, args, { stdio: "ignore" });
  };
  run("cat", film);
  const hashing = await medians({
    "goodgate hash": () => hashFile(film, signal),
    sha256sum: () => run("sha256sum", film),
    "plain reading": () => run("dd", `if=${film}`, "of=/dev/null", "bs=2M"),
  });
  let number = 0;
  const copying = await medians({
    "goodgate copy": async () => {
      const destination = join(folder, `ours-${(number += 1)}`);
      mkdirSync(destination);
      const { results } = await copyCard(card, [{ destination, payload: join(destination, "data") }], signal);
      if (results[0]?.copied !== 1) throw new Error("nothing was copied");
      rmSync(destination, { recursive: true });
    },
    "cp, sync, sha256sum": () => {
      const copy = join(folder, "theirs");
      run("cp", film, copy);
      run("sync", copy);
      run("sha256sum", copy);
      rmSync(copy);
    },
    "cp, sha256sum": () => {
      const copy = join(folder, "theirs");
      run("cp", film, copy);
      run("sha256sum", copy);
      rmSync(copy);
    },
  });
  const rate = (seconds = 0): string => `${Math.round((megabytes * 1.048576) / seconds)} MB/s`;
  for (const [name, seconds] of Object.entries(hashing))
    console.log(`${name}: ${seconds.toFixed(2)} s, ${rate(seconds)}`);
  for (const [name, seconds] of Object.entries(copying)) console.log(`${name}: ${seconds.toFixed(2)} s`);
  const of = (all: Readonly<Record<string, number>>, name: string): number => all[name] ?? Number.NaN;
  const hashRate = of(hashing, "sha256sum") / of(hashing, "goodgate hash");
  const copyTime = of(copying, "goodgate copy") / of(copying, "cp, sha256sum");
  console.log(`hashing at ${hashRate.toFixed(2)} of the rate of sha256sum (bar: at least 0.9)`);
  console.log(
    `hashing at ${(of(hashing, "plain reading") / of(hashing, "goodgate hash")).toFixed(2)} of plain reading`,
  );
  console.log(`copy and check in ${copyTime.toFixed(2)} of the time of cp and sha256sum (bar: at most 1.15)`);
  const synced = of(copying, "goodgate copy") / of(copying, "cp, sync, sha256sum");
  console.log(`copy and check in ${synced.toFixed(2)} of the time of cp, sync and sha256sum`);
  process.exitCode = hashRate >= 0.9 && copyTime <= 1.15 ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
