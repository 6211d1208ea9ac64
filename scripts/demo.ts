// usage: tsx scripts/demo.ts
// Makes the demo card in demo-card/, audits it with the built program, and says where the report lies.
import { spawnSync } from "node:child_process";
import { cpSync, existsSync, readdirSync, rmSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { makeDemoCard } from "../fixtures/demo-card/make.ts";
import { demoCardFolder, projectFolder } from "../fixtures/places.ts";

const card = join(projectFolder, "demo-card");
const page = join(projectFolder, "demo-report", "report.html");

const began = performance.now();
const made = await makeDemoCard(dirname(demoCardFolder));
if (!isSame(demoCardFolder, card)) {
  rmSync(card, { recursive: true, force: true });
  cpSync(demoCardFolder, card, { recursive: true, preserveTimestamps: true });
}
if (made) console.error(`demo card made in ${((performance.now() - began) / 1000).toFixed(1)} s`);

const program = join("packages", "cli", "dist", "goodgate.js");
rmSync(page, { force: true });
const brief = join("fixtures", "demo-card", "brief.yaml");
const audit = spawnSync(
  process.execPath,
  [program, "audit", "demo-card", "--brief", brief, "--no-cache", "--out", "demo-report"],
  {
    stdio: "inherit",
    cwd: projectFolder,
  },
);
if (audit.error !== undefined) console.error(audit.error.message);
// The card holds faults on purpose: an audit that finds them has passed, if it also wrote its report.
const passed = (audit.status === 0 || audit.status === 1) && existsSync(page);
if (passed) console.log(page);
process.exitCode = passed ? 0 : audit.status || 3;

/** Whether two folders hold the same files by path, size and time. */
function isSame(wanted: string, found: string): boolean {
  return existsSync(found) && listed(wanted) === listed(found);
}

function listed(folder: string): string {
  return readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => ({ path, stat: statSync(join(folder, path)) }))
    .filter(({ stat }) => stat.isFile())
    .map(({ path, stat }) => `${path} ${stat.size} ${Math.floor(stat.mtimeMs / 1000)}`)
    .sort()
    .join("\n");
}
