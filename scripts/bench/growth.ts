// Not run by itself: how time and memory grow with clips and jobs, and what hashing costs.
import { existsSync, mkdtempSync, rmSync, statSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { jobs, type Line, once, pathsOf, sumOf } from "./bars.ts";
import { type BenchCard, shortCard, telemetryCard } from "./cards.ts";
import { alternate, forgetFiles, ratios, run, runProgram, runWorker, spreadOf, versionOf } from "./runs.ts";

/** Time a clip and memory from 10 to 10,000 clips, and how the number of jobs changes it. */
export async function growthLines(counts: readonly number[], rounds: number): Promise<readonly Line[]> {
  const lines: Line[] = [];
  const out = mkdtempSync(join(tmpdir(), "goodgate-bench-"));
  const most = counts[counts.length - 1] ?? 0;
  try {
    const perClip = new Map<number, number>();
    for (const count of counts) {
      const card = shortCard(count);
      const reads: number[] = [];
      const judges: number[] = [];
      const memory: number[] = [];
      const readMemory: number[] = [];
      const whole: number[] = [];
      const wholeMemory: number[] = [];
      // Ten thousand clips are measured twice at most: the run is long enough to be even in itself.
      for (let round = 0; round < (count >= 10_000 ? Math.min(2, rounds) : rounds); round += 1) {
        const read = runWorker("read", { folder: card.folder, jobs, judge: true });
        reads.push(read.processorMilliseconds / count);
        judges.push(((read.judgeMilliseconds ?? 0) / read.milliseconds) * 100);
        memory.push(read.memoryBytes / 1e6);
        readMemory.push(runWorker("read", { folder: card.folder, jobs }).memoryBytes / 1e6);
        const audit = runProgram([
          "audit",
          card.folder,
          "--timeline",
          "25",
          "--no-cache",
          "--out",
          join(out, "report"),
        ]);
        whole.push(audit.processorMilliseconds);
        wholeMemory.push(audit.memoryBytes / 1e6);
      }
      const median = spreadOf(whole).median;
      perClip.set(count, median);
      lines.push(
        { what: `${count} clips: reading a clip, processor time`, spread: spreadOf(reads), unit: "ms" },
        {
          what: `${count} clips: whole audit with five reports written, processor time`,
          spread: spreadOf(whole),
          unit: "ms",
        },
        {
          what: `${count} clips: memory of the whole audit`,
          spread: spreadOf(wholeMemory),
          unit: "MB",
          ...(count === most && count >= 10_000 ? { most: 250 } : {}),
        },
        {
          what: `${count} clips: memory of reading`,
          spread: spreadOf(readMemory),
          unit: "MB",
          ...(count === most && count >= 10_000 ? { most: 200 } : {}),
        },
        { what: `${count} clips: memory of reading and judging`, spread: spreadOf(memory), unit: "MB" },
        {
          what: `${count} clips: judging against reading`,
          spread: spreadOf(judges),
          unit: "%",
          ...(count === most && count >= 10_000 ? { most: 5 } : {}),
        },
      );
      // A card that was just put in lies in no memory; only root may empty the machine's.
      if (count === most && forgetFiles()) {
        const cold = runWorker("read", { folder: card.folder, jobs, judge: true });
        lines.push({
          what: `${count} clips: judging against reading, nothing of the card in memory`,
          spread: once(((cold.judgeMilliseconds ?? 0) / cold.milliseconds) * 100),
          unit: "%",
        });
      }
    }
    // What every run costs is the same for one clip and for ten thousand: the slope between two sizes is the time a clip.
    for (let place = 2; place < counts.length; place += 1) {
      const [low = 0, middle = 0, high = 0] = counts.slice(place - 2, place + 1);
      const slope = (from: number, to: number): number =>
        ((perClip.get(to) ?? Number.NaN) - (perClip.get(from) ?? Number.NaN)) / (to - from);
      lines.push({
        what: `Time of a further clip, from ${middle} to ${high} clips against from ${low} to ${middle}`,
        spread: once(slope(middle, high) / slope(low, middle)),
        unit: "×",
        most: 1.2,
      });
    }
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
  return lines;
}

/** How the number of clips read at a time changes the time, on this disk and on two slow media. */
export async function jobLines(card: BenchCard, rounds: number): Promise<readonly Line[]> {
  const slow = {
    "a card reader (2 ms a request, 40 MB/s, one request at a time)": {
      latencyMilliseconds: 2,
      bytesPerSecond: 40e6,
      lanes: 1,
    },
    "a share on a network (20 ms a request, 100 MB/s, many at a time)": {
      latencyMilliseconds: 20,
      bytesPerSecond: 100e6,
      lanes: 64,
    },
  };
  const lines: Line[] = [];
  const measure = async (medium: string, options: object): Promise<void> => {
    const read = (jobs: object) => () => runWorker("read", { folder: card.folder, ...jobs, ...options }).milliseconds;
    const times = await alternate(rounds, {
      j1: read({ jobs: 1 }),
      j2: read({ jobs: 2 }),
      j4: read({ jobs: 4 }),
      j8: read({ jobs: 8 }),
      j16: read({ jobs: 16 }),
      own: read({}),
    });
    for (const jobs of [2, 4, 8, 16] as const) {
      lines.push({
        what: `${jobs} jobs against one, on ${medium}`,
        spread: ratios(times[`j${jobs}`], times.j1),
        unit: "×",
      });
    }
  };
  await measure("this disk", {});
  for (const [medium, simulated] of Object.entries(slow)) await measure(medium, { slow: simulated });
  return lines;
}

/** Hashing every byte of a folder against sha256sum. */
export async function hashLines(rounds: number): Promise<readonly Line[]> {
  if (versionOf("sha256sum", "--version") === undefined) return [];
  const card = telemetryCard(1, "beside it");
  const out = mkdtempSync(join(tmpdir(), "goodgate-bench-"));
  const files = pathsOf(card).flatMap((path) => [path, path.replace(/\.MP4$/, ".SRT")]);
  const bytes = sumOf(files.filter((path) => existsSync(path)).map((path) => statSync(path).size));
  try {
    const times = await alternate(rounds, {
      seal: () => runProgram(["seal", card.folder, "--timeline", "25", "--out", join(out, "seal")]).milliseconds,
      sum: () => run("sha256sum", files).milliseconds,
    });
    return [
      {
        what: `seal of ${(bytes / 1e9).toFixed(1)} GB against sha256sum of the same files`,
        spread: ratios(times.seal, times.sum),
        unit: "×",
      },
    ];
  } finally {
    rmSync(out, { recursive: true, force: true });
  }
}
