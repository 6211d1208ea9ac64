import { mkdtempSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { main } from "../cli.ts";
import { madeIo } from "../made-io.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-report-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test.each([
  ["a report longer than one text can be", 3 * 1024 ** 3, /larger than one text can be \(512 MB\): take the pages/],
  ["a file that is no report", 10, /report\.json: /],
] as const)("%s is one line that names the file and the remedy", async (_name, bytes, says) => {
  const path = join(folder, "report.json");
  writeFileSync(path, "");
  // A hole: nothing is written.
  truncateSync(path, bytes);
  const io = madeIo();
  expect(await main(["report", path, "--format", "csv"], io)).toBe(2);
  expect(io.told).toHaveLength(1);
  expect(io.told[0]).toMatch(says);
});
