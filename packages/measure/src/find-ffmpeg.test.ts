import { chmodSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { findFfmpeg, likelyFfmpeg, versionIn } from "./find-ffmpeg.ts";

const folder = mkdtempSync(join(tmpdir(), "find-ffmpeg-"));
afterAll(() => rmSync(folder, { recursive: true }));

function program(name: string, says: string): string {
  const path = join(folder, name);
  writeFileSync(path, `#!/bin/sh\necho '${says}'\n`);
  chmodSync(path, 0o755);
  return path;
}

test.skipIf(process.platform === "win32")("the stated program goes before PATH, and is never replaced", async () => {
  const stated = program("mine", "ffmpeg version 9.1 Copyright");
  program("ffmpeg", "ffmpeg version 5.1.9-0 Copyright");
  expect(await findFfmpeg({ FFMPEG_PATH: stated, PATH: folder })).toEqual({
    path: stated,
    version: "9.1",
    from: "FFMPEG_PATH",
  });
  expect(await findFfmpeg({ PATH: `relative:${folder}` })).toMatchObject({ version: "5.1.9-0", from: "PATH" });
  expect(await findFfmpeg({ FFMPEG_PATH: join(folder, "missing"), PATH: folder })).toBeUndefined();
});

test.skipIf(process.platform === "win32")("what does not call itself ffmpeg is not used", async () => {
  const other = program("other", "hello");
  expect(await findFfmpeg({ FFMPEG_PATH: other })).toBeUndefined();
  expect(await findFfmpeg({ FFMPEG_PATH: folder })).toBeUndefined();
  expect(await findFfmpeg({ PATH: "" })).toBeUndefined();
});

test.skipIf(process.platform === "win32")(
  "the likely one is the first that may be run; what it is, its first line tells",
  async () => {
    const mine = program("mine", "ffmpeg version 9.1 Copyright");
    const likely = program("ffmpeg", "hello");
    expect(await likelyFfmpeg({ FFMPEG_PATH: mine, PATH: folder })).toBe(mine);
    expect(await likelyFfmpeg({ PATH: `relative:/nowhere:${folder}` })).toBe(likely);
    expect(await likelyFfmpeg({ FFMPEG_PATH: join(folder, "missing"), PATH: folder })).toBeUndefined();
    expect(await likelyFfmpeg({ FFMPEG_PATH: folder, PATH: folder })).toBeUndefined();
    // Lines of ffmpeg 5.1.9 at `-v level+info`.
    expect(versionIn("[info] ffmpeg version 5.1.9-0+deb12u1 Copyright (c) 2000-2026 the FFmpeg developers")).toBe(
      "5.1.9-0+deb12u1",
    );
    expect(versionIn("[info]   built with gcc 12 (Debian 12.2.0-14+deb12u1)")).toBeUndefined();
  },
);
