// usage: npm run bench [-- --full] [-- --rounds N]
// Audits made cards and runs the yardsticks beside it, in turn. Without --full: some clips against as many ffprobe
// calls, in about half a minute. With it: everything, and docs/performance.md is written anew. Kept notes stay in that page.
import { writeFileSync } from "node:fs";
import { cpus, totalmem } from "node:os";
import { join } from "node:path";
import * as bars from "./bars.ts";
import { headerCard } from "./cards.ts";
import * as growth from "./growth.ts";
import { pageOf, printed } from "./page.ts";
import { buildWorker, takeProgram, versionOf } from "./runs.ts";

const page = join(import.meta.dirname, "../../docs/performance.md");
const full = process.argv.includes("--full");
const stated = process.argv.indexOf("--rounds");
const rounds = stated < 0 ? (full ? 5 : 2) : Number(process.argv[stated + 1]);
if (!Number.isInteger(rounds) || rounds < 1) {
  console.error("--rounds: a whole number is expected");
  process.exit(2);
}
if (!takeProgram()) {
  console.error("build first: npm run build");
  process.exit(2);
}
if (versionOf("ffprobe", "-version") === undefined) {
  console.error("ffprobe is not on PATH: it is the yardstick of the bench");
  process.exit(2);
}

const parts: (readonly [string, readonly bars.Line[]])[] = [];
const add = async (title: string, lines: Promise<readonly bars.Line[]>): Promise<void> => {
  const done = await lines;
  parts.push([title, done]);
  console.log(`\n${title}`);
  for (const line of done) console.log(`  ${printed(line)}`);
};

if (full) {
  const { header } = bars.makeCards(true);
  await buildWorker();
  await add("Headers: 200 clips of 60,000 frames", bars.readingLines(header, rounds));
  await add("Whole programs", bars.programLines(header, Math.min(rounds, 3), 40, true));
  await add("Start-up", bars.startLines(header, rounds));
  await add("Telemetry for every frame", bars.telemetryLines(Math.min(rounds, 5)));
  await add("Growth: clips of ten seconds", growth.growthLines([10, 100, 1000, 10_000], 3));
  await add("Clips read at a time", growth.jobLines(header, 2));
  await add("Second audit", bars.secondAuditLines(200, 3));
  await add("Hashing", growth.hashLines(2));
  const machine = `${cpus().length} × ${cpus()[0]?.model ?? "unknown processor"}, ${Math.round(totalmem() / 1e9)} GB, Node ${process.version}`;
  const tools = [versionOf("ffprobe", "-version"), versionOf("mediainfo", "--Version")].map((said) =>
    said?.slice(0, 60),
  );
  writeFileSync(page, pageOf(parts, { machine, tools, rounds, notes: bars.textOf(page) }));
  console.log(`\nwritten: docs/performance.md`);
} else {
  const count = 60;
  const card = headerCard(count);
  await buildWorker();
  await add(
    `${count} clips of 60,000 frames and as many ffprobe calls, ${rounds} rounds`,
    bars.programLines(card, rounds, count, false),
  );
}
const missed = parts.flatMap(([, lines]) => lines).filter((line) => bars.misses(line));
if (missed.length > 0) console.log(`\n${missed.length} bars missed: ${missed.map((line) => line.what).join("; ")}`);
