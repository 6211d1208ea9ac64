import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { samplesFolder } from "../../../fixtures/places.ts";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { main } from "./cli.ts";
import { type MadeIo, madeIo } from "./made-io.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-measured-"));
const [card, out, cache, calls] = ["card", "report", "cache", "calls"].map((name) => join(folder, name)) as [
  string,
  string,
  string,
  string,
];
const before = { ffmpeg: process.env["FFMPEG_PATH"], cache: process.env["GOODGATE_CACHE"] };

beforeAll(async () => {
  mkdirSync(card);
  for (const [place, sample] of ["mp4-cfr-24", "mp4-colr-vs-vui", "mp4-moov-end"].entries()) {
    cpSync(join(samplesFolder, sample, "clip.mp4"), join(card, `FLY_000${place}.MP4`), { preserveTimestamps: true });
  }
  const { path } = await findEncoder();
  const program = join(folder, "ffmpeg");
  writeFileSync(program, `#!/bin/sh\necho "$@" >> '${calls}'\nexec '${path}' "$@"\n`, { mode: 0o755 });
  process.env["FFMPEG_PATH"] = program;
  process.env["GOODGATE_CACHE"] = cache;
});
beforeEach(() => {
  for (const place of [out, cache]) rmSync(place, { recursive: true, force: true });
  writeFileSync(calls, "");
});
afterAll(() => {
  process.env["FFMPEG_PATH"] = before.ffmpeg ?? "";
  process.env["GOODGATE_CACHE"] = before.cache ?? "";
  rmSync(folder, { recursive: true, force: true });
});

const audit = (io: MadeIo, ...options: readonly string[]): Promise<number> =>
  main(["audit", card, "--timeline", "25", "--measure", "--out", out, ...options], io);

/** The report as written, without what is a fact of the run. */
function written(): Report {
  const report = JSON.parse(readFileSync(join(out, "report.json"), "utf8")) as Report;
  return {
    ...report,
    card: { ...report.card, freeBytes: 0 },
    audit: { ...report.audit, startedAt: "", seconds: 0, bytesRead: 0, readCalls: 0 },
  };
}
/** Names of the clips whose pictures ffmpeg was asked for since the list was emptied, each once. */
const looked = (): readonly string[] =>
  [...new Set(readFileSync(calls, "utf8").match(/FLY_\d+/g) ?? [])].toSorted((a, b) => (a < b ? -1 : 1));

test("an interrupted look at the pictures goes on where it was, to the same report", async () => {
  expect(await audit(madeIo(), "--no-cache")).toBe(1);
  const whole = written();
  expect(looked()).toEqual(["FLY_0000", "FLY_0001", "FLY_0002"]);
  const io = madeIo((text, self) => {
    if (text.startsWith("looking at the pictures of 3 of ")) self.interrupt();
  });
  expect(await audit(io, "--no-cache")).toBe(130);
  expect(written().partial).toBe(true);
  writeFileSync(calls, "");
  expect(await audit(madeIo(), "--no-cache", "--resume")).toBe(1);
  expect(looked()).toEqual(["FLY_0002"]);
  expect(written()).toEqual(whole);
});

test("a second look asks nothing of pictures that are unchanged, and all of them when it looks at other stretches", async () => {
  expect(await audit(madeIo())).toBe(1);
  const first = written();
  writeFileSync(calls, "");
  expect(await audit(madeIo())).toBe(1);
  expect(looked()).toEqual([]);
  expect({ ...written(), audit: 0 }).toEqual({ ...first, audit: 0 });
  expect(await audit(madeIo(), "--measure=all")).toBe(1);
  expect(looked()).toEqual(["FLY_0000", "FLY_0001", "FLY_0002"]);
  writeFileSync(calls, "");
  expect(await audit(madeIo(), "--fresh")).toBe(1);
  expect(looked()).toEqual(["FLY_0000", "FLY_0001", "FLY_0002"]);
});
