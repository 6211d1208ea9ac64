import { execFileSync } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { afterAll, beforeAll, expect, test } from "vitest";
import { samplesFolder } from "../../../fixtures/places.ts";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { goodgate, startGoodgate, works } from "./built.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-programs-"));
const card = join(folder, "card");

beforeAll(() => {
  mkdirSync(card);
  cpSync(join(samplesFolder, "mkv-cfr-29.97/clip.mkv"), join(card, "FLY_0001.mkv"));
  cpSync(join(samplesFolder, "mp4-cfr-24/clip.mp4"), join(card, "FLY_0002.MP4"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** An ffprobe that tells its version and then does as the shell text says. */
function program(name: string, does: string): string {
  const path = join(folder, name);
  writeFileSync(
    path,
    `#!/bin/sh\nif [ "$1" = "-version" ]; then echo "ffprobe version 9.9 test"; exit 0; fi\n${does}\n`,
    { mode: 0o755 },
  );
  return path;
}

function auditWith(path: string): Report {
  const run = goodgate(["audit", card, "--json"], { env: { FFPROBE_PATH: path }, timeout: 60_000 });
  expect(run.stderr).toBe("");
  expect(run.status).toBe(1);
  return JSON.parse(run.stdout) as Report;
}

/** The clip ffprobe had to read is unknown and says why; the other is read as ever. */
function expectOneUnknown(report: Report, why: RegExp): void {
  const [first, second] = report.clips;
  expect([first?.name, first?.verdict]).toEqual(["FLY_0001.mkv", "unknown"]);
  expect(JSON.stringify(first?.facts["structure"])).toMatch(why);
  expect(second?.facts["frameRate"]?.state).toBe("read");
}

const ways: readonly (readonly [string, string, RegExp])[] = [
  ["dies", "kill -9 $$", /9\.9 cannot read it/],
  ["fails", "echo 'no such luck' >&2; exit 3", /no such luck/],
  ["says nothing", "exit 0", /cannot read it/],
  ["prints garbage", "head -c 100000 /dev/urandom", /cannot read it/],
  ["prints half an answer", `echo '{"streams": [{"codec_type": "video", "width": '`, /cannot read it/],
  ["prints a gigabyte", "head -c 1000000000 /dev/zero", /more than \d+ bytes of answer/],
  ["prints a gigabyte of errors", "head -c 1000000000 /dev/zero >&2", /more than \d+ bytes of answer|cannot read it/],
  [
    "prints numbers that are none",
    `echo '{"streams":[{"index":0,"codec_type":"video","width":-5,"height":1e999,"r_frame_rate":"0/0"}],"format":{"format_name":"matroska"}}'`,
    /./,
  ],
];

test.each(ways)("an ffprobe that %s costs one clip its facts and nothing else", (name, does, why) => {
  const report = auditWith(program(name.replaceAll(" ", "-"), does));
  expectOneUnknown(report, why);
});

test("what is called ffmpeg and is none is passed over for the next on PATH; when there is no other, one line says so", async () => {
  const [fake, real] = [join(folder, "fake"), join(folder, "real")];
  for (const place of [fake, real]) mkdirSync(place, { recursive: true });
  writeFileSync(join(fake, "ffmpeg"), "#!/bin/sh\necho hello\n", { mode: 0o755 });
  const { path } = await findEncoder();
  writeFileSync(join(real, "ffmpeg"), `#!/bin/sh\nexec '${path}' "$@"\n`, { mode: 0o755 });
  const withPath = (...places: readonly string[]) =>
    goodgate(["audit", card, "--json", "--fresh", "--measure=all"], {
      env: { FFMPEG_PATH: "", PATH: places.join(":") },
      timeout: 60_000,
    });
  const report = JSON.parse(withPath(fake, real).stdout) as Report;
  expect(report.clips[1]?.facts["lookedAt"]?.state).toBe("read");
  const none = withPath(fake);
  expect(none.stderr).toBe(
    "goodgate: --measure needs ffmpeg, and none was found: install it, or name one in FFMPEG_PATH\n",
  );
  expect(none.status).toBe(2);
});

test.each(ways.slice(0, 6))("a second reader that %s is an open question, no disagreement", (name, does) => {
  const path = program(`second-${name.replaceAll(" ", "-")}`, does);
  const run = goodgate(["audit", card, "--json", "--second-reader"], { env: { FFPROBE_PATH: path }, timeout: 60_000 });
  const own = (JSON.parse(run.stdout) as Report).clips[1];
  const rule = "reader-disagreement";
  const heard = own?.findings.filter((finding) => finding.rule === rule).map(({ says }) => says);
  const open = own?.unknown.filter((unknown) => unknown.rule === rule).map(({ says }) => says);
  // A program that ends with an error has refused the file; one that breaks down has said nothing of it.
  if (name === "fails") expect([heard, open]).toEqual([[expect.stringMatching(/refused: no such luck/)], []]);
  else expect([heard, open]).toEqual([[], [expect.stringMatching(/^Second reader not heard, ffprobe 9\.9/)]]);
});

test("an ffprobe that cannot be started is passed over", () => {
  writeFileSync(join(folder, "no-program"), "not a program", { mode: 0o755 });
  const report = auditWith(join(folder, "no-program"));
  expect(report.clips[1]?.facts["frameRate"]?.state).toBe("read");
});

test.skipIf(!works("pgrep", "-V"))(
  "an interrupt ends an ffprobe that hangs, and its children, and gives a partial report",
  async () => {
    const mark = `314${process.pid}`;
    const path = program("hangs", `sleep ${mark} & sleep ${mark}; wait`);
    const out = join(folder, "report");
    const running = startGoodgate(["audit", card, "--out", out, "--jobs", "1"], { FFPROBE_PATH: path });
    const ended = new Promise<number | null>((done) => running.once("close", (code) => done(code)));
    const sleepers = (): number => {
      try {
        return execFileSync("pgrep", ["-c", "-f", `sleep ${mark}`], { encoding: "utf8" }).trim() === "0" ? 0 : 1;
      } catch {
        return 0;
      }
    };
    const deadline = Date.now() + 20_000;
    while (sleepers() === 0 && Date.now() < deadline) await new Promise((again) => setTimeout(again, 50));
    expect(sleepers()).toBe(1);
    const began = performance.now();
    running.kill("SIGINT");
    expect(await ended).toBe(130);
    expect(performance.now() - began).toBeLessThan(10_000);
    expect(sleepers()).toBe(0);
    const report = JSON.parse(readFileSync(join(out, "report.json"), "utf8")) as Report;
    expect(report.partial).toBe(true);
    expect(report.audit.skipped.map(({ why }) => why)).toContain("not reached: interrupted");
  },
);
