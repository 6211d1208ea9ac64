import { copyFileSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { samplesFolder } from "../../../../fixtures/places.ts";
import { madeIo } from "../made-io.ts";
import { facts, type FactsOptions } from "./facts.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-facts-"));
const clip = join(folder, "one", "clip.mp4");
beforeAll(() => {
  for (const inside of ["one", "two"]) {
    mkdirSync(join(folder, inside));
    for (const name of ["clip.mp4", "clip.SRT"]) {
      copyFileSync(join(samplesFolder, "srt-bom-crlf", name), join(folder, inside, name));
    }
  }
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

async function printed(paths: readonly string[], options: FactsOptions): Promise<string> {
  const io = madeIo();
  expect(await facts(paths, options, io)).toBe(0);
  return io.printed.join("");
}

async function lines(paths: readonly string[]): Promise<readonly Record<string, unknown>[]> {
  const text = await printed(paths, { jsonl: true });
  return text
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as Record<string, unknown>);
}

test("a file named by itself has one line, under the name it was given by, with what its subtitle file says", async () => {
  const byRelative = relative(process.cwd(), clip);
  for (const given of [clip, byRelative]) {
    const found = await lines([given]);
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ path: given, state: "read", frameRate: "25/1", iso: 110 });
  }
});

test("two files of one name keep the names they were given by", async () => {
  const other = join(folder, "two", "clip.mp4");
  expect((await lines([clip, other])).map((line) => line["path"])).toEqual([clip, other]);
});

test("files of a folder have their path inside it, companions with them", async () => {
  expect((await lines([join(folder, "one")])).map((line) => [line["path"], line["state"]])).toEqual([
    ["clip.SRT", "not footage"],
    ["clip.mp4", "read"],
  ]);
  const all = (await lines([folder])).map((line) => line["path"]);
  expect(all).toEqual(["one/clip.SRT", "one/clip.mp4", "two/clip.SRT", "two/clip.mp4"]);
});

test("of a folder and a file together the folder's files carry its name", async () => {
  const two = join(folder, "two");
  expect((await lines([clip, two])).map((line) => line["path"])).toEqual([clip, "two/clip.SRT", "two/clip.mp4"]);
});

test("the page for reading says what was read: bytes, calls, milliseconds", async () => {
  const page = await printed([clip], {});
  expect(page).toMatch(/read [\d,. ]+ (?:bytes|kB).* in \d+ calls?, [\d.]+ ms, by goodgate/);
  expect(page).toContain("frameRate");
});
