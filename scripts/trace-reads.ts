// usage: tsx scripts/trace-reads.ts [folder …]
// Confirms what goodgate says it read: runs `facts --json` under strace (Linux; package "strace") and adds up what the
// system gave it of the files below the folder (default: the demo card). Ends with 1 when the two sums differ, when a
// file is opened for anything but reading, or when a clip took more than the bar of 1.1 × needed + 64 KiB.
import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, realpathSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { demoCardFolder, projectFolder } from "../fixtures/places.ts";

interface Entry {
  readonly name: string;
  readonly readers: readonly string[];
  readonly cost: { readonly bytes: number; readonly calls: number; readonly neededBytes?: number };
}

/** What the system gave of the files below a folder, out of strace's lines. */
function sumTrace(lines: readonly string[], folder: string): { bytes: number; calls: number; writes: number } {
  const ours = new Set<string>();
  const sum = { bytes: 0, calls: 0, writes: 0 };
  /** Calls that another thread's line interrupted, by thread. */
  const begun = new Map<string, string>();
  for (const line of lines) {
    const [, thread = "", says = ""] = /^(?:\[pid\s+)?(\d+)\]?\s+(.*)$/.exec(line) ?? [];
    let call = says;
    if (call.endsWith("<unfinished ...>")) {
      begun.set(thread, call.replace(/\s*<unfinished \.\.\.>$/, ""));
      continue;
    }
    const resumed = /^<\.\.\. \w+ resumed>(.*)$/.exec(call);
    if (resumed !== null) call = `${begun.get(thread) ?? ""}${resumed[1] ?? ""}`;
    const opened = /^open(?:at)?\((?:[^"]*)"((?:[^"\\]|\\.)*)", ([A-Z_|]+).*\) = (\d+)/.exec(call);
    if (opened !== null) {
      const [, path = "", flags = "", place = ""] = opened;
      const inside = path.startsWith(`${folder}/`) && !flags.includes("O_DIRECTORY");
      if (inside) ours.add(place);
      else ours.delete(place);
      if (inside && /O_WRONLY|O_RDWR|O_CREAT|O_TRUNC/.test(flags)) sum.writes += 1;
      continue;
    }
    const closed = /^close\((\d+)\)/.exec(call);
    if (closed !== null) ours.delete(closed[1] ?? "");
    const got = /^(?:read|pread64|readv|preadv)\((\d+),.*\) = (\d+)$/.exec(call);
    if (got !== null && ours.has(got[1] ?? "")) {
      sum.bytes += Number(got[2]);
      sum.calls += 1;
    }
  }
  return sum;
}

let failed = false;
const asked = process.argv.slice(2);
for (const given of asked.length === 0 ? [demoCardFolder] : asked) {
  const folder = realpathSync(given);
  const work = mkdtempSync(join(tmpdir(), "goodgate-trace-"));
  try {
    const log = join(work, "calls.txt");
    // One clip after the other, so that a number of an open file means one file at a time.
    const program = ["--import", "tsx", "packages/cli/src/goodgate.ts", "facts", folder, "--json", "--jobs", "1"];
    const run = spawnSync(
      "strace",
      [
        "-f",
        "-s",
        "4096",
        "-e",
        "trace=open,openat,read,pread64,readv,preadv,close",
        "-o",
        log,
        process.execPath,
        ...program,
      ],
      // Reads handed to the kernel through a ring would be no calls.
      { cwd: projectFolder, encoding: "utf8", maxBuffer: 1 << 28, env: { ...process.env, UV_USE_IO_URING: "0" } },
    );
    if (run.error !== undefined) throw new Error(`strace does not run: ${run.error.message}`);
    const says = JSON.parse(run.stdout) as { readonly clips: readonly Entry[]; readonly stills: readonly Entry[] };
    const entries = [...says.clips, ...says.stills];
    const counted = { bytes: 0, calls: 0, needed: 0 };
    const over: string[] = [];
    for (const { name, cost, readers } of entries) {
      counted.bytes += cost.bytes;
      counted.calls += cost.calls;
      counted.needed += cost.neededBytes ?? cost.bytes;
      if (readers.includes("goodgate") && cost.bytes > 1.1 * (cost.neededBytes ?? 0) + 65_536) over.push(name);
    }
    const traced = sumTrace(readFileSync(log, "utf8").split("\n"), folder);
    const foreign = entries.filter(({ readers }) => readers.some((reader) => reader.startsWith("ffprobe"))).length;
    console.log(`${given}: ${says.clips.length} clips and ${says.stills.length} stills`);
    console.log(`  counted ${counted.bytes} bytes in ${counted.calls} calls, ${counted.needed} needed`);
    console.log(`  traced  ${traced.bytes} bytes in ${traced.calls} calls, ${traced.writes} files opened for writing`);
    if (foreign > 0)
      console.log(`  ${foreign} files were read by ffprobe, whose own reads are in the trace and not in the count`);
    for (const name of over) console.log(`  over the bar: ${name}`);
    failed ||= over.length > 0 || traced.writes > 0 || (foreign === 0 && traced.bytes !== counted.bytes);
  } finally {
    rmSync(work, { recursive: true, force: true });
  }
}
process.exitCode = failed ? 1 : 0;
