import { execFileSync } from "node:child_process";
import { chmod, mkdir, mkdtemp, rm, symlink, writeFile } from "node:fs/promises";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { reasonOf, walk } from "./walk.ts";

const never = new AbortController().signal;
let folder = "";
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-walk-"));
});
afterEach(() => rm(folder, { recursive: true, force: true }));

async function put(...paths: readonly string[]): Promise<void> {
  for (const path of paths) {
    const real = join(folder, path);
    await mkdir(join(real, ".."), { recursive: true });
    await writeFile(real, path);
  }
}
const windows = process.platform === "win32";

test("files come in plain order of their paths, with slashes, sizes and the folder's name", async () => {
  await put("b/Z.MP4", "b/a.MP4", "a/x.MP4", "ä.MP4");
  const found = await walk([folder], never);
  expect(found.files.map((file) => file.path)).toEqual(["a/x.MP4", "b/Z.MP4", "b/a.MP4", "ä.MP4"]);
  expect(found.files[0]).toMatchObject({ bytes: 7, asked: false });
  expect(found.label).toBe(folder.split(/[\\/]/).at(-1));
});

test.skipIf(windows)("links are listed and never followed: no loop, no way out", async () => {
  await put("a/clip.MP4");
  await symlink(folder, join(folder, "a", "loop"));
  await symlink("/", join(folder, "outside"));
  await symlink(join(folder, "a", "clip.MP4"), join(folder, "link.MP4"));
  await symlink(join(folder, "gone"), join(folder, "dangling.MP4"));
  const found = await walk([folder], never);
  expect(found.files.map((file) => file.path)).toEqual(["a/clip.MP4"]);
  expect(found.skipped.map((one) => [one.path, one.why])).toEqual([
    ["a/loop", "link, not followed"],
    ["dangling.MP4", "link, not followed"],
    ["link.MP4", "link, not followed"],
    ["outside", "link, not followed"],
  ]);
});

test.skipIf(windows)("pipes and sockets are listed as skipped and never opened", async () => {
  execFileSync("mkfifo", [join(folder, "pipe.MP4")]);
  const server = createServer();
  await new Promise<void>((ready) => void server.listen(join(folder, "s.MP4"), ready));
  const found = await walk([folder], never);
  await new Promise((closed) => void server.close(closed));
  expect(found.files).toEqual([]);
  expect(found.skipped).toEqual([
    { path: "pipe.MP4", why: "pipe, not a file" },
    { path: "s.MP4", why: "socket, not a file" },
  ]);
  expect((await walk([join(folder, "pipe.MP4")], never)).skipped).toMatchObject([{ why: "pipe, not a file" }]);
});

test("hostile names come through as they are", async () => {
  const names = [
    "-rf.MP4",
    "a b'c\".MP4",
    "$(x).MP4",
    "\u202Egnp.MP4",
    "%2e%2e.MP4",
    "nul\u0001.MP4",
    "x".repeat(200) + ".MP4",
  ];
  if (!windows) names.push("line\nbreak.MP4", "tab\t.MP4", "<b>.MP4");
  const written = windows ? names.filter((name) => !/["<>\u0001]/.test(name)) : names;
  await put(...written);
  expect((await walk([folder], never)).files.map((file) => file.path).sort()).toEqual([...written].sort());
});

test("system folders and hidden files are told, not silently dropped", async () => {
  await put(
    "._A.MP4",
    ".Trashes/A.MP4",
    "System Volume Information/x",
    "DCIM/A.MP4",
    "MISC/THM/A.THM",
    "FOUND.000/FILE0000.CHK",
  );
  const found = await walk([folder], never);
  expect(found.files.map((file) => file.path)).toEqual(["DCIM/A.MP4"]);
  expect(found.skipped.map((one) => one.path)).toEqual([
    ".Trashes",
    "._A.MP4",
    "FOUND.000",
    "MISC",
    "System Volume Information",
  ]);
  expect(found.remarks).toMatchObject([{ kind: "recovered-fragments", paths: ["FOUND.000"] }]);
});

test("a folder MISC that is not a camera's is looked into", async () => {
  await put("MISC/A.MP4");
  expect((await walk([folder], never)).files.map((file) => file.path)).toEqual(["MISC/A.MP4"]);
});

test.skipIf(windows || process.getuid?.() === 0)(
  "a folder that cannot be listed is skipped with the reason",
  async () => {
    await put("open/A.MP4", "shut/B.MP4");
    await chmod(join(folder, "shut"), 0);
    const found = await walk([folder], never);
    await chmod(join(folder, "shut"), 0o755);
    expect(found.files.map((file) => file.path)).toEqual(["open/A.MP4"]);
    expect(found.skipped).toEqual([{ path: "shut", why: "folder cannot be listed: no permission" }]);
  },
);

test("deeper than any card is told", async () => {
  await put(`${"d/".repeat(20)}A.MP4`);
  const found = await walk([folder], never);
  expect(found.files).toEqual([]);
  expect(found.skipped).toMatchObject([{ why: "deeper than 16 folders" }]);
});

test("a file named alone brings its sidecars and nothing else", async () => {
  await put("A/clip.MP4", "A/CLIP.srt", "A/clipM01.XML", "A/other.MP4", "A/other.SRT");
  const found = await walk([join(folder, "A", "clip.MP4")], never);
  expect(found.files.map((file) => [file.path, file.asked])).toEqual([
    ["CLIP.srt", false],
    ["clip.MP4", true],
    ["clipM01.XML", false],
  ]);
});

const names = async (...paths: readonly string[]) =>
  (
    await walk(
      paths.map((path) => join(folder, path)),
      never,
    )
  ).files.map((file) => file.path);

test("several folders keep what tells them apart, and one given twice counts once", async () => {
  await put("one/card/A.MP4", "two/card/A.MP4");
  expect(await names("one", "two")).toEqual(["one/card/A.MP4", "two/card/A.MP4"]);
  expect(await names("one/card", "two/card")).toEqual(["one/card/A.MP4", "two/card/A.MP4"]);
  expect(await names("one", "one")).toEqual(["card/A.MP4"]);
  expect(await names("one", "one/card")).toEqual(["one/card/A.MP4"]);
});

test("a path that is not there is skipped, an abort is thrown", async () => {
  expect(await walk([join(folder, "gone")], never)).toMatchObject({
    files: [],
    skipped: [{ path: "gone", why: "cannot be opened: it is not there" }],
  });
  await expect(walk([folder], AbortSignal.abort())).rejects.toThrow(/abort/i);
});

test("reasons never hold a path", () => {
  expect(reasonOf(Object.assign(new Error("EACCES: /place/x"), { code: "EACCES" }))).toBe("no permission");
  expect(reasonOf(Object.assign(new Error("x"), { code: "EODD" }))).toBe("system error EODD");
  expect(reasonOf(new Error("/place/x"))).toBe("unreadable");
});
