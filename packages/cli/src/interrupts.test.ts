import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { demoCardFolder } from "../../../fixtures/places.ts";
import { startGoodgate } from "./built.ts";
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

/** Interrupts the program as soon as it listens, and keeps it busy for some seconds once it has heard. */
const busyOnceInterrupted = `
  const { writeSync } = require("node:fs");
  const { on } = process;
  process.on = function (name, ...rest) {
    if (name === "SIGINT") setImmediate(() => process.kill(process.pid, "SIGINT"));
    return on.call(this, name, ...rest);
  };
  const { abort } = AbortController.prototype;
  AbortController.prototype.abort = function (...reasons) {
    abort.apply(this, reasons);
    AbortController.prototype.abort = abort;
    setImmediate(() => {
      writeSync(2, "busy");
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 8_000);
    });
  };
`;

test("a second interrupt ends the program at once, though it is deep in work and hears nothing", async () => {
  const folder = mkdtempSync(join(tmpdir(), "goodgate-busy-"));
  try {
    const hook = join(folder, "busy.cjs");
    writeFileSync(hook, busyOnceInterrupted);
    const args = ["audit", demoCardFolder, "--timeline", "25", "--no-cache"];
    const running = startGoodgate(args, { NODE_OPTIONS: `--require ${hook}` });
    const ended = new Promise<NodeJS.Signals | null>((done) => running.once("exit", (_, signal) => done(signal)));
    let sent = false;
    running.stderr?.on("data", (bytes: Buffer) => {
      if (sent || !bytes.toString().includes("busy")) return;
      sent = true;
      running.kill("SIGINT");
    });
    expect(await ended).toBe("SIGINT");
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
