import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { demoCardFolder } from "../../../fixtures/places.ts";
import { main } from "./cli.ts";
import { madeIo } from "./made-io.ts";

test("an interrupt while the card is still being listed leaves a report that says so", async () => {
  const folder = mkdtempSync(join(tmpdir(), "goodgate-listing-"));
  try {
    const io = madeIo();
    io.interrupt();
    expect(await main(["audit", demoCardFolder, "--timeline", "25", "--no-cache", "--out", folder], io)).toBe(130);
    const report = JSON.parse(readFileSync(join(folder, "report.json"), "utf8"));
    expect(report.partial).toBe(true);
    expect(report.answer.says).toContain("Interrupted");
    expect(report.audit.skipped).toEqual([{ path: "card", why: "not listed: interrupted", unread: true }]);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
