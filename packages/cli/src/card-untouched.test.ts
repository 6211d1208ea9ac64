import {
  chmodSync,
  cpSync,
  existsSync,
  linkSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { demoBriefFile, demoCardFolder, samplesFolder } from "../../../fixtures/places.ts";
import { builtProgram, contents, goodgate, statuses, works } from "./built.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-untouched-"));
const card = join(folder, "card");
const demoExit = 1;
const canMount = works("unshare", "-m", "true");
const isRoot = process.getuid?.() === 0;

beforeAll(() => {
  cpSync(demoCardFolder, card, { recursive: true, preserveTimestamps: true });
  for (const sample of ["card-avchd", "jpeg-exif", "mp4-camm"]) {
    cpSync(join(samplesFolder, sample), join(card, sample), { recursive: true, preserveTimestamps: true });
  }
  // For anybody, so that the test without privileges can read it.
  chmodSync(folder, 0o755);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Gives every file a time of last access before its last write: the next reader sets it, unless it is quiet. */
function ageAccess(): void {
  for (const entry of readdirSync(card, { recursive: true, withFileTypes: true })) {
    const path = join(entry.parentPath, entry.name);
    if (entry.isFile()) utimesSync(path, new Date(2001, 1, 1), statSync(path).mtime);
  }
}

test("two audits, facts, a seal and a copy leave every byte, name, mode and time of the card as it was", () => {
  const bytes = contents(card);
  ageAccess();
  const before = statuses(card);
  for (const run of ["one", "two"]) {
    const audit = goodgate(["audit", card, "--brief", demoBriefFile, "--out", join(folder, run)], {
      // No second program: ffprobe opens files as any program does, and sets the time of last access.
      env: { FFPROBE_PATH: "", PATH: "" },
    });
    expect(audit.stderr).toBe("");
    expect(audit.status).toBe(demoExit);
    if (run === "one") expect(compared(statuses(card), before, isForeign)).toEqual([]);
  }
  goodgate(["facts", card, "--json"], { env: { PATH: "" } });
  expect(goodgate(["seal", card, "--out", join(folder, "seal")], { env: { PATH: "" } }).status).toBe(0);
  goodgate(["copy", card, join(folder, "copy")], { env: { PATH: "" } });
  expect(existsSync(join(folder, "copy/data"))).toBe(true);
  expect(compared(statuses(card), before, isForeign)).toEqual([]);
  expect(compared(contents(card), bytes)).toEqual([]);
});

/** Files only the bundled ffprobe reads; their time of last access alone may move, and is left out. */
const isForeign = (path: string): boolean => /\.(mts|m2ts)$/i.test(path);

function compared(
  after: ReadonlyMap<string, string>,
  before: ReadonlyMap<string, string>,
  withoutAccess: (path: string) => boolean = () => false,
): readonly string[] {
  const seen = (path: string, of: ReadonlyMap<string, string>): string | undefined =>
    withoutAccess(path) ? of.get(path)?.replace(/ \S+$/, "") : of.get(path);
  return [...new Set([...before.keys(), ...after.keys()])]
    .filter((path) => seen(path, after) !== seen(path, before))
    .slice(0, 5)
    .map((path) => `${path}: ${before.get(path)} is now ${after.get(path)}`);
}

test("a report, a record or a copy on the card is refused with a sentence, and nothing is made there", () => {
  const before = statuses(card);
  symlinkSync(join(card, "DCIM"), join(folder, "way-in"));
  for (const place of [
    card,
    join(card, "new/report"),
    join(folder, "way-in", "report"),
    join(card, "DCIM", "..", "r"),
  ]) {
    for (const command of [
      ["audit", card, "--out", place],
      ["seal", card, "--out", place],
      ["copy", card, place],
    ]) {
      const run = goodgate(command);
      expect(run.status).toBe(2);
      expect(run.stderr).toContain("lies on the card, which is never written");
      expect(run.stderr.trim().split("\n")).toHaveLength(1);
    }
  }
  expect(compared(statuses(card), before)).toEqual([]);
});

test("a copy goes through no link back to the card, and never counts the card as its own copy", () => {
  const links = join(folder, "links");
  const small = join(links, "card");
  for (const name of ["DCIM", "MISC"]) mkdirSync(join(small, name), { recursive: true });
  writeFileSync(join(small, "DCIM/a.txt"), "a");
  symlinkSync(small, join(links, "data"));
  mkdirSync(join(links, "deep/data"), { recursive: true });
  symlinkSync(join(small, "MISC"), join(links, "deep/data/DCIM"));
  const before = statuses(small);
  const refused = goodgate(["copy", small, links]);
  expect([refused.status, refused.stderr]).toEqual([2, expect.stringContaining("lies on the card")]);
  const run = goodgate(["copy", small, join(links, "deep")]);
  expect(run.status).toBe(1);
  expect(run.stdout).toContain("a link or a file is there in place of a folder");
  expect(run.stdout).toContain("NOT complete: do not wipe the card");
  expect(compared(statuses(small), before)).toEqual([]);
});

test("a file at the destination that is the card's own, by a hard or a soft link, is no copy", () => {
  const own = join(folder, "own");
  const files = join(own, "card/DCIM");
  mkdirSync(files, { recursive: true });
  for (const name of ["a.txt", "b.txt"]) writeFileSync(join(files, name), name);
  mkdirSync(join(own, "to/data/DCIM"), { recursive: true });
  linkSync(join(files, "a.txt"), join(own, "to/data/DCIM/a.txt"));
  symlinkSync(join(files, "b.txt"), join(own, "to/data/DCIM/b.txt"));
  const run = goodgate(["copy", join(own, "card"), join(own, "to")]);
  expect(run.status).toBe(1);
  expect(run.stdout).toContain("a.txt: what is there is the card's own file");
  expect(run.stdout).toContain("b.txt: something else than a file is there and was kept");
  expect(run.stdout).toContain("0 files copied and read back the same, 0 there already; NOT complete");
});

test.skipIf(!canMount)("a card that is mounted a second time is known by its folder, not by its name", () => {
  const twice = join(folder, "twice");
  mkdirSync(twice);
  const script = 'mount --bind "$1" "$2"; shift 2; exec "$@"';
  const run = goodgate(["audit", card, "--out", join(twice, "report")], {
    before: ["unshare", "-m", "sh", "-c", script, "sh", card, twice],
  });
  expect([run.status, run.stderr]).toEqual([2, expect.stringContaining("lies on the card, which is never written")]);
  expect(existsSync(join(card, "report"))).toBe(false);
});

test.skipIf(!canMount)("a card that is mounted read-only is audited all the same", () => {
  const mounted = join(folder, "mounted");
  mkdirSync(mounted);
  const script = `mount --bind "${card}" "${mounted}" && mount -o remount,bind,ro "${mounted}" && ! touch "${mounted}/x" 2>/dev/null && exec "$@"`;
  const run = goodgate(["audit", mounted, "--brief", demoBriefFile, "--json"], {
    before: ["unshare", "-m", "sh", "-c", script, "sh"],
  });
  expect(run.stderr).toBe("");
  expect(run.status).toBe(demoExit);
  expect(JSON.parse(run.stdout).clips.length).toBeGreaterThan(10);
});

test.skipIf(!isRoot || !works("setpriv", "--version"))("no privileges are needed: it runs as nobody", () => {
  const before = statuses(card);
  const asNobody = [
    "setpriv",
    "--reuid=65534",
    "--regid=65534",
    "--clear-groups",
    "--no-new-privs",
    "--bounding-set=-all",
  ];
  expect(works(asNobody[0] ?? "", ...asNobody.slice(1), "test", "-r", builtProgram)).toBe(true);
  const run = goodgate(["audit", card, "--brief", demoBriefFile, "--json"], {
    before: asNobody,
    env: { HOME: "/nonexistent" },
  });
  expect(run.stderr).toBe("");
  expect(run.status).toBe(demoExit);
  // Who does not own a file may not ask for quiet: the time of last access is the one thing that may move.
  expect(compared(statuses(card), before, () => true)).toEqual([]);
});
