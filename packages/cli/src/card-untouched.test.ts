import {
  chmodSync,
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  rmSync,
  statSync,
  symlinkSync,
  utimesSync,
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
