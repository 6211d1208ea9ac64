import { execFileSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { demoBriefFile, demoCardFolder } from "../../../fixtures/places.ts";
import { bagFaults } from "../../seal/src/made-bag-check.ts";
import { contents, goodgate, startGoodgate, works } from "./built.ts";

let folder: string;
let card: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "goodgate-seal-cli-"));
  card = join(folder, "card");
  mkdirSync(join(card, "DCIM/100FLYER"), { recursive: true });
  for (const name of ["FLY_0001.MP4", "FLY_0001.SRT", "FLY_0024.JPG"]) {
    cpSync(join(demoCardFolder, "DCIM/100FLYER", name), join(card, "DCIM/100FLYER", name), {
      preserveTimestamps: true,
    });
  }
  writeFileSync(join(card, "unknown.bin"), "what nobody understands is sealed too");
  writeFileSync(join(card, "100 % sure.txt"), "percent");
  writeFileSync(join(card, `${"n".repeat(251)}.TXT`), "the longest name there is");
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const record = (): string => join(folder, "record");

test("a seal holds every file with the audit, and sha256sum -c and the check accept it until a byte changes", () => {
  const run = goodgate(["seal", card, "--brief", demoBriefFile, "--out", record()]);
  expect([run.status, run.stderr]).toEqual([0, ""]);
  expect(run.stdout).toContain("sealed: 6 files");
  expect(run.stdout).toContain("not who, where, or that the card is complete");
  for (const name of ["report.json", "report.html", "card.sha256", "bagit.txt", "manifest-sha256.txt"]) {
    expect(statSync(join(record(), name)).size).toBeGreaterThan(0);
  }
  if (works("sha256sum", "--version")) {
    const says = execFileSync("sha256sum", ["-c", "--strict", join(record(), "card.sha256")], {
      cwd: card,
      encoding: "utf8",
    });
    expect(says.trim().split("\n")).toHaveLength(6);
  }
  expect(goodgate(["seal", card, "--check", record()]).status).toBe(0);

  const clip = join(card, "DCIM/100FLYER/FLY_0001.MP4");
  const bytes = readFileSync(clip);
  bytes[bytes.length - 1] = (bytes.at(-1) ?? 0) ^ 1;
  writeFileSync(clip, bytes);
  rmSync(join(card, "unknown.bin"));
  writeFileSync(join(card, "new.txt"), "new");
  const changed = goodgate(["seal", card, "--check", record()]);
  expect(changed.status).toBe(1);
  expect(changed.stdout).toContain("changed: DCIM/100FLYER/FLY_0001.MP4\n");
  expect(changed.stdout).toContain("missing: unknown.bin\n");
  expect(changed.stdout).toContain("extra: new.txt\n");
  expect(changed.stdout).toContain("Do not wipe the card");
});

test("a seal's record becomes a valid bag when the card's tree is put into it", () => {
  goodgate(["seal", card, "--out", record()]);
  expect(bagFaults(record())).toContain("2.1.2 no data");
  cpSync(card, join(record(), "data"), { recursive: true });
  expect(bagFaults(record())).toEqual([]);
});

test("a copy to two places is a valid bag at each, the same as the card, with the audit", () => {
  const places = [join(folder, "a"), join(folder, "b/deep")];
  const run = goodgate(["copy", card, ...places, "--brief", demoBriefFile]);
  expect(run.stderr).toBe("");
  expect(run.status).toBeLessThan(2);
  const relative = (root: string): unknown => [...contents(root)].map(([path, sum]) => [path.slice(root.length), sum]);
  for (const place of places) {
    expect(bagFaults(place)).toEqual([]);
    // The tag manifest holds no name that needs RFC 8493's own percent signs, so the common tool reads it too.
    if (works("sha256sum", "--version"))
      execFileSync("sha256sum", ["-c", "--strict", "--quiet", "tagmanifest-sha256.txt"], { cwd: place });
    expect(relative(join(place, "data"))).toEqual(relative(card));
    expect(JSON.parse(readFileSync(join(place, "report.json"), "utf8")).clips).toHaveLength(1);
    expect(readdirSync(place)).not.toContain(".goodgate-part");
  }
  const again = goodgate(["copy", card, ...places]);
  expect(again.stdout).toContain("0 files copied and read back the same, 6 there already");
});

test("a different file at the destination is kept, named, and the copy is not called complete", () => {
  mkdirSync(join(folder, "a/data"), { recursive: true });
  writeFileSync(join(folder, "a/data/unknown.bin"), "somebody's only copy");
  const run = goodgate(["copy", card, join(folder, "a")]);
  expect(run.status).toBe(1);
  expect(run.stdout).toContain("a different file is there and was kept: unknown.bin");
  expect(run.stdout).toContain("do not wipe the card");
  expect(readFileSync(join(folder, "a/data/unknown.bin"), "utf8")).toBe("somebody's only copy");
  expect(existsSync(join(folder, "a/manifest-sha256.txt"))).toBe(false);
});

test("an interrupted copy leaves whole files only, and the same command goes on", async () => {
  const bytes = 200_000_000;
  writeFileSync(join(card, "zz-large.bin"), Buffer.alloc(bytes, 7));
  const running = startGoodgate(["copy", card, join(folder, "a")]);
  const parts = join(folder, "a/.goodgate-part");
  // The seventh in the card's order.
  const part = join(parts, "file-6");
  const ended = new Promise<number | null>((done) => running.once("close", done));
  while (running.exitCode === null && !(existsSync(part) && existsSync(join(folder, "a/data/unknown.bin")))) {
    await new Promise((again) => setTimeout(again, 5));
  }
  running.kill("SIGINT");
  expect(await ended).toBe(130);
  expect(existsSync(join(folder, "a/data/zz-large.bin"))).toBe(false);
  expect(existsSync(parts)).toBe(false);
  const run = goodgate(["copy", card, join(folder, "a")]);
  expect(run.status).toBeLessThan(2);
  expect(bagFaults(join(folder, "a"))).toEqual([]);
});

test("one destination inside another is refused, for the one would be listed as a part of the other", () => {
  const run = goodgate(["copy", card, join(folder, "a"), join(folder, "a/data/b")]);
  expect([run.status, run.stderr]).toEqual([2, expect.stringContaining("lies in another")]);
  expect(existsSync(join(folder, "a/data"))).toBe(false);
});

test("one destination that fails costs the other nothing", () => {
  mkdirSync(join(folder, "bad"));
  // A file where the payload folder should be: fails for any user.
  writeFileSync(join(folder, "bad/data"), "in the way");
  const run = goodgate(["copy", card, join(folder, "bad"), join(folder, "good")]);
  expect(run.status).toBe(1);
  expect(run.stdout).toContain("NOT complete: do not wipe the card");
  expect(run.stdout).toContain(`good: 6 files copied and read back the same`);
  expect(bagFaults(join(folder, "good"))).toEqual([]);
  expect(readFileSync(join(folder, "bad/data"), "utf8")).toBe("in the way");
});

test("names that would move the cursor or turn text round are shown by a seal, its check and a copy, not obeyed", () => {
  const name = "\u001B[31ma\nb\u202Egpj.txt";
  writeFileSync(join(card, name), "1");
  const sealed = goodgate(["seal", card, "--out", record()]);
  writeFileSync(join(card, name), "2");
  const checked = goodgate(["seal", card, "--check", record()]);
  mkdirSync(join(folder, "a/data"), { recursive: true });
  writeFileSync(join(folder, "a/data", name), "3");
  const copied = goodgate(["copy", card, join(folder, "a")]);
  const refused = goodgate(["seal", join(folder, name), "--out", record()]);
  const shown = [sealed, checked, copied, refused].map(({ stdout, stderr }) => stdout + stderr).join("");
  expect(shown).not.toMatch(/[\u001B\u202E]/);
  for (const command of ["changed: ", "was kept: "]) expect(shown).toContain(`${command}␛[31ma␊b<U+202E>gpj.txt`);
});

test("--no-positions leaves positions out of the audit in a record and beside a copy", () => {
  const numbers = (folder: string): readonly string[] =>
    Object.values(JSON.parse(readFileSync(join(folder, "report.json"), "utf8")).clips as { facts: object }[])
      .flatMap(({ facts }) => Object.entries(facts))
      .filter(([name]) => name === "location" || name === "path")
      .map(([, fact]) => (fact as { state: string }).state);
  goodgate(["seal", card, "--out", record()]);
  expect(numbers(record())).toContain("read");
  goodgate(["seal", card, "--out", join(folder, "untold"), "--no-positions"]);
  goodgate(["copy", card, join(folder, "a"), "--no-positions"]);
  for (const place of [join(folder, "untold"), join(folder, "a")]) expect(numbers(place)).not.toContain("read");
});

const canMount = works("unshare", "-m", "true");

test.skipIf(!canMount)(
  "a destination that fills up keeps whole files, says no space left, and is not called complete",
  () => {
    writeFileSync(join(card, "zz-large.bin"), Buffer.alloc(6_000_000, 7));
    const small = join(folder, "small");
    mkdirSync(small);
    const script = 'mount -t tmpfs -o size=4m tmpfs "$1"; place=$1; shift; "$@"; code=$?; ls -R "$place"; exit $code';
    const run = goodgate(["copy", card, small], { before: ["unshare", "-m", "sh", "-c", script, "sh", small] });
    expect(run.status).toBe(1);
    expect(run.stdout).toContain("zz-large.bin: no space left");
    expect(run.stdout).toContain("NOT complete: do not wipe the card");
    expect(run.stdout).not.toContain(".goodgate-part");
    expect(run.stdout.split("\n")).not.toContain("zz-large.bin");
  },
);

test.skipIf(!canMount)(
  "a report on a disk that is full is not written at all, says so, and the one before it stays",
  () => {
    const small = join(folder, "small");
    mkdirSync(small);
    const script =
      'mount -t tmpfs -o size=64k tmpfs "$1"; head -c 40000 /dev/zero > "$1/filler"; echo the report of yesterday > "$1/report.html"; place=$1; shift; "$@"; code=$?; ls -A "$place"; cat "$place/report.html"; exit $code';
    const run = goodgate(["audit", demoCardFolder, "--out", small], {
      before: ["unshare", "-m", "sh", "-c", script, "sh", small],
    });
    expect(run.status).toBe(2);
    expect(run.stderr).toContain("no space left");
    expect(run.stdout).toContain("the report of yesterday");
    expect(run.stdout).not.toMatch(/\.part|report\.json/);
  },
);

test("a record that is none is told in a line", () => {
  writeFileSync(join(folder, "bad.sha256"), "not a checksum\n");
  for (const path of [join(folder, "bad.sha256"), join(folder, "nothing")]) {
    const run = goodgate(["seal", card, "--check", path]);
    expect(run.status).toBe(2);
    expect(run.stderr.trim().split("\n")).toHaveLength(1);
  }
});

test("an empty folder, which a card out of its reader leaves, is neither sealed nor copied", () => {
  const empty = join(folder, "empty");
  mkdirSync(empty);
  const says = `goodgate: ${empty}: no files there: see that the card is in its reader, and give the card itself\n`;
  for (const args of [
    ["seal", empty, "--out", record()],
    ["copy", empty, join(folder, "copy")],
  ]) {
    const run = goodgate(args);
    expect([run.status, run.stdout, run.stderr], args[0]).toEqual([2, "", says]);
  }
  expect(existsSync(join(record(), "card.sha256"))).toBe(false);
});
