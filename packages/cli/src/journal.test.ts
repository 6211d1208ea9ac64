import {
  appendFileSync,
  cpSync,
  existsSync,
  mkdtempSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { demoBriefFile, demoCardFolder } from "../../../fixtures/places.ts";
import { main } from "./cli.ts";
import { journalName } from "./journal.ts";
import { type MadeIo, madeIo } from "./made-io.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-journal-"));
const card = join(folder, "card");
const out = join(folder, "report");
const journal = join(out, journalName);
let whole: unknown;

beforeAll(async () => {
  cpSync(demoCardFolder, card, { recursive: true, preserveTimestamps: true });
  expect(await audit(madeIo())).toBe(1);
  whole = written();
});
beforeEach(() => rmSync(out, { recursive: true, force: true }));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const audit = (io: MadeIo, ...options: readonly string[]): Promise<number> =>
  main(
    ["audit", card, "--brief", demoBriefFile, "--no-cache", "--out", out, "--jobs", "1", "--no-cache", ...options],
    io,
  );

/** The report as written, without what is a fact of the run: its time, its length, the room left. */
function written(): Report {
  const report = JSON.parse(readFileSync(join(out, "report.json"), "utf8")) as Report;
  return {
    ...report,
    card: { ...report.card, freeBytes: 0 },
    audit: { ...report.audit, startedAt: "", seconds: 0 },
  };
}

/** An audit that is interrupted once `count` clips are read. */
async function interruptAt(count: number, ...options: readonly string[]): Promise<MadeIo> {
  const io = madeIo((text, self) => {
    if (text.startsWith(`reading ${count} of `)) self.interrupt();
  });
  expect(await audit(io, ...options)).toBe(130);
  return io;
}

test("an interrupted audit writes a partial report that says so, and resumed it gives the same as one run", async () => {
  const io = await interruptAt(5);
  expect(io.told.join()).toContain("--resume");
  const partial = written();
  expect(partial.partial).toBe(true);
  expect(partial.clips).toHaveLength(5);
  expect(existsSync(journal)).toBe(true);
  expect(await audit(madeIo(), "--resume")).toBe(1);
  expect(written()).toEqual(whole);
  expect(existsSync(journal)).toBe(false);
});

test("interrupted again and again it still comes to the same end", async () => {
  await interruptAt(1);
  for (const count of [4, 9]) await interruptAt(count, "--resume");
  expect(await audit(madeIo(), "--resume")).toBe(1);
  expect(written()).toEqual(whole);
});

test("what was kept is not read again; a file with another size or time is", async () => {
  const path = join(card, "DCIM/100FLYER/FLY_0001.MP4");
  const original = readFileSync(path);
  const { atime, mtime } = statSync(path);
  try {
    await interruptAt(5);
    // Same name, size and time: only a reader that opens the file can tell.
    writeFileSync(path, Buffer.alloc(original.length));
    utimesSync(path, atime, mtime);
    expect(await audit(madeIo(), "--resume")).toBe(1);
    expect(written()).toEqual(whole);

    writeFileSync(path, original);
    utimesSync(path, atime, mtime);
    await interruptAt(5);
    writeFileSync(path, Buffer.alloc(original.length));
    utimesSync(path, atime, new Date(mtime.getTime() + 5000));
    expect(await audit(madeIo(), "--resume")).toBe(1);
    expect(written().clips[0]?.facts["structure"]?.state).toBe("damaged");
  } finally {
    writeFileSync(path, original);
    utimesSync(path, atime, mtime);
  }
});

test("a damaged journal costs time, never truth: what is cut off or altered is read anew", async () => {
  await interruptAt(8);
  const kept = readFileSync(journal);
  const restart = async (bytes: Buffer): Promise<void> => {
    writeFileSync(journal, bytes);
    expect(await audit(madeIo(), "--resume")).toBe(1);
    expect(written()).toEqual(whole);
  };
  for (const share of [0.001, 0.9]) await restart(kept.subarray(0, Math.floor(kept.length * share)));
  const lied = Buffer.from(kept.toString("latin1").replaceAll('"~r":"25/1"', '"~r":"24/1"'), "latin1");
  expect(lied.equals(kept)).toBe(false);
  await restart(lied);
  await restart(Buffer.alloc(300_000, 0x20));
});

test("a line that an interrupt cut off does not swallow the next one", async () => {
  await interruptAt(4);
  truncateSync(journal, statSync(journal).size - 7);
  await interruptAt(8, "--resume");
  const lines = readFileSync(journal, "utf8")
    .split("\n")
    .filter((line) => line !== "");
  // Three whole lines, the cut one, and one for each clip read since, but for those that are damaged.
  expect(lines.length).toBeGreaterThan(5);
  expect(lines.every((line) => /^[0-9a-f]{16} [0-9a-f]{32} /.test(line))).toBe(true);
  appendFileSync(journal, "half a li");
  expect(await audit(madeIo(), "--resume")).toBe(1);
  expect(written()).toEqual(whole);
});

test("other options read anew, and no --resume starts from nothing", async () => {
  await interruptAt(5);
  const before = statSync(journal).size;
  await interruptAt(1);
  expect(statSync(journal).size).toBeLessThan(before);
  await interruptAt(5, "--resume", "--second-reader");
  expect(await audit(madeIo(), "--resume")).toBe(1);
  expect(written()).toEqual(whole);
});

test("--resume without --out is a wrong command that says what to do", async () => {
  const io = madeIo();
  expect(await main(["audit", card, "--resume"], io)).toBe(2);
  expect(io.told.join()).toContain("--out");
});
