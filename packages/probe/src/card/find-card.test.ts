import { mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { findCard } from "./find-card.ts";
import { recogniseLayout } from "./layout.ts";

const never = new AbortController().signal;
let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-card-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

async function put(...paths: readonly string[]): Promise<void> {
  for (const path of paths) {
    await mkdir(join(folder, path, ".."), { recursive: true });
    await writeFile(join(folder, path), "0123456789");
  }
}

test("a camera card: one name in two folders stays two clips, the hole in the count is told", async () => {
  await put(
    "DCIM/100ABCDE/ABCD0001.MP4",
    "DCIM/100ABCDE/ABCD0001.SRT",
    "DCIM/100ABCDE/ABCD0003.MP4",
    "DCIM/101ABCDE/ABCD0001.MP4",
  );
  await writeFile(join(folder, "DCIM/100ABCDE/ABCD0004.MP4"), "");
  const card = await findCard([folder], never);
  expect(card.layout).toBe("camera folders (DCF)");
  expect(card.clips.map((clip) => clip.name)).toEqual([
    "DCIM/100ABCDE/ABCD0001.MP4",
    "DCIM/100ABCDE/ABCD0003.MP4",
    "DCIM/100ABCDE/ABCD0004.MP4",
    "DCIM/101ABCDE/ABCD0001.MP4",
  ]);
  expect(card.remarks.map((one) => one.kind)).toEqual(["name-collision", "number-gap"]);
  expect([card.fileCount, card.totalBytes]).toEqual([5, 40]);
  expect(card.freeBytes).toBeGreaterThan(0);
});

test("layouts are told by structure", () => {
  expect(
    recogniseLayout(["PRIVATE/AVCHD/BDMV/STREAM/00000.MTS"], ["PRIVATE/AVCHD/BDMV", "PRIVATE/AVCHD/BDMV/STREAM"], true),
  ).toBe("transport-stream tree");
  expect(recogniseLayout(["P/ROOT/CLIP/C0001.MP4", "P/ROOT/CLIP/C0001M01.XML"], ["P/ROOT/CLIP"], true)).toBe(
    "clip folders with XML",
  );
  // A folder for every clip; and pictures with their XML in sibling folders.
  for (const paths of [
    ["C/CLIPS001/C0001/C0001.MXF", "C/CLIPS001/C0001/C0001M01.XML"],
    ["CONTENTS/VIDEO/0001AB.MXF", "CONTENTS/CLIP/0001AB.XML"],
  ]) {
    const folders = [...new Set(paths.map((path) => path.slice(0, path.lastIndexOf("/"))))];
    expect(recogniseLayout(paths, folders, true)).toBe("clip folders with XML");
  }
  expect(recogniseLayout(["trip/a.MP4", "trip/b.XML"], ["trip"], true)).toBe("plain folder");
  expect(recogniseLayout(["a.MP4"], [], true)).toBe("plain folder");
  expect(recogniseLayout(["a.MP4"], [], false)).toBe("single files");
});

test("an empty folder is an empty card", async () => {
  expect(await findCard([folder], never)).toMatchObject({
    clips: [],
    stills: [],
    skipped: [],
    remarks: [],
    totalBytes: 0,
  });
});

test("a single file is a card of one clip", async () => {
  await put("A/clip.MP4", "A/clip.SRT", "A/more.MP4");
  const card = await findCard([join(folder, "A/clip.MP4")], never);
  expect(card.layout).toBe("single files");
  expect(card.clips.map((clip) => clip.files.map((file) => file.path))).toEqual([["clip.MP4", "clip.SRT"]]);
});

test("no report can learn the folder on this machine from names, remarks or reasons", async () => {
  await put("DCIM/100ABCDE/ABCD0001.SRT", "x.txt", "DCIM/100ABCDE/ABCD0009.MP4");
  const { clips, ...card } = await findCard([folder], never);
  expect(JSON.stringify([card, clips.map(({ root: _root, ...clip }) => clip)])).not.toContain(tmpdir());
});
