import { type Clip, equal, type FactValues, rate, ratio, seconds, type StatedBrief, toNumber } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { fitText, judgeCard } from "./card.ts";
import { oneOver, startedAt, steps, telemetryOf, timing } from "./example-facts.ts";
import { exampleStill } from "./example-stills.ts";
import { exampleCard, exampleClip } from "./run-example.ts";

const now = Date.parse("2024-06-01T00:00:00Z");
const clipOf = (name: string, facts: Partial<FactValues>): Clip =>
  exampleClip({ name, facts: { structure: "whole", durationSeconds: seconds(10), timing: timing(), ...facts } });
const flown = (name: string, frames: number, change: Partial<FactValues> = {}): Clip =>
  clipOf(name, {
    frameRate: rate(frames),
    shutterSeconds: oneOver(2 * frames),
    iso: steps(100),
    fNumber: steps(2.8),
    telemetry: telemetryOf(),
    createdAt: startedAt(`2024-05-01T10:0${name.slice(-5, -4)}:00Z`),
    ...change,
  });
const judge = (clips: readonly Clip[], stated: StatedBrief = {}) =>
  judgeCard(clips, [], [], exampleCard(), stated, now);
const asText = (value: unknown): string =>
  JSON.stringify(value, (_key, part: unknown) => (typeof part === "bigint" ? String(part) : part));

const day = [
  flown("D/A1.MP4", 25),
  flown("D/A2.MP4", 50),
  flown("D/A3.MP4", 100, { iso: steps(400, 800) }),
  flown("D/A4.MP4", 30, { shutterSeconds: oneOver(1000) }),
  flown("D/A5.MP4", 24),
  clipOf("D/A6.MP4", { frameRate: rate(25) }),
  clipOf("D/A7.MP4", {}),
  flown("D/A8.MP4", 25, { cameraModel: "another" }),
];

test("the order in which clips are handed in changes nothing", () => {
  const expected = asText(judge(day, { timelineRate: rate(25), isoCeiling: 400, mainsHertz: 50 }));
  const inferred = asText(judge(day));
  fc.assert(
    fc.property(fc.shuffledSubarray(day, { minLength: day.length, maxLength: day.length }), (shuffled) => {
      expect(asText(judge(shuffled, { timelineRate: rate(25), isoCeiling: 400, mainsHertz: 50 }))).toBe(expected);
      expect(asText(judge(shuffled))).toBe(inferred);
    }),
    { numRuns: 40 },
  );
});

test("the timeline not stated is the rate most clips fit in real time", () => {
  const rateOf = (...frames: number[]) =>
    toNumber(judge(frames.map((each, place) => flown(`D/A${place}.MP4`, each))).brief.timelineRate);
  expect(rateOf(25, 25, 30)).toBe(25);
  expect(rateOf(30, 60, 120, 25)).toBe(30);
  // 120 fits 24, 30 and 60 alike; no file plays at one of them, so the lowest.
  expect(rateOf(120)).toBe(24);
  expect(rateOf(50)).toBe(50);
  const card = judge([flown("D/A1.MP4", 24)]);
  expect(card.brief.assumed["timelineRate"]).toMatch(/most clips fit/);
  expect(judge([flown("D/A1.MP4", 24)], { timelineRate: rate(25) }).brief.assumed["timelineRate"]).toBeUndefined();
});

test("a card without a readable clip still has a brief and a verdict for each", () => {
  const card = judge([clipOf("D/A1.MP4", {})]);
  expect([toNumber(card.brief.timelineRate), card.counts.unknown]).toEqual([25, 1]);
  expect(judge([]).counts).toEqual({ clean: 0, workable: 0, unknown: 0, reshoot: 0 });
});

test("every clip is counted once, and fits are told for all eight rates", () => {
  const card = judge(day, { timelineRate: rate(25) });
  const { clean, workable, unknown, reshoot } = card.counts;
  expect(clean + workable + unknown + reshoot).toBe(day.length);
  expect(card.fits).toHaveLength(8);
  for (const fit of card.fits) expect(fit.even + fit.afterRetime + fit.uneven).toBe(7);
  const at25 = card.fits.find((fit) => toNumber(fit.rate) === 25);
  expect(at25 && fitText(at25)).toBe("25: 5 of 7");
});

test("files that are no footage are not judged", () => {
  const clip = { ...clipOf("D/A1.MP4", {}), notFootage: "sound only" };
  expect(judge([clip]).clips).toEqual([]);
});

test("seconds of timeline are summed for the planned use", () => {
  const card = judge([flown("D/A1.MP4", 25), flown("D/A2.MP4", 100)], { timelineRate: rate(25) });
  const [real, slow] = card.usable;
  // 10 s at 25 in real time; 10 s at 100 slowed to a quarter.
  expect(equal(real?.clean ?? ratio(0n), ratio(10n))).toBe(true);
  expect(equal(slow?.clean ?? ratio(0n), ratio(40n))).toBe(true);
});

test("light of the latest clip makes the rows of the next flight, with the caution", () => {
  const { nextFlight } = judge(day.slice(0, 2), { timelineRate: rate(25), ndFactors: [8, 16] });
  // f/2.8, 1/100, ISO 100: EV 9.6 (EV = 2·log2(2.8) + log2(100)).
  expect(nextFlight.lightEv).toBeCloseTo(9.61, 1);
  expect(nextFlight.lightFrom).toBe("D/A2.MP4");
  expect(nextFlight.caution).toMatch(/^Refly only if the rules at this place/);
  expect(nextFlight.rows.length).toBeGreaterThan(3);
  const stated = judge(day.slice(0, 2), { timelineRate: rate(25), highestLightEv: 15 }).nextFlight;
  expect([stated.lightEv, stated.lightFrom]).toEqual([15, "the brief"]);
  const dark = judge([clipOf("D/A6.MP4", { frameRate: rate(25) })], { timelineRate: rate(25) }).nextFlight;
  expect([dark.lightEv, dark.rows[0]?.iso]).toEqual([undefined, undefined]);
});

test("findings of stills are told at the still", () => {
  const stills = [
    exampleStill("B.JPG", { shutter: 10, focal: 24 }),
    exampleStill("A.JPG", { shutter: 100, focal: 24 }),
  ];
  const card = judgeCard([], stills, [], exampleCard(), {}, now);
  expect(card.stills.map((still) => [still.name, still.findings.map((finding) => finding.rule)])).toEqual([
    ["A.JPG", []],
    ["B.JPG", ["still-shutter"]],
  ]);
});

test("what is found about the card never changes the verdict of a clip", () => {
  const remarks = [{ kind: "orphan-proxy", says: "X.LRF has no original", paths: ["X.LRF"] }];
  const plain = judgeCard([flown("D/A1.MP4", 25)], [], [], exampleCard(), { timelineRate: rate(25) }, now);
  const odd = judgeCard([flown("D/A1.MP4", 25)], [], [], exampleCard({ remarks }), { timelineRate: rate(25) }, now);
  expect(odd.card[0]?.grade).toBe("reshoot");
  expect(asText(odd.clips)).toBe(asText(plain.clips));
});

test("the time for three thousand clips does not grow with the square", () => {
  const many = Array.from({ length: 3000 }, (_, place) => ({
    ...(day[place % day.length] as Clip),
    name: `D/${String(place).padStart(5, "0")}.MP4`,
  }));
  const began = performance.now();
  const card = judge(many, { timelineRate: rate(25), isoCeiling: 400 });
  const took = performance.now() - began;
  expect(card.clips).toHaveLength(3000);
  // Under a second on a free machine; the bound only catches growth with the square, on any machine.
  expect(took).toBeLessThan(20_000);
});
