import { expect, test } from "vitest";
import { groupFiles } from "./group.ts";

/** Files of a card by their paths; an exclamation mark stands for one the user named. */
const group = (...paths: readonly string[]) =>
  groupFiles(
    paths.map((path) => ({
      root: "/card",
      path: path.replace(/^!/, ""),
      bytes: 10,
      modifiedMilliseconds: 0,
      asked: path.startsWith("!"),
    })),
  );
const clips = (...paths: readonly string[]) =>
  group(...paths).clips.map((clip) => clip.files.map((file) => `${file.role} ${file.path}`));

test("sidecars go to the clip of their stem, whatever the case", () => {
  expect(clips("A/x1.MP4", "A/X1.srt", "A/x1.Ass", "A/x1.xmp", "A/x1.thm")).toEqual([
    ["original A/x1.MP4", "telemetry A/X1.srt", "telemetry A/x1.Ass", "thumbnail A/x1.thm", "metadata A/x1.xmp"],
  ]);
});

test("XML may add three characters to the stem, subtitles none", () => {
  expect(clips("C0001.MP4", "C0001M01.XML")).toEqual([["original C0001.MP4", "metadata C0001M01.XML"]]);
  expect(group("C0001.MP4", "C0001M012.XML", "C0001a.SRT").remarks.map((one) => [one.kind, ...one.paths])).toEqual([
    ["orphan-sidecar", "C0001M012.XML"],
    ["orphan-sidecar", "C0001a.SRT"],
  ]);
});

test("an XML of the whole structure lies in no folder of clips and is no clip's lost sidecar", () => {
  const found = group("P/INDEX.XML", "P/CLIP/C0001.MP4", "P/CLIP/C0002M01.XML");
  expect(found.remarks.map((one) => one.paths)).toEqual([["P/CLIP/C0002M01.XML"]]);
  expect(found.skipped.map((one) => one.path)).toEqual(["P/INDEX.XML", "P/CLIP/C0002M01.XML"]);
});

test("a sidecar in another folder is not taken: one name in two folders is two recordings", () => {
  const found = group("100A/X0001.MP4", "101A/X0001.SRT");
  expect(found.clips[0]?.files).toHaveLength(1);
  expect(found.remarks).toMatchObject([{ kind: "orphan-sidecar", paths: ["101A/X0001.SRT"] }]);
});

test("name.EXT.xmp speaks of that file alone, and name.xmp of every file of the stem", () => {
  expect(clips("x.MP4", "x.MOV", "x.MP4.xmp")).toEqual([["original x.MP4", "metadata x.MP4.xmp"], ["original x.MOV"]]);
  expect(clips("x.MP4", "x.MOV", "x.xmp").map((files) => files.length)).toEqual([2, 2]);
});

test("low-resolution copies are found by extension, by folder and by number", () => {
  expect(clips("D/AB010001.MP4", "D/AB010001.LRV")).toEqual([["original D/AB010001.MP4", "proxy D/AB010001.LRV"]]);
  expect(clips("CLIP/C0001.MP4", "SUB/C0001S03.MP4")).toEqual([["original CLIP/C0001.MP4", "proxy SUB/C0001S03.MP4"]]);
  expect(clips("D/AX010001.MP4", "D/AL010001.LRV")).toEqual([["original D/AX010001.MP4", "proxy D/AL010001.LRV"]]);
  expect(clips("a/X1.MP4", "Proxy/X1.mov")).toEqual([["original a/X1.MP4", "proxy Proxy/X1.mov"]]);
});

test("a copy whose original is not here, or could be either of two, is a remark", () => {
  // The original of this copy is gone; the one in the next folder is another recording of the same number.
  expect(group("100A/AB010001.LRV", "101A/AB010001.MP4").remarks).toMatchObject([{ kind: "orphan-proxy" }]);
  expect(group("D/AB010001.LRV").remarks).toMatchObject([{ kind: "orphan-proxy" }]);
  expect(group("1/X1.MP4", "2/X1.MP4", "SUB/X1.MP4").remarks).toMatchObject([
    { kind: "orphan-proxy", paths: ["SUB/X1.MP4"] },
  ]);
  expect(clips("D/AX010001.MP4", "D/AY010001.MP4", "D/AL010001.LRV").map((files) => files.length)).toEqual([1, 1]);
});

test("stills and their negatives are one, with their sidecars", () => {
  const found = group("A/p1.JPG", "A/p1.DNG", "A/p1.xmp", "A/p2.DNG");
  expect(found.stills.map((still) => still.files.map((file) => `${file.role} ${file.path}`))).toEqual([
    ["original A/p1.DNG", "original A/p1.JPG", "metadata A/p1.xmp"],
    ["original A/p2.DNG"],
  ]);
  expect(found.remarks).toEqual([]);
});

test("every file ends up somewhere", () => {
  const paths = [
    "a.MP4",
    "a.SRT",
    "b.SRT",
    "c.LRV",
    "d.JPG",
    "e.txt",
    "f",
    "g.MPL",
    "h.WAV",
    "CARD.XML",
    "i.DNG",
    "j.XMP",
    "k.THM",
  ];
  const found = group(...paths);
  const seen = [
    ...found.clips.flatMap((clip) => clip.files.map((file) => file.path)),
    ...found.stills.flatMap((still) => still.files.map((file) => file.path)),
    ...found.skipped.map((one) => one.path),
  ];
  expect(seen.sort()).toEqual([...paths].sort());
});

test("a file the user named is a recording to be looked at, whatever its extension", () => {
  expect(clips("!strange.bin")).toEqual([["original strange.bin"]]);
  expect(clips("!AB010001.LRV")).toEqual([["original AB010001.LRV"]]);
  expect(clips("strange.bin")).toEqual([]);
});

test("ten thousand clips with sidecars are grouped in well under a second", () => {
  const paths = Array.from({ length: 10_000 }, (_, number) => `D/A${number}`).flatMap((stem) => [
    `${stem}.MP4`,
    `${stem}.SRT`,
    `${stem}q.LRV`,
  ]);
  const began = process.cpuUsage();
  const found = group(...paths);
  expect(found.clips).toHaveLength(10_000);
  expect(processorMilliseconds(began)).toBeLessThan(2000);
});

/** Processor time since `began`: a loaded machine does not make it longer. */
function processorMilliseconds(began: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(began);
  return (user + system) / 1000;
}

test("sound that was named alone is opened; beside its recording it stays with it", () => {
  expect(clips("!A/x1.m4a")).toEqual([["original A/x1.m4a"]]);
  expect(clips("A/x1.m4a")).toEqual([]);
  expect(clips("!A/x1.MP4", "!A/x1.wav")).toEqual([["original A/x1.MP4", "sound A/x1.wav"]]);
});

test("thumbnails in a folder of their own are no photographs", () => {
  const found = group("P/CLIP/C0001.MP4", "P/THMBNL/C0001T01.JPG", "P/THMBNL/C0009T01.JPG");
  expect(found.stills).toEqual([]);
  expect(found.clips[0]?.files.map((file) => `${file.role} ${file.path}`)).toEqual([
    "original P/CLIP/C0001.MP4",
    "thumbnail P/THMBNL/C0001T01.JPG",
  ]);
  expect(found.skipped.map((one) => one.path)).toEqual(["P/THMBNL/C0009T01.JPG"]);
});
