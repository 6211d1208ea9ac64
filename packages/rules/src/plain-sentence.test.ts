import { type Finding, rate, ratio, seconds, type StatedBrief } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { oneOver, startedAt, steps, words } from "./example-facts.ts";
import { formFaults } from "./plain-sentence.fixture.ts";
import { rules } from "./rule-list.ts";
import { judgeCard } from "./rules.ts";
import { exampleCard, exampleClip, runExample } from "./run-example.ts";

const told = (finding: Finding): readonly string[] =>
  formFaults(finding).map((fault) => `${finding.rule} "${finding.says}" ${fault}`);

test("every finding of every example says measured value, limit and remedy, and carries them as data", () => {
  const findings = rules.flatMap((rule) => rule.examples.flatMap((example) => runExample(rule, example).findings));
  expect(findings.length).toBeGreaterThan(100);
  expect(findings.flatMap(told)).toEqual([]);
});

test("a sentence without its limit, its value or its remedy is seen", () => {
  const whole: Finding = {
    rule: "x",
    grade: "note",
    says: "ISO 1600, over the ceiling of 800; less ND.",
    measured: { value: 1600, unit: "ISO", text: "ISO 1600" },
    limit: { value: 800, unit: "ISO", text: "ISO 800", origin: "brief" },
    remedy: "less ND",
  };
  expect(formFaults(whole)).toEqual([]);
  expect(formFaults({ ...whole, says: "ISO 1600, over the ceiling; less ND." })).toHaveLength(1);
  expect(formFaults({ ...whole, says: "ISO over the ceiling of 800; less ND." })).toHaveLength(1);
  expect(formFaults({ ...whole, says: "ISO 1600, over the ceiling of 800; look." })).toHaveLength(1);
  expect(formFaults({ ...whole, says: `${whole.says}…` })).toHaveLength(1);
  expect(formFaults({ ...whole, measured: { ...whole.measured, value: Number.NaN } })).toHaveLength(1);
});

const rates = [
  "24000/1001",
  "24",
  "25",
  "30000/1001",
  "30",
  "48000/1001",
  "50",
  "60000/1001",
  "60",
  "100",
  "120000/1001",
  "200",
];
const someRate = fc.constantFrom(...rates).map((text) => {
  const [frames = 25, per = 1] = text.split("/").map(Number);
  return rate(frames, per);
});
const someClip = fc.record({
  frameRate: someRate,
  captureRate: fc.option(someRate, { nil: undefined }),
  shutters: fc.array(fc.integer({ min: 4, max: 8000 }), { minLength: 1, maxLength: 3 }),
  isos: fc.array(fc.integer({ min: 50, max: 102_400 }), { minLength: 1, maxLength: 3 }),
  fNumber: fc.constantFrom(1.7, 2.8, 4, 11),
  kelvin: fc.array(fc.integer({ min: 2000, max: 12_000 }), { minLength: 1, maxLength: 2 }),
  mode: fc.constantFrom("default", "d_log_profile_with_a_long_name", "hlg"),
  bits: fc.constantFrom(8, 10),
  size: fc.constantFrom([3840, 2160], [1920, 1080], [2720, 1530], [2160, 3840]),
  transfer: fc.constantFrom("bt709", "arib-std-b67", "smpte2084"),
  minute: fc.integer({ min: 0, max: 59 }),
  seconds: fc.integer({ min: 1, max: 40_000 }),
  bytes: fc.integer({ min: 1, max: 2_000_000_000 }),
});
const someBrief: fc.Arbitrary<StatedBrief> = fc.record(
  {
    timelineRate: someRate,
    treatment: fc.constantFrom("real" as const, "slow" as const, "either" as const),
    slowSpeed: fc.integer({ min: 1, max: 99 }).map((percent) => ratio(percent, 100)),
    isoCeiling: fc.constantFrom(100, 800, 3200),
    shutterAngleDegrees: fc.constantFrom(90, 172.8, 180, 270),
    shutterToleranceStops: fc.constantFrom(0.1, 0.5, 1),
    mainsHertz: fc.constantFrom(50 as const, 60 as const),
    artificialLight: fc.constantFrom("yes" as const, "no" as const, "infer" as const),
    ndFactors: fc.constantFrom([], [8, 16, 64], [4, 1000]),
    raster: fc.constantFrom({ width: 3840, height: 2160 }, { width: 1080, height: 1920 }),
    delivery: fc.constantFrom("sdr" as const, "hdr" as const),
    strictCadence: fc.boolean(),
  },
  { requiredKeys: [] },
);

test("whatever the clips and the brief, every finding keeps the form", () => {
  fc.assert(
    fc.property(fc.array(someClip, { minLength: 1, maxLength: 4 }), someBrief, (made, brief) => {
      const clips = made.map((of, place) =>
        exampleClip({
          name: `100MEDIA/CLIP_2024051410${String(of.minute).padStart(2, "0")}_000${place}.MP4`,
          facts: {
            frameRate: of.frameRate,
            ...(of.captureRate === undefined ? {} : { captureRate: of.captureRate }),
            durationSeconds: seconds(of.seconds, 10),
            frames: Math.ceil((of.seconds * 2.5) | 1),
            shutterSeconds: oneOver(...of.shutters),
            iso: steps(...of.isos),
            fNumber: steps(of.fNumber),
            whiteBalanceKelvin: steps(...of.kelvin),
            colourMode: words(of.mode),
            bitDepth: of.bits,
            codec: "hevc",
            width: of.size[0] ?? 1920,
            height: of.size[1] ?? 1080,
            transfer: of.transfer,
            primaries: "bt709",
            matrix: "bt709",
            dataExtent: { firstByte: 0, endByte: of.bytes },
            createdAt: startedAt(`2024-05-14T10:${String(of.minute).padStart(2, "0")}:00Z`),
          },
        }),
      );
      const judged = judgeCard(clips, [], [], exampleCard(), brief, Date.parse("2024-05-15T10:00:00Z"));
      const findings = [...judged.clips.flatMap((clip) => clip.findings), ...judged.card];
      expect(findings.flatMap(told)).toEqual([]);
    }),
    { numRuns: 300 },
  );
});
