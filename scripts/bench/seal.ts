// usage: tsx scripts/bench/seal.ts [--megabytes 1024] [--rounds 5] [--folder /tmp]
// Compares hashing with sha256sum and plain reading, and copying with cp followed by sha256sum, on the same warm bytes:
// as one file, and as a card of files of 8 MB. Ratios are taken round by round; the bars are held against their medians.
// The bars: hashing at least 0.9 of the rate of sha256sum; copy and check at most 1.15 of the time of cp and sha256sum.
import { execFileSync } from "node:child_process";
import { randomFillSync } from "node:crypto";
import { closeSync, fsyncSync, mkdirSync, mkdtempSync, openSync, readdirSync, rmSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import { copyCard, hashFile } from "../../packages/seal/src/seal.ts";
import { ratios, spreadOf } from "./runs.ts";

const { values } = parseArgs({
  options: {
    megabytes: { type: "string", default: "1024" },
    rounds: { type: "string", default: "5" },
    folder: { type: "string", default: tmpdir() },
  },
});
const megabytes = Number(values.megabytes);
const rounds = Number(values.rounds);
const folder = mkdtempSync(join(values.folder, "goodgate-bench-seal-"));
const { signal } = new AbortController();
const mebibyte = 1024 * 1024;

/** Seconds of the clock and of the processor. */
interface Taken {
  readonly wall: number;
  readonly processor: number;
}

/** A work of this process. */
async function ours(work: () => Promise<unknown>): Promise<Taken> {
  const used = process.cpuUsage();
  const began = performance.now();
  await work();
  const wall = (performance.now() - began) / 1000;
  const { user, system } = process.cpuUsage(used);
  return { wall, processor: (user + system) / 1e6 };
}

/** Commands of a shell, one line; the shell tells what they used of the processor. */
function theirs(line: string, ...args: readonly string[]): Taken {
  const began = performance.now();
  const said = execFileSync("sh", ["-c", `{ ${line}; } >/dev/null 2>&1; times`, "sh", ...args], { encoding: "utf8" });
  const wall = (performance.now() - began) / 1000;
  // POSIX, `times`: the second line holds user and system time of the commands that ended.
  const children = said.trim().split("\n")[1] ?? "";
  const processor = [...children.matchAll(/(\d+)m([\d.]+)s/g)].reduce(
    (sum, [, m, s]) => sum + Number(m) * 60 + Number(s),
    0,
  );
  return { wall, processor };
}

/** Every work in turn, several rounds, so that a slow moment hits all alike; the first round is not counted. */
async function inTurns<Name extends string>(
  works: Readonly<Record<Name, () => Taken | Promise<Taken>>>,
): Promise<Readonly<Record<Name, readonly Taken[]>>> {
  const taken = Object.fromEntries(Object.keys(works).map((name) => [name, [] as Taken[]])) as Record<Name, Taken[]>;
  for (let round = 0; round <= rounds; round += 1) {
    for (const name of Object.keys(works) as Name[]) {
      const one = await works[name]();
      if (round > 0) taken[name].push(one);
    }
  }
  for (const [name, list] of Object.entries<readonly Taken[]>(taken)) {
    const wall = spreadOf(list.map((each) => each.wall));
    const processor = spreadOf(list.map((each) => each.processor));
    console.log(
      `  ${name}: ${wall.median.toFixed(2)} s (${wall.least.toFixed(2)} to ${wall.most.toFixed(2)}), ` +
        `${processor.median.toFixed(2)} s of the processor`,
    );
  }
  return taken;
}

function makeCard(name: string, files: number): string {
  const card = join(folder, name);
  mkdirSync(card);
  const block = Buffer.alloc(mebibyte);
  for (let number = 1; number <= files; number += 1) {
    const file = openSync(join(card, `FLY_${String(number).padStart(4, "0")}.MP4`), "w");
    for (let written = 0; written < megabytes / files; written += 1) writeSync(file, randomFillSync(block));
    fsyncSync(file);
    closeSync(file);
  }
  theirs('cat "$1"/*', card);
  return card;
}

/** Prints how much time the first took of the time of the second, and gives the middle ratio. */
function compare(what: string, first: readonly Taken[], second: readonly Taken[], bar = ""): number {
  const wall = ratios(
    first.map((each) => each.wall),
    second.map((each) => each.wall),
  );
  const processor = ratios(
    first.map((each) => each.processor),
    second.map((each) => each.processor),
  );
  console.log(
    `${what}: ${wall.median.toFixed(2)} (${wall.least.toFixed(2)} to ${wall.most.toFixed(2)}) of the time` +
      `${bar}, ${processor.median.toFixed(2)} of the processor's`,
  );
  return wall.median;
}

async function copying(card: string, files: number): Promise<number> {
  let number = 0;
  const copy = join(folder, "theirs");
  const place = (): string => join(folder, `ours-${(number += 1)}`);
  const taken = await inTurns({
    "goodgate copy": async () => {
      const destination = place();
      mkdirSync(destination);
      const one = await ours(async () => {
        const { results } = await copyCard(card, [{ destination, payload: join(destination, "data") }], signal);
        if (results[0]?.copied !== files) throw new Error("not all was copied");
      });
      rmSync(destination, { recursive: true });
      return one;
    },
    "cp, sync, sha256sum": () => {
      const one = theirs('cp -r "$1" "$2"; sync "$2"/*; sha256sum "$2"/*', card, copy);
      rmSync(copy, { recursive: true });
      return one;
    },
    "cp, sync while sha256sum": () => {
      const one = theirs('cp -r "$1" "$2"; sync "$2"/* & sha256sum "$2"/*; wait', card, copy);
      rmSync(copy, { recursive: true });
      return one;
    },
    "cp, sha256sum": () => {
      const one = theirs('cp -r "$1" "$2"; sha256sum "$2"/*', card, copy);
      rmSync(copy, { recursive: true });
      return one;
    },
  });
  compare("copy and check against cp, sync and sha256sum", taken["goodgate copy"], taken["cp, sync, sha256sum"]);
  compare(
    "copy and check against cp, then sync and sha256sum at once",
    taken["goodgate copy"],
    taken["cp, sync while sha256sum"],
  );
  return compare(
    "copy and check against cp and sha256sum",
    taken["goodgate copy"],
    taken["cp, sha256sum"],
    " (bar: at most 1.15)",
  );
}

try {
  console.log(`one file of ${megabytes} MiB`);
  const one = makeCard("one", 1);
  const film = join(one, readdirSync(one)[0] ?? "");
  const hashing = await inTurns({
    "goodgate hash": async () => await ours(() => hashFile(film, signal)),
    sha256sum: () => theirs('sha256sum "$1"', film),
    "plain reading": () => theirs('dd if="$1" of=/dev/null bs=2M', film),
  });
  const hashTime = compare(
    "hashing against sha256sum",
    hashing["goodgate hash"],
    hashing.sha256sum,
    " (bar: at most 1.11)",
  );
  compare("hashing against plain reading", hashing["goodgate hash"], hashing["plain reading"]);
  const copies = [await copying(one, 1)];
  rmSync(one, { recursive: true });
  const files = Math.max(1, Math.round(megabytes / 8));
  console.log(`${files} files of 8 MiB`);
  copies.push(await copying(makeCard("many", files), files));
  process.exitCode = hashTime <= 1 / 0.9 && copies.every((time) => time <= 1.15) ? 0 : 1;
} finally {
  rmSync(folder, { recursive: true, force: true });
}
