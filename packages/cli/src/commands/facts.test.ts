import { copyFileSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, relative } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { samplesFolder } from "../../../../fixtures/places.ts";
import { makeMovie, soundEntry } from "../../../probe/src/containers/isobmff/make-movie.ts";
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

test("sound alone is no footage; the line says that there is sound, and nothing else", async () => {
  const inside = join(folder, "sound");
  mkdirSync(inside);
  const entry = soundEntry("sowt", 2, 16, 48_000);
  const bytes = makeMovie({ tracks: [{ handler: "soun", entry, durations: [[5, 1920]], sizes: [9, 9, 9, 9, 9] }] });
  for (const name of ["a.mov", "b.m4a"]) writeFileSync(join(inside, name), bytes);
  const [line, ...more] = await lines([join(inside, "b.m4a")]);
  expect(more).toEqual([]);
  const { path, state, hasAudio, ...others } = line ?? {};
  expect([path, state, hasAudio]).toEqual([join(inside, "b.m4a"), "not footage", true]);
  expect(Object.keys(others)).toHaveLength(18);
  expect(Object.values(others).every((value) => value === null)).toBe(true);
  // Sound met in a folder is not opened unless its name promises pictures.
  const both = await lines([inside]);
  expect(both.map((one) => [one["path"], one["state"], one["hasAudio"]])).toEqual([
    ["a.mov", "not footage", true],
    ["b.m4a", "not footage", null],
  ]);
});
