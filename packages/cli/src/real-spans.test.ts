import { execFileSync } from "node:child_process";
import { mkdirSync, mkdtempSync, openSync, closeSync, ftruncateSync, rmSync, statSync, writeSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Clip } from "@goodgate/model";
import { afterAll, beforeAll, expect, test } from "vitest";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { madeIo } from "./made-io.ts";
import { readCard } from "./read-card.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-spans-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let ffmpeg = "";
beforeAll(async () => {
  ffmpeg = (await findEncoder()).path;
});

/** Where a FAT32 card ends a file, less the last second: 4 GiB are its limit (Microsoft FAT specification, from memory). */
const fullBytes = 4_290_000_000;

/** A part of two seconds at 25, really encoded; a full one is filled up with an empty box, a hole on the disk. */
function part(card: string, name: string, timecode: string, clock: string, more: { full?: boolean; size?: string }) {
  const path = join(folder, card, "DCIM", "100FLYER", name);
  mkdirSync(join(path, ".."), { recursive: true });
  const picture = `testsrc2=s=${more.size ?? "320x180"}:r=25:d=2`;
  const coded = ["-c:v", "libx264", "-preset", "ultrafast", "-g", "25"];
  const stated = ["-timecode", timecode, "-metadata", `creation_time=${clock}`];
  execFileSync(ffmpeg, ["-v", "error", "-f", "lavfi", "-i", picture, ...stated, ...coded, path]);
  if (more.full !== true) return;
  const { size } = statSync(path);
  const header = Buffer.alloc(16);
  header.writeUInt32BE(1, 0);
  header.write("free", 4, "latin1");
  header.writeBigUInt64BE(BigInt(fullBytes - size), 8);
  const file = openSync(path, "a");
  writeSync(file, header);
  ftruncateSync(file, fullBytes);
  closeSync(file);
}

async function read(card: string): Promise<readonly Clip[]> {
  return [...(await readCard([join(folder, card)], {}, madeIo())).clips];
}
const frames = ({ facts }: Clip): unknown => (facts.frames?.state === "read" ? facts.frames.value : undefined);

test("a real recording that the card cut at four gigabytes is one clip, its joint checked to the frame", async () => {
  part("cut", "FLY_0001.MP4", "10:00:00:00", "2024-05-05T10:00:00Z", { full: true });
  part("cut", "FLY_0002.MP4", "10:00:02:00", "2024-05-05T10:00:02Z", {});
  const [clip, ...others] = await read("cut");
  expect(others).toEqual([]);
  expect(clip?.files.map(({ role, frames: count }) => [role, count])).toEqual([
    ["original", 50],
    ["part", 50],
  ]);
  expect(clip === undefined ? undefined : frames(clip)).toBe(100);
  expect(clip?.joints.map(({ gapFrames }) => gapFrames)).toEqual([0]);
  expect(clip?.joints[0]?.evidence).toEqual(expect.arrayContaining(["names", "timecode", "full size"]));
});

test("a frame lost at the joint is counted", async () => {
  part("lost", "FLY_0001.MP4", "10:00:00:00", "2024-05-05T10:00:00Z", { full: true });
  part("lost", "FLY_0002.MP4", "10:00:02:01", "2024-05-05T10:00:02Z", {});
  const clips = await read("lost");
  expect(clips.map(({ joints }) => joints.map(({ gapFrames }) => gapFrames))).toEqual([[1]]);
});

test("two takes that merely follow each other stay two, and so do parts of another raster", async () => {
  part("takes", "FLY_0001.MP4", "10:00:00:00", "2024-05-05T10:00:00Z", {});
  part("takes", "FLY_0002.MP4", "10:00:09:00", "2024-05-05T10:00:09Z", {});
  part("raster", "FLY_0001.MP4", "10:00:00:00", "2024-05-05T10:00:00Z", { full: true });
  part("raster", "FLY_0002.MP4", "10:00:02:00", "2024-05-05T10:00:02Z", { size: "640x360" });
  for (const card of ["takes", "raster"]) expect((await read(card)).map(frames), card).toEqual([50, 50]);
});
