import { expect, test } from "vitest";
import {
  type Brief,
  briefDefaults,
  completeBrief,
  isoCeilingOf,
  matchesPattern,
  type StatedBrief,
  treatmentOf,
} from "./brief.ts";
import { rate, speed } from "./quantities.ts";

test.each([
  ["DCIM/100CLIPS/CLIP_0001.MP4", "dcim", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "100clips/", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "dcim/100clips", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "100cli", false],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "clip_0001.mp4", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "clip_0001", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "clip_000", false],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "clip_*", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "clip_000?.mp4", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "clip_00?.mp4", false],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "*/clip*", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "100clips/*", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "0clips/*", false],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "dcim/*.mp4", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "dcim/*.mov", false],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "*", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "*.mp4*", true],
  ["DCIM/100CLIPS/CLIP_0001.MP4", "dcim/100clips/clip_0001.mp4", true],
  ["a.mp4", "?.mp4", true],
  ["a.mp4", "??.mp4", false],
  ["a.mp4", "a.mp4*", true],
  ["a.mp4", "a.mp4?", false],
  ["\u{1F600}.mp4", "?.mp4", true],
  ["cafe\u0301.mp4", "CAF\u00C9.mp4", true],
  ["a.b.mp4", "a.b", true],
  ["a.b.mp4", "a", false],
  ["star*name.mp4", "star*", true],
  ["aXbXc", "a*x*c", true],
  ["aXbXcY", "a*x*c", false],
])("%s matches %s: %s", (name, pattern, matches) => {
  expect(matchesPattern(name, pattern)).toBe(matches);
});

test("a pattern of many stars is matched in a moment", () => {
  const began = process.cpuUsage();
  expect(matchesPattern(`${"a".repeat(5000)}b`, `${"a*".repeat(50)}c`)).toBe(false);
  const { user, system } = process.cpuUsage(began);
  expect((user + system) / 1000).toBeLessThan(2000);
});

const brief = (stated: StatedBrief): Brief => completeBrief(stated);

test("the first matching pattern gives the treatment, else the brief's own", () => {
  const mixed = brief({
    treatment: "real",
    slowSpeed: speed(1, 2),
    treatments: [
      { pattern: "a*", treatment: "slow", speed: speed(1, 4) },
      { pattern: "a1", treatment: "real" },
      { pattern: "b*", treatment: "slow" },
      { pattern: "c*", treatment: "real" },
    ],
  });
  expect(treatmentOf(mixed, "a1.mp4")).toEqual({ treatment: "slow", speed: speed(1, 4), stated: true });
  // The brief's slow speed is for every clip that may be slowed.
  expect(treatmentOf(mixed, "b1.mp4")).toEqual({ treatment: "slow", speed: speed(1, 2), stated: true });
  expect(treatmentOf(mixed, "c1.mp4")).toEqual({ treatment: "real", stated: true });
  expect(treatmentOf(mixed, "d1.mp4")).toEqual({ treatment: "real", stated: true });
  expect(treatmentOf(brief({}), "x")).toEqual({ treatment: "either", stated: false });
  expect(treatmentOf(brief({ slowSpeed: speed(1, 2) }), "x")).toEqual({
    treatment: "either",
    speed: speed(1, 2),
    stated: false,
  });
});

test("the first matching pattern gives the ISO ceiling, else the brief's own, else none", () => {
  const ceilings = brief({
    isoCeiling: 800,
    isoCeilings: [
      { pattern: "night", ceiling: 3200 },
      { pattern: "night/a*", ceiling: 6400 },
    ],
  });
  expect(isoCeilingOf(ceilings, "night/a.mp4")).toBe(3200);
  expect(isoCeilingOf(ceilings, "day/a.mp4")).toBe(800);
  expect(isoCeilingOf(brief({}), "day/a.mp4")).toBeUndefined();
});

test("an empty brief has every default, and names each of them", () => {
  const filled = brief({});
  expect(filled).toMatchObject(briefDefaults);
  expect(filled.timelineRate).toEqual(rate(25));
  expect(Object.keys(filled.assumed).sort()).toEqual([
    "artificialLight",
    "baseIso",
    "delivery",
    "isoCeiling",
    "mainsHertz",
    "motionLook",
    "ndFactors",
    "portrait",
    "raster",
    "shutterAngleDegrees",
    "shutterToleranceStops",
    "soundWanted",
    "strictCadence",
    "timecodeWanted",
    "timelineRate",
    "treatment",
  ]);
  for (const why of Object.values(filled.assumed)) expect(why).toMatch(/^not given: /);
});

test("a full brief assumes nothing and keeps what was stated", () => {
  const stated = {
    timelineRate: rate(24),
    raster: { width: 3840, height: 2160 },
    treatment: "slow",
    isoCeiling: 800,
    baseIso: 200,
    shutterAngleDegrees: 172.8,
    shutterToleranceStops: 1,
    mainsHertz: 60,
    artificialLight: "no",
    ndFactors: [8],
    delivery: "sdr",
    soundWanted: true,
    timecodeWanted: true,
    strictCadence: true,
    motionLook: "crisp",
    portrait: true,
  } as const;
  const filled = completeBrief(stated, rate(50));
  expect(filled.assumed).toEqual({});
  expect(filled).toMatchObject(stated);
});

test("without a stated timeline the rate most clips fit is taken, and said to be", () => {
  expect(completeBrief({}, rate(50))).toMatchObject({
    timelineRate: rate(50),
    assumed: { timelineRate: "not given: the rate most clips fit" },
  });
  expect(completeBrief({}).assumed["timelineRate"]).toBe("not given: 25 frames/s");
});
