import { execFileSync, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Report } from "@goodgate/report";
import { Ajv2020 } from "ajv/dist/2020.js";
import { afterAll, beforeAll, expect, test } from "vitest";
import type { CardTruth } from "../../../fixtures/demo-card/truth.ts";
import { demoBriefFile, demoCardFolder, demoTruthFile, projectFolder } from "../../../fixtures/places.ts";

const program = join(projectFolder, "packages/cli/dist/goodgate.js");
const folder = mkdtempSync(join(tmpdir(), "goodgate-e2e-"));
let report: Report;
let truth: CardTruth;
let screen: string;

beforeAll(() => {
  const run = spawnSync(
    process.execPath,
    [program, "audit", demoCardFolder, "--brief", demoBriefFile, "--no-cache", "--out", join(folder, "report")],
    { encoding: "utf8", env: { ...process.env, NO_COLOR: "1" } },
  );
  expect(run.stderr).toBe("");
  expect(run.status).toBe(1);
  screen = run.stdout;
  report = JSON.parse(readFileSync(join(folder, "report/report.json"), "utf8")) as Report;
  truth = JSON.parse(readFileSync(demoTruthFile, "utf8")) as CardTruth;
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** Rules that answer each fault word of the truth file; one of them must speak. */
const answers: Readonly<Record<string, readonly string[]>> = {
  "shutter too short": ["shutter-angle"],
  "iso over ceiling": ["iso-ceiling"],
  "rate does not fit": ["timeline-fit"],
  "near-miss rate": ["near-miss-rate"],
  "variable timing": ["frame-timing"],
  "cut short": ["cut-short"],
  "never closed": ["unclosed-recording"],
  "spanned pair": ["span-joints"],
  "no telemetry": ["telemetry-missing"],
  "proxy beside original": ["proxy"],
  "wrong clock": ["clock"],
  rotated: ["rotation"],
  "mains flicker": ["mains-flicker"],
  "mixed settings": ["shutter-wanders"],
  "hdr on an sdr edit": ["delivery-range"],
  "baked slow motion": ["baked-slow-motion"],
  "too few frames for slow motion": ["slow-motion-fit"],
};

test("the report agrees with the published schema", () => {
  const schema = JSON.parse(readFileSync(join(projectFolder, "docs/report.schema.json"), "utf8"));
  const validate = new Ajv2020({ strict: false }).compile(schema);
  expect(validate(report), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
});

test("every recording of the truth file is one clip of the report, and nothing else is", () => {
  expect(report.clips.map((clip) => clip.name)).toEqual(truth.clips.map((clip) => clip.name).sort());
  for (const clip of truth.clips) {
    const found = report.clips.find((each) => each.name === clip.name);
    for (const file of clip.files) expect(found?.files).toContain(file);
    if (clip.proxy !== null) expect(found?.files).toContain(clip.proxy);
  }
});

test("every clip has the verdict reasoned by hand from the brief", () => {
  const found = Object.fromEntries(report.clips.map((clip) => [clip.name, clip.verdict]));
  expect(found).toEqual(Object.fromEntries(truth.clips.map((clip) => [clip.name, clip.verdict])));
});

test("every intended fault is found, by the rule that is there for it", () => {
  for (const clip of truth.clips) {
    const found = report.clips.find((each) => each.name === clip.name);
    const spoke = [...(found?.findings ?? []), ...(found?.unknown ?? [])].map((each) => each.rule);
    const passed = found?.passed ?? [];
    for (const fault of clip.faults) {
      const rules = answers[fault];
      expect(rules, `no rule is named for "${fault}"`).toBeDefined();
      // A fact of the card that is no fault (a joined span, a confirmed proxy) shows as a rule that was asked and passed.
      const harmless = fault === "spanned pair" || fault === "proxy beside original";
      const heard = rules?.some((rule) => spoke.includes(rule) || (harmless && passed.includes(rule)));
      expect(heard, `${clip.name}: ${fault}, but only ${spoke.join(", ")} spoke`).toBe(true);
    }
  }
});

test("nothing is said against the clean clips but notes", () => {
  for (const clip of truth.clips.filter((each) => each.faults.length === 0)) {
    const found = report.clips.find((each) => each.name === clip.name);
    const loud = found?.findings.filter((finding) => finding.grade !== "note").map((finding) => finding.says);
    expect(loud, clip.name).toEqual([]);
    expect(
      found?.unknown.filter((each) => each.decides).map((each) => each.says),
      clip.name,
    ).toEqual([]);
  }
});

test("facts are those of the truth file", () => {
  for (const clip of truth.clips) {
    const facts = report.clips.find((each) => each.name === clip.name)?.facts ?? {};
    const value = (name: string): unknown => (facts[name]?.state === "read" ? facts[name]?.value : null);
    if (clip.frameRate !== null) expect(value("frameRate"), clip.name).toBe(clip.frameRate);
    if (clip.captureRate !== null) expect(value("captureRate"), clip.name).toBe(clip.captureRate);
    expect(value("frames"), clip.name).toBe(clip.frames);
    expect(value("width"), clip.name).toBe(clip.width);
    expect(value("height"), clip.name).toBe(clip.height);
    expect(value("timecode"), clip.name).toBe(clip.timecode);
    if (clip.frames === null) continue;
    expect(value("rotationDegrees"), clip.name).toBe(clip.rotationDegrees);
    expect(value("codec"), clip.name).toBe(clip.codec);
    expect(value("transfer"), clip.name).toBe(clip.transfer);
    if (clip.shutterSeconds === null) expect(facts["shutterSeconds"]?.state).toBe("absent");
    else expect(clip.shutterSeconds, clip.name).toContain(value("shutterSeconds"));
    if (clip.iso !== null) expect(clip.iso, clip.name).toContain(value("iso"));
  }
});

test("every finding carries a measured value, a limit and a remedy, in one sentence", () => {
  const all = [...report.clips.flatMap((clip) => clip.findings), ...report.findings];
  expect(all.length).toBeGreaterThan(10);
  for (const finding of all) {
    expect(finding.says.length, finding.says).toBeLessThan(140);
    expect(finding.measured.text).not.toBe("");
    expect(finding.limit.text).not.toBe("");
    expect(finding.remedy).not.toBe("");
  }
});

test("outside check: ffprobe counts the same frames, rate and raster on every healthy clip", async () => {
  const { path } = (await import("ffprobe-static")).default as unknown as { path: string };
  for (const clip of truth.clips.filter((each) => each.frames !== null && !each.faults.includes("cut short"))) {
    for (const [part, file] of clip.files.entries()) {
      const says = JSON.parse(
        execFileSync(path, ["-v", "error", "-of", "json", "-show_streams", join(demoCardFolder, file)], {
          encoding: "utf8",
        }),
      ).streams.find((stream: { codec_type: string }) => stream.codec_type === "video");
      const facts = report.clips.find((each) => each.name === clip.name)?.facts ?? {};
      expect(Number(says.nb_frames), file).toBe(clip.framesOfParts[part]);
      expect(facts["width"]?.value, file).toBe(says.width);
      expect(facts["height"]?.value, file).toBe(says.height);
      expect(facts["codec"]?.value, file).toBe(says.codec_name);
      if (!clip.faults.includes("variable timing")) expect(facts["frameRate"]?.value, file).toBe(says.r_frame_rate);
    }
  }
});

test("the screen names every clip to fly again and carries the caution", () => {
  for (const clip of truth.clips.filter((each) => each.verdict === "reshoot")) {
    expect(screen).toContain(clip.name.slice(clip.name.lastIndexOf("/") + 1).replace(/\.MP4$/, ""));
  }
  expect(screen.replace(/\s+/g, " ")).toContain("local flying rules come first");
});

test("a second audit gives the same report, whatever the number of jobs, time zone and locale", () => {
  const again = spawnSync(
    process.execPath,
    [program, "audit", demoCardFolder, "--brief", demoBriefFile, "--no-cache", "--json", "--jobs", "1"],
    {
      encoding: "utf8",
      env: { ...process.env, TZ: "Pacific/Chatham", LC_ALL: "tr_TR.UTF-8" },
      // The report has a MiB, where Node's own bound lies.
      maxBuffer: 1 << 26,
    },
  );
  const masked = (from: Report): unknown => ({
    ...from,
    card: { ...from.card, freeBytes: 0 },
    audit: { ...from.audit, startedAt: "", seconds: 0, jobs: 0 },
  });
  expect(masked(JSON.parse(again.stdout) as Report)).toEqual(masked(report));
});

test("the report holds no path of this machine", () => {
  const text =
    readFileSync(join(folder, "report/report.json"), "utf8") + readFileSync(join(folder, "report/report.html"), "utf8");
  expect(text).not.toContain(projectFolder);
  expect(text).not.toContain(tmpdir());
});
