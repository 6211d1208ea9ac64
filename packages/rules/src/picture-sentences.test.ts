import { type FactValues, rate } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { levels, moving, oneOver, seen, steps } from "./example-facts.ts";
import { longestSentence } from "./words.ts";
import { formFaults } from "./plain-sentence.fixture.ts";
import { rules } from "./rule-list.ts";
import { runExample } from "./run-example.ts";

const share = fc.double({ min: 0, max: 1, noNaN: true });
const seconds = fc.double({ min: 0, max: 7200, noNaN: true });
const size = fc.double({ min: 0.001, max: 100, noNaN: true });
const rates = fc.constantFrom(rate(24000n, 1001n), rate(25), rate(30000n, 1001n), rate(60000n, 1001n), rate(120));

/** Anything that a look at the pictures may answer. */
const facts: fc.Arbitrary<Partial<FactValues>> = fc
  .record({
    looked: seconds,
    of: seconds,
    at: fc.array(seconds, { maxLength: 64 }),
    pattern: fc.constantFrom("none", "regular", "single"),
    true: fc.double({ min: 1, max: 119, noNaN: true }),
    one: share,
    two: share,
    noise: size,
    amplitude: size,
    mains: fc.constantFrom(undefined, 50, 60),
    bands: fc.boolean(),
    speed: fc.double({ min: 0, max: 9, noNaN: true }),
    shake: fc.double({ min: 0, max: 9, noNaN: true }),
    degrees: fc.double({ min: 5, max: 360, noNaN: true }),
    off: fc.double({ min: 4, max: 60, noNaN: true }),
    stops: fc.double({ min: -6, max: 6, noNaN: true }),
    tilts: fc.array(fc.double({ min: -15, max: 15, noNaN: true }), { minLength: 1, maxLength: 3 }),
    drop: fc.double({ min: 0, max: 60, noNaN: true }),
    shutter: fc.constantFrom(undefined, 24, 50, 60, 240, 1000, 8000),
    plays: rates,
    full: fc.constantFrom(undefined, true, false),
    scan: fc.constantFrom(undefined, "progressive", "bottom field first"),
  })
  .map((any) => {
    const [fromSeconds = 0, toSeconds = fromSeconds + 3] = [...any.at].sort((a, b) => a - b);
    return seen({
      lookedAt: { seconds: Math.min(any.looked, any.of), ofSeconds: any.of, stretches: [] },
      frameRate: any.plays,
      width: 3840,
      repeats: {
        repeatedShare: any.one,
        pattern: any.pattern as "none",
        ...(any.pattern === "regular" ? { trueFramesPerSecond: any.true } : {}),
        repeatedAtSeconds: any.at,
        droppedAtSeconds: any.at,
        blendedShare: any.two,
        ...(any.full === true ? { mixedFromFramesPerSecond: any.true } : {}),
      },
      noise: {
        sigmaPercent: any.noise,
        ...(any.bands ? { shadowSigmaPercent: any.noise } : {}),
        signalToNoiseDecibels: 20 * Math.log10(50 / any.noise),
        stopsOverReference: 0,
        fineSigmaPercent: any.noise,
        perLevel: [],
      },
      flicker: {
        found: any.amplitude > 1,
        hertz: any.amplitude,
        amplitudePercent: any.amplitude,
        bandsPerPicture: any.bands ? 2 : 0,
        ...(any.mains === undefined ? {} : { mainsHertz: any.mains as 50 }),
        leastSeenPercent: any.noise,
      },
      pictureLevels: levels({
        clippedShare: any.one / 2,
        mostClipped: { atSeconds: fromSeconds, share: any.one },
        mostCrushed: { atSeconds: fromSeconds, share: any.two },
        jumps: any.bands ? [{ atSeconds: fromSeconds, changePercent: 100 * any.one, changeStops: any.stops }] : [],
        codes: {
          bitDepth: 10,
          least: 64,
          most: 940,
          belowNarrowShare: 0,
          aboveNarrowShare: 0,
          outsideToleratedShare: any.two,
        },
      }),
      exposureDrift: { changeStops: any.stops, fromSeconds, toSeconds, ribbon: [] },
      combing: { combedShare: any.two, judgedFrames: 100, ...(any.two > 0 ? { firstField: "bottom" as const } : {}) },
      horizon: {
        tiltDegrees: any.tilts[0] ?? 0,
        lowDegrees: -15,
        highDegrees: 15,
        looks: 60,
        ribbon: Array.from({ length: 60 }, (_, half) => ({
          atSeconds: fromSeconds + half / 2,
          tiltDegrees: any.tilts[Math.floor(half / 20)] ?? 0,
        })),
      },
      sharpness: { detailDecibels: -any.drop, softest: { atSeconds: fromSeconds, dropDecibels: any.drop } },
      motion: moving(any.speed, any.shake),
      measuredAngle: {
        degrees: any.degrees,
        low: Math.max(1, any.degrees - any.off),
        high: Math.min(360, any.degrees + any.off),
        pairs: 40,
        stretches: [{ fromSeconds: 0, toSeconds: 2, degrees: any.degrees, pixelsPerFrame: 40 }],
      },
      stillness: {
        black: [{ fromSeconds, toSeconds }],
        frozen: [{ fromSeconds: toSeconds, toSeconds: toSeconds + 2 }],
      },
      ...(any.shutter === undefined ? {} : { shutterSeconds: oneOver(any.shutter), iso: steps(100, 400) }),
      ...(any.full === undefined ? {} : { fullRange: any.full }),
      ...(any.scan === undefined ? {} : { scan: any.scan }),
    });
  });

const asking = rules.filter((rule) => rule.wants?.includes("lookedAt") === true);

test("whatever the pictures say, a finding is one short sentence that says how much was looked at", () => {
  expect(asking.length).toBeGreaterThan(12);
  fc.assert(
    fc.property(facts, rates, fc.constantFrom("real time", "slow"), (of, timelineRate, use) => {
      for (const rule of asking) {
        const treatment = use === "slow" ? "slow" : "real";
        const brief = {
          treatment,
          timelineRate,
          mainsHertz: 50,
          artificialLight: "yes",
          noiseLimitPercent: 0.25,
        } as const;
        const { findings, unknowns } = runExample(rule, { title: "", facts: of, brief, use, expect: "silent" });
        for (const finding of findings) {
          expect(formFaults(finding), finding.says).toEqual([]);
          if (!rule.cases.some((id) => id.startsWith("M"))) continue;
          expect(finding.says, rule.id).toContain("looked at");
          expect(finding.measured.text, rule.id).toContain("looked at");
        }
        for (const { says } of unknowns) {
          expect(says.length, says).toBeLessThanOrEqual(longestSentence);
          expect(says, rule.id).not.toMatch(/undefined|NaN|Infinity|…/);
        }
      }
    }),
    { numRuns: 400 },
  );
});
