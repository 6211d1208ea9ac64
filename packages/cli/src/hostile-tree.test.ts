import { execFileSync, spawnSync } from "node:child_process";
import { chmodSync, cpSync, existsSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { afterEach, beforeEach, expect, test } from "vitest";
import { auditExitCode } from "./exit-codes.ts";
import { samplesFolder } from "../../../fixtures/places.ts";
import { goodgate, works } from "./built.ts";

const isRoot = process.getuid?.() === 0;
const sample = join(samplesFolder, "mp4-cfr-24/clip.mp4");
const matroska = join(samplesFolder, "mkv-cfr-29.97/clip.mkv");
/** In memory where there is such a place: a hundred thousand files take a disk twenty seconds. */
const place = existsSync("/dev/shm") ? "/dev/shm" : tmpdir();
let card: string;

beforeEach(() => {
  card = mkdtempSync(join(place, "goodgate-tree-"));
  chmodSync(card, 0o755);
  cpSync(sample, join(card, "FLY_0001.MP4"));
});
afterEach(() => {
  // Names in broken UTF-8 and trees deeper than a path may be long: the system's own tool knows how.
  execFileSync("rm", ["-rf", card]);
});

const audit = (...before: readonly string[]): Report => {
  const run = goodgate(["audit", card, "--json"], { before, timeout: 60_000 });
  expect(run.stderr).toBe("");
  expect([0, 1]).toContain(run.status);
  return JSON.parse(run.stdout) as Report;
};
const skipped = (report: Report): Readonly<Record<string, string>> =>
  Object.fromEntries(report.audit.skipped.map(({ path, why }) => [path, why]));

test("pipes, sockets, devices and links are named and never opened", async () => {
  execFileSync("mkfifo", [join(card, "FLY_0002.MP4")]);
  const server = createServer().listen(join(card, "FLY_0003.MP4"));
  symlinkSync("/dev/zero", join(card, "FLY_0004.MP4"));
  symlinkSync("FLY_0005.MP4", join(card, "FLY_0005.MP4"));
  mkdirSync(join(card, "DCIM"));
  symlinkSync("..", join(card, "DCIM/100FLYER"));
  const hasDevice = isRoot && works("mknod", join(card, "FLY_0006.MP4"), "c", "1", "5");
  try {
    const report = audit();
    expect(report.clips.map((clip) => clip.name)).toEqual(["FLY_0001.MP4"]);
    expect(skipped(report)).toEqual({
      "FLY_0002.MP4": "pipe, not a file",
      "FLY_0003.MP4": "socket, not a file",
      "FLY_0004.MP4": "link, not followed",
      "FLY_0005.MP4": "link, not followed",
      "DCIM/100FLYER": "link, not followed",
      ...(hasDevice ? { "FLY_0006.MP4": "device, not a file" } : {}),
    });
  } finally {
    await new Promise((done) => server.close(done));
  }
});

test("a file named by the user that is a pipe or a device is not read either", () => {
  execFileSync("mkfifo", [join(card, "pipe.mp4")]);
  for (const path of [join(card, "pipe.mp4"), "/dev/zero", "/dev/stdin"]) {
    const run = goodgate(["facts", path, "--json"], { timeout: 10_000 });
    expect(run.signal).toBeNull();
    expect(run.stdout + run.stderr).not.toContain("fault of goodgate");
  }
});

test("names in broken UTF-8, with controls, of options and of addresses are names and nothing more", () => {
  const names = [
    "-o.MP4",
    "--help.MP4",
    "concat:a|b.MP4",
    "http:x.MP4",
    "a\nb.MP4",
    "\u001B[31mred.MP4",
    "\u202Egpj.MP4",
    "…'\"$(x)`.MP4",
    `${"n".repeat(250)}.MP4`,
  ];
  for (const name of names) cpSync(sample, join(card, name));
  for (const name of ["-i.mkv", "concat:x.mkv", "pipe:0.mkv"]) cpSync(matroska, join(card, name));
  const broken = Buffer.concat([Buffer.from(`${card}/bad-`), Buffer.from([0xff, 0xfe]), Buffer.from(".MP4")]);
  writeFileSync(broken, "x");
  const report = audit();
  const rates = Object.fromEntries(report.clips.map((clip) => [clip.name, clip.facts["frameRate"]?.state]));
  for (const name of [...names, "-i.mkv", "concat:x.mkv", "pipe:0.mkv"])
    expect([name, rates[name]]).toEqual([name, "read"]);
  // A name no text can hold must not vanish: it is listed.
  expect([...Object.keys(skipped(report)), ...Object.keys(rates)].some((path) => path.includes("\uFFFD"))).toBe(true);
  const lost = report.audit.skipped.find((each) => each.path.includes("\uFFFD"));
  expect(lost?.unread).toBe(true);
  expect(report.answer.says).toContain("1 place on the card could not be looked at.");
  const table = goodgate(["audit", card, "--timeline", "24"]);
  expect(table.status).toBe(1);
  expect(table.stdout).not.toMatch(/[\u001B\u202E]/);
});

test("a place that could not be looked at keeps a card from being good", () => {
  const report = { partial: false, counts: { clips: 1, stills: 0, reshoot: 0, unknown: 0 }, audit: { skipped: [] } };
  const code = (skipped: readonly object[]): number =>
    auditExitCode({ ...report, audit: { skipped } } as unknown as Parameters<typeof auditExitCode>[0]);
  expect(code([])).toBe(0);
  expect(code([{ path: "MISC", why: "the camera's own folder for thumbnails and logs" }])).toBe(0);
  expect(code([{ path: "DCIM/101", why: "folder cannot be listed: no permission", unread: true }])).toBe(1);
});

test.skipIf(isRoot && !works("setpriv", "--version"))(
  "files and folders without rights are named with the reason",
  () => {
    for (const name of ["FLY_0002.MP4", "FLY_0003.MP4"]) cpSync(sample, join(card, name));
    cpSync(join(samplesFolder, "srt-slow-clock"), join(card, "pair"), { recursive: true });
    chmodSync(join(card, "FLY_0002.MP4"), 0);
    mkdirSync(join(card, "closed"));
    cpSync(sample, join(card, "closed/FLY_0009.MP4"));
    chmodSync(join(card, "closed"), 0);
    const report = audit(...(isRoot ? ["setpriv", "--reuid=65534", "--regid=65534", "--clear-groups"] : []));
    // Given back, so that whoever runs the tests can clear the folder away.
    chmodSync(join(card, "closed"), 0o755);
    const clip = report.clips.find((each) => each.name === "FLY_0002.MP4");
    expect(clip?.verdict).toBe("unknown");
    expect(clip?.unknown.map((each) => each.says).join()).toContain("no permission");
    expect(report.clips.find((each) => each.name === "FLY_0003.MP4")?.facts["frameRate"]?.state).toBe("read");
    expect(skipped(report)["closed"]).toContain("no permission");
  },
);

test("a tree a thousand folders deep ends at the bound, and what lies below is said to be left out", () => {
  // Deeper than a path may be long: made one folder at a time, as broken file systems have it.
  spawnSync("sh", [
    "-c",
    'cd "$1"; i=0; while [ $i -lt 1000 ]; do mkdir deep && cd deep || exit; i=$((i+1)); done',
    "sh",
    card,
  ]);
  const report = audit();
  expect(report.clips).toHaveLength(1);
  expect(Object.values(skipped(report)).join()).toContain("deeper than");
});

test("a hundred thousand files in one folder are listed in bounded time and memory", { timeout: 120_000 }, () => {
  spawnSync("sh", ["-c", 'cd "$1" && mkdir many && cd many && seq -f "F%06g.TXT" 1 100000 | xargs touch', "sh", card]);
  const began = performance.now();
  const run = goodgate(["audit", card, "--json"], {
    before: ["sh", "-c", '"$@"; code=$?; exit $code', "sh"],
    env: { NODE_OPTIONS: "--max-old-space-size=256" },
  });
  expect(run.stderr).toBe("");
  const report = JSON.parse(run.stdout) as Report;
  expect(report.clips).toHaveLength(1);
  expect(report.card.files + report.audit.skipped.length).toBeGreaterThanOrEqual(100_000);
  expect(performance.now() - began).toBeLessThan(60_000);
});

test("a playlist in the clothes of a clip opens no other file and no connection", async () => {
  let knocked = 0;
  const server = createServer(() => (knocked += 1)).listen(0, "127.0.0.1");
  await new Promise((ready) => server.once("listening", ready));
  const address = server.address();
  const port = typeof address === "object" && address !== null ? address.port : 0;
  const playlist = `#EXTM3U\n#EXT-X-TARGETDURATION:1\n#EXTINF:1,\nhttp://127.0.0.1:${port}/a.ts\n#EXT-X-ENDLIST\n`;
  for (const name of ["list.ts", "list.mkv", "list.MP4"]) writeFileSync(join(card, name), playlist);
  // The same behind a mark that sends it to ffprobe, should a demuxer look further in.
  writeFileSync(join(card, "mixed.mkv"), Buffer.concat([Buffer.from("1a45dfa3", "hex"), Buffer.from(playlist)]));
  writeFileSync(join(card, "concat.mkv"), `ffconcat version 1.0\nfile http://127.0.0.1:${port}/b.ts\n`);
  try {
    const report = audit();
    for (const clip of report.clips.filter((each) => each.name !== "FLY_0001.MP4"))
      expect(clip.verdict).toBe("unknown");
    expect(knocked).toBe(0);
    expect(existsSync(join(card, "FLY_0001.MP4"))).toBe(true);
  } finally {
    await new Promise((done) => server.close(done));
  }
});

test("an empty folder is a wrong command that says what to give", () => {
  rmSync(join(card, "FLY_0001.MP4"));
  const run = goodgate(["audit", card]);
  expect(run.status).toBe(2);
  expect(run.stderr).toContain("no clips and no stills there");
});
