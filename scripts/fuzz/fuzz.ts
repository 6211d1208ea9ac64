// usage: npm run fuzz [-- --count 20000 --from 1 --workers 2 --keep]
// Tries that many hostile files, prints what came of it, and with --keep writes what did harm to scripts/fuzz/crashers.
import { createHash } from "node:crypto";
import { writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";
import makeTestMedia from "../test-media.ts";
import { keptCrashers, runFuzz } from "./run-fuzz.ts";

const { values } = parseArgs({
  options: {
    count: { type: "string", default: "20000" },
    from: { type: "string", default: "1" },
    workers: { type: "string", default: String(Math.max(1, availableParallelism())) },
    keep: { type: "boolean", default: false },
  },
});
await makeTestMedia();
const began = performance.now();
const result = await runFuzz({
  from: Number(values.from),
  count: Number(values.count),
  workers: Number(values.workers),
  recipes: keptCrashers().map(({ recipe }) => recipe),
  minimise: true,
  onProgress: (tried, wrong) => {
    if (tried % 500 === 0)
      console.error(`${tried} tried, ${wrong} wrong, ${Math.round((performance.now() - began) / 1000)} s`);
  },
});
const folder = join(fileURLToPath(new URL(".", import.meta.url)), "crashers");
for (const crasher of result.crashers) {
  const text = `${JSON.stringify(crasher)}\n`;
  console.log(text.slice(0, 900).trimEnd());
  const name = createHash("sha256").update(JSON.stringify(crasher.recipe)).digest("hex").slice(0, 12);
  if (values.keep && crasher.recipe.sample !== "") writeFileSync(join(folder, `${name}.json`), text);
}
const ways = new Map<string, number>();
for (const { how } of result.better) ways.set(how, (ways.get(how) ?? 0) + 1);
console.log(
  `verdicts that became better by a changed value: ${[...ways].map(([how, count]) => `${how} ${count}`).join(", ") || "none"}`,
);
console.log(
  `${result.tried} hostile files, ${result.damaged} found damaged; ${result.crashers.length} wrong, ${result.hangs} hung; ` +
    `slowest ${Math.round(result.slowestMilliseconds)} ms of processor time, peak ${Math.round(result.peakBytes / 1024 / 1024)} MB; ` +
    `${Math.round((performance.now() - began) / 1000)} s`,
);
process.exitCode = result.crashers.length > 0 ? 1 : 0;
