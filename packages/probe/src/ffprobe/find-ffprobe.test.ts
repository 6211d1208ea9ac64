import { chmod, mkdir, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { delimiter, dirname, isAbsolute, join, relative } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { findFfprobe, parseVersion } from "./find-ffprobe.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-find-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

async function place(name: string, body: string): Promise<string> {
  const home = join(folder, name);
  await mkdir(home, { recursive: true });
  const path = join(home, "ffprobe");
  await writeFile(path, `#!${process.execPath}\n${body}`);
  await chmod(path, 0o755);
  return path;
}
const telling = (version: string): string =>
  `console.log("ffprobe version ${version} Copyright (c) 2007-2026 the FFmpeg developers")`;

test("the version is read from the first line, without the packager's suffix", () => {
  expect(parseVersion("ffprobe version 5.1.9-0+deb12u1 Copyright (c) 2007-2026")).toBe("5.1.9");
  expect(parseVersion("ffprobe version n7.0 Copyright")).toBe("7.0");
  expect(parseVersion("ffprobe version N-109876-g1a2b3c Copyright")).toBe("N-109876-g1a2b3c");
  expect(parseVersion("ffmpeg version 5.1")).toBeUndefined();
  expect(parseVersion("")).toBeUndefined();
});

describe.skipIf(process.platform === "win32")("looking for a program", () => {
  test("the setting comes first, then the newest on PATH that runs", async () => {
    const old = await place("old", telling("4.4"));
    const newer = await place("newer", telling("6.1.1"));
    const broken = await place("broken", "process.exit(1)");
    const path = ["old", "broken", "newer", "nowhere"].map((name) => join(folder, name)).join(delimiter);
    expect(await findFfprobe({ PATH: path })).toEqual({ path: newer, version: "6.1.1", from: "PATH" });
    expect(await findFfprobe({ PATH: path, FFPROBE_PATH: old })).toMatchObject({ path: old, from: "setting" });
    expect(await findFfprobe({ PATH: path, FFPROBE_PATH: broken })).toMatchObject({ path: newer, from: "PATH" });
  });

  test("one below 5.0 comes with a warning", async () => {
    const path = await place("warned", telling("4.0.2"));
    expect((await findFfprobe({ FFPROBE_PATH: path }))?.warning).toMatch(/4\.0\.2 is older than 5\.0/);
  });

  test("one that hangs is passed over", async () => {
    const path = await place("hanging", "setInterval(() => {}, 1000)");
    expect((await findFfprobe({ FFPROBE_PATH: path, PATH: "" }))?.path).not.toBe(path);
  }, 20_000);

  test("a relative place in PATH is never tried", async () => {
    const home = relative(process.cwd(), dirname(await place("near", telling("9.1"))));
    expect(isAbsolute(home)).toBe(false);
    expect(await findFfprobe({ PATH: home })).not.toMatchObject({ version: "9.1" });
  });

  test("without any, the bundled one answers", async () => {
    expect(await findFfprobe({ PATH: join(folder, "nowhere") })).toMatchObject({ from: "bundled", version: "4.0.2" });
  });
});
