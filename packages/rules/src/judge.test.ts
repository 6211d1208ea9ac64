import { completeBrief, equal, rate, ratio, seconds, type StatedBrief } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { blurOf, oneOver, partly, seen, steps, telemetryOf } from "./example-facts.ts";
import { judgeClip, verdictOf } from "./judge.ts";
import type { ExampleClip } from "./rule.ts";
import { rules } from "./rule-list.ts";
import { exampleClip } from "./run-example.ts";

const judge = (example: ExampleClip, brief: StatedBrief) =>
  judgeClip(exampleClip(example), completeBrief(brief), { now: 0 });
const whole = { structure: "whole", durationSeconds: seconds(10) } as const;
const timed = {
  timing: {
    kind: "constant",
    timescale: 25,
    medianTicks: 1,
    leastTicks: 1,
    mostTicks: 1,
    histogram: [],
    slips: [],
    lostFrames: 0,
    offShare: 0,
  },
} as const;
const good = { ...whole, ...timed, iso: steps(100), fNumber: steps(8), telemetry: telemetryOf() };

test("a clip that fits in rate, shutter and ISO is clean and plays in real time", () => {
  const clip = judge(
    { facts: { ...good, frameRate: rate(25), shutterSeconds: oneOver(50) } },
    { timelineRate: rate(25), isoCeiling: 800 },
  );
  expect([clip.verdict, clip.plan.use, clip.plan.cadence]).toEqual(["clean", "real time", "one frame for one frame"]);
  expect(clip.unknowns.filter((unknown) => unknown.aside !== true)).toEqual([]);
  expect(clip.passed).toEqual(expect.arrayContaining(["timeline-fit", "shutter-angle", "iso-ceiling", "frame-timing"]));
});

test("a fast clip whose shutter fits slow motion only is planned slow, and the other use's fault stays as a note", () => {
  const clip = judge(
    { facts: { ...good, frameRate: rate(100), shutterSeconds: oneOver(200) } },
    { timelineRate: rate(25), treatment: "either" },
  );
  expect([clip.verdict, clip.plan.use]).toEqual(["clean", "slow"]);
  expect(equal(clip.plan.speed, ratio(1n, 4n))).toBe(true);
  const other = clip.findings.find((finding) => finding.rule === "shutter-angle");
  expect([other?.grade, other?.use]).toEqual(["note", "real time"]);
  expect(other?.says).toMatch(/^In real time: /);
  expect(clip.uses.map((use) => [use.use, use.verdict])).toEqual([
    ["real time", "workable"],
    ["slow", "clean"],
  ]);
  expect(clip.uses.map((use) => Math.round(use.angleDegrees ?? 0))).toEqual([45, 180]);
});

test("a fast clip whose shutter fits both uses plays in real time", () => {
  const clip = judge(
    { facts: { ...good, frameRate: rate(50), shutterSeconds: oneOver(70) } },
    { timelineRate: rate(25), treatment: "either", shutterToleranceStops: 0.6 },
  );
  // 129 degrees in real time, 257 slowed: both within 0.6 stops of 180.
  expect(clip.findings.filter((finding) => finding.rule === "shutter-angle")).toEqual([]);
  expect([clip.verdict, clip.plan.use, clip.plan.cadence]).toEqual(["clean", "real time", "every 2nd frame, even"]);
});

test("on a tie a clip below 1.5 times the timeline rate plays in real time, whatever its shutter suits better", () => {
  const clip = judge(
    { facts: { ...good, frameRate: rate(30), shutterSeconds: oneOver(101) } },
    { timelineRate: rate(25), treatment: "either", slowSpeed: ratio(9n, 10n) },
  );
  expect(clip.uses.map((use) => use.verdict)).toEqual(["workable", "workable"]);
  expect(clip.plan.use).toBe("real time");
});

test("30 on 25 is clean slowed when the brief allows both, and uneven in real time when nobody stated a treatment", () => {
  const facts = { ...good, frameRate: rate(30), shutterSeconds: oneOver(60) };
  const either = judge({ facts }, { timelineRate: rate(25), treatment: "either" });
  expect([either.verdict, either.plan.use]).toEqual(["clean", "slow"]);
  expect(equal(either.plan.speed, ratio(5n, 6n))).toBe(true);
  const open = judge({ facts }, { timelineRate: rate(25) });
  expect([open.verdict, open.plan.use, open.uses.length]).toEqual(["workable", "real time", 1]);
});

test("slow motion made in the camera: real time is the file at four times, its slow use the file as it lies", () => {
  const facts = { ...good, frameRate: rate(25), captureRate: rate(100), shutterSeconds: oneOver(200) };
  const real = judge({ facts }, { timelineRate: rate(25), treatment: "real" });
  expect(equal(real.plan.speed, ratio(4n))).toBe(true);
  const slow = judge({ facts }, { timelineRate: rate(25), treatment: "slow" });
  expect([slow.verdict, equal(slow.plan.speed, ratio(1n))]).toEqual(["clean", true]);
  expect(equal(slow.uses[0]?.sceneSpeed ?? ratio(0n), ratio(1n, 4n))).toBe(true);
  // 10 s as it lies fill 10 s slowed, and 2.5 s in real time.
  expect(equal(slow.uses[0]?.timelineSeconds ?? ratio(0n), ratio(10n))).toBe(true);
  expect(equal(real.uses[0]?.timelineSeconds ?? ratio(0n), ratio(5n, 2n))).toBe(true);
});

test("a near miss is planned at the exact retime", () => {
  const clip = judge(
    { facts: { ...good, frameRate: rate(24), shutterSeconds: oneOver(48) } },
    { timelineRate: rate(24000, 1001) },
  );
  expect([clip.verdict, equal(clip.plan.speed, ratio(1000n, 1001n))]).toEqual(["clean", true]);
  const other = judge(
    { facts: { ...good, frameRate: rate(60000, 1001), shutterSeconds: oneOver(60) } },
    { timelineRate: rate(30), treatment: "real" },
  );
  expect(equal(other.plan.speed, ratio(1001n, 1000n))).toBe(true);
  expect(other.plan.cadence).toBe("every 2nd frame, even after the retime");
});

test("a clip without telemetry is unknown, and every gap is told", () => {
  const clip = judge(
    { facts: { ...whole, ...timed, frameRate: rate(25) } },
    { timelineRate: rate(25), isoCeiling: 800, mainsHertz: 50, artificialLight: "yes" },
  );
  expect(clip.verdict).toBe("unknown");
  const deciding = clip.unknowns.filter((unknown) => unknown.decides).map((unknown) => unknown.rule);
  expect(deciding.sort()).toEqual(["iso-ceiling", "mains-flicker", "shutter-angle"]);
  expect(clip.findings.map((finding) => finding.rule)).toContain("telemetry-missing");
});

test("side questions that miss the same facts are consequences, listed and not counted", () => {
  const clip = judge({ facts: { ...whole, ...timed, frameRate: rate(25) } }, { timelineRate: rate(25) });
  const listed = clip.unknowns.filter((unknown) => unknown.aside !== true).map((unknown) => unknown.rule);
  expect(listed.sort()).toEqual(["mains-flicker", "shutter-angle"]);
  const aside = clip.suppressed.map((one) => one.rule);
  expect(aside).toEqual(expect.arrayContaining(["shutter-wanders", "exposure-drift", "nd", "iso-high-for-card"]));
});

test("a recording that was never closed is reshoot alone: what follows from it is set aside", () => {
  const clip = judge(
    { facts: { container: "iso-bmff", fileBytes: 1000 }, damaged: { structure: "no movie box" } },
    { timelineRate: rate(25), isoCeiling: 800 },
  );
  expect([clip.verdict, clip.plan.use, clip.unknowns.length]).toEqual(["reshoot", "none", 0]);
  expect(clip.findings.map((finding) => finding.rule)).toEqual(["unclosed-recording"]);
  expect(clip.suppressed.every((one) => one.by === "unclosed-recording")).toBe(true);
  expect(clip.suppressed.map((one) => one.rule)).toContain("shutter-angle");
});

test("a clip nobody can read is unknown for one reason", () => {
  const clip = judge({ facts: { fileBytes: 1000 } }, { timelineRate: rate(25), isoCeiling: 800 });
  expect([clip.verdict, clip.plan.use]).toEqual(["unknown", "none"]);
  expect(clip.unknowns.map((unknown) => unknown.rule)).toEqual(["unreadable"]);
});

test("a clip with no facts at all is unknown, never clean", () => {
  expect(judge({}, { timelineRate: rate(25) }).verdict).toBe("unknown");
});

test("telemetry of another clip answers nothing", () => {
  const facts = {
    ...good,
    frameRate: rate(25),
    shutterSeconds: oneOver(50),
    telemetry: telemetryOf({ endSeconds: 60 }),
  };
  const clip = exampleClip({ facts });
  const beside = Object.fromEntries(
    Object.entries(clip.facts).map(([name, reading]) => [
      name,
      ["shutterSeconds", "iso", "fNumber"].includes(name) && reading?.state === "read"
        ? { ...reading, origin: { ...reading.origin, file: "sidecar" } }
        : reading,
    ]),
  );
  const judged = judgeClip({ ...clip, facts: beside }, completeBrief({ timelineRate: rate(25) }), { now: 0 });
  expect(judged.verdict).toBe("unknown");
  expect(judged.unknowns.map((unknown) => unknown.rule)).toContain("telemetry-of-other-clip");
  expect(judged.passed).not.toContain("shutter-angle");
});

test("what rests on an unproven capture rate is set aside, and no pass is claimed", () => {
  const short = judge(
    { name: "slowmo/A.MP4", facts: { ...good, frameRate: rate(25), shutterSeconds: oneOver(1000) } },
    { timelineRate: rate(25) },
  );
  expect(short.verdict).toBe("unknown");
  expect(short.suppressed.find((one) => one.rule === "shutter-angle")?.by).toBe("capture-rate-unproven");
  const right = judge(
    { name: "slowmo/A.MP4", facts: { ...good, frameRate: rate(25), shutterSeconds: oneOver(50) } },
    { timelineRate: rate(25) },
  );
  expect([right.verdict, right.passed.includes("shutter-angle")]).toEqual(["unknown", false]);
});

test("a shutter stated as an angle is judged as a time", () => {
  const facts = { ...good, frameRate: rate(25), shutterAngle: steps(172.8) };
  const clip = judge({ facts }, { timelineRate: rate(25) });
  expect(clip.verdict).toBe("clean");
  expect(clip.uses[0]?.angleDegrees).toBeCloseTo(172.8, 9);
});

test("the angle of a use is the blur's where the blur judges, and is marked as measured", () => {
  const facts = { ...good, ...seen({ measuredAngle: blurOf(90), frameRate: rate(50) }) };
  const silent = judge({ facts }, { timelineRate: rate(25), treatment: "either" });
  // 90 degrees at 50 frames a second are 45 where every second frame is left out.
  expect(silent.uses.map((use) => [use.angleDegrees, use.angleOrigin])).toEqual([
    [45, "measured"],
    [90, "measured"],
  ]);
  const at = (inverse: number) =>
    judge({ facts: { ...facts, shutterSeconds: oneOver(inverse) } }, { timelineRate: rate(25) }).uses[0];
  expect(at(2000)).toMatchObject({ angleDegrees: 45, angleOrigin: "measured" });
  expect(at(250)?.angleDegrees).toBeCloseTo(36, 9);
  expect(at(250)?.angleOrigin).toBeUndefined();
});

test("without a stated timeline rate nothing that hangs on it is worse than workable, and findings say so", () => {
  const facts = { ...good, frameRate: rate(60), shutterSeconds: oneOver(120) };
  const strict = { treatment: "real", strictCadence: true } as const;
  const stated = judge({ facts }, { ...strict, timelineRate: rate(25) });
  expect([stated.verdict, stated.plan.use]).toEqual(["reshoot", "none"]);
  const assumed = judgeClip(exampleClip({ facts }), completeBrief(strict, rate(25)), { now: 0 });
  expect(assumed.verdict).toBe("workable");
  const finding = assumed.findings.find((one) => one.case === "A5");
  expect(finding?.assumed).toContain("timelineRate");
  expect(stated.findings.find((one) => one.case === "A5")?.assumed).toBeUndefined();
});

test("a fault of the clip itself counts against every use", () => {
  const facts = { ...good, frameRate: rate(50), shutterSeconds: oneOver(100), iso: steps(6400) };
  const clip = judge({ facts }, { timelineRate: rate(25), treatment: "either", isoCeiling: 800 });
  expect([clip.verdict, clip.plan.use]).toEqual(["reshoot", "none"]);
  expect(clip.uses.map((use) => use.verdict)).toEqual(["reshoot", "reshoot"]);
});

test("a timelapse made in the camera is used as it lies", () => {
  const clip = judge(
    { facts: { ...good, frameRate: rate(25), captureRate: rate(1, 2), shutterSeconds: oneOver(1) } },
    { timelineRate: rate(25) },
  );
  expect([clip.uses.length, equal(clip.plan.speed, ratio(1n))]).toEqual([1, true]);
  expect(clip.uses[0]?.angleDegrees).toBeCloseTo(180, 9);
});

const finding = (grade: "note" | "workable" | "reshoot") => ({
  rule: "x",
  grade,
  says: "x",
  measured: { value: 1, unit: "", text: "1" },
  limit: { value: 1, unit: "", text: "1", origin: "default" as const },
  remedy: "x",
});
const unknown = (decides: boolean) => ({ rule: "y", missing: ["z"], says: "y", supply: "z", decides });

test("verdicts stand in the order clean, workable, unknown, reshoot", () => {
  expect(verdictOf([finding("note")], [unknown(false)])).toBe("clean");
  expect(verdictOf([finding("workable")], [])).toBe("workable");
  expect(verdictOf([finding("workable")], [unknown(true)])).toBe("unknown");
  expect(verdictOf([finding("reshoot")], [unknown(true)])).toBe("reshoot");
});

test("any shutter, ISO, rate and coverage gives a verdict and sentences, never a throw or a clean unknown", () => {
  const someRate = fc.tuple(fc.integer({ min: 1, max: 240_000 }), fc.integer({ min: 1, max: 2000 }));
  fc.assert(
    fc.property(
      someRate,
      fc.array(fc.integer({ min: 1, max: 20_000 }), { minLength: 1, maxLength: 5 }),
      fc.array(fc.integer({ min: 1, max: 400_000 }), { minLength: 1, maxLength: 5 }),
      fc.double({ min: 0, max: 1, noNaN: true }),
      fc.constantFrom("real" as const, "slow" as const, "either" as const),
      ([numerator, denominator], shutters, isos, coverage, treatment) => {
        const facts = {
          ...good,
          frameRate: rate(numerator, denominator),
          shutterSeconds: partly(oneOver(...shutters), coverage),
          iso: steps(...isos),
        };
        const clip = judge({ facts }, { timelineRate: rate(25), treatment, isoCeiling: 800, mainsHertz: 50 });
        if (coverage < 0.9 && clip.verdict !== "reshoot") expect(clip.verdict).toBe("unknown");
        for (const { says } of [...clip.findings, ...clip.unknowns]) {
          expect(says.length, says).toBeLessThan(140);
          expect(says).not.toMatch(/NaN|undefined|Infinity/);
        }
      },
    ),
    { numRuns: 300 },
  );
});

test("every rule's cases begin with a letter of the catalogue and ids are kebab case", () => {
  for (const rule of rules) {
    expect(rule.id).toMatch(/^[a-z]+(-[a-z0-9]+)*$/);
    for (const id of rule.cases) expect(id).toMatch(/^[A-M]\d{1,2}$/);
  }
});
