// usage: tsx scripts/write-schema.ts [--check]
// Writes docs/report.schema.json from the code; with --check it only fails when the file is stale.
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { reportJsonSchema } from "../packages/report/src/schema.ts";

const file = join(dirname(fileURLToPath(import.meta.url)), "..", "docs", "report.schema.json");
const text = `${JSON.stringify(reportJsonSchema(), undefined, 2)}\n`;

if (process.argv.includes("--check")) {
  let written = "";
  try {
    written = readFileSync(file, "utf8");
  } catch {
    // A missing file is a stale one.
  }
  if (written.replaceAll("\r\n", "\n") !== text) {
    console.error("docs/report.schema.json is stale: run tsx scripts/write-schema.ts");
    process.exitCode = 1;
  }
} else {
  mkdirSync(dirname(file), { recursive: true });
  writeFileSync(file, text);
}
