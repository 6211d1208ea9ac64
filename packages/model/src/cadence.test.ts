import * as fc from "fast-check";
import { expect, test } from "vitest";
import {
  cadence,
  cleanSlowSpeeds,
  conformSpeed,
  heldSlowSpeeds,
  isEven,
  mostCleanSpeeds,
  nearestCleanSpeed,
  nearMissPartsPerMillion,
  nearRealTimeSpeed,
  pitchCents,
  realTimeCadence,
  runningSeconds,
  sameRate,
  shownFrames,
  slipSeconds,
  stepList,
} from "./cadence.ts";
import { rate, type Rate, seconds, speed, standardRates, timelineRates } from "./quantities.ts";
import {
  absolute,
  compare,
  divide,
  equal,
  isWhole,
  multiply,
  one,
  type Ratio,
  ratio,
  subtract,
  toNumber,
} from "./ratio.ts";

/** What a person counts who steps through the timeline frame by frame, for two periods, without any division. */
interface Counted {
  readonly steps: readonly number[];
  /** Timeline frames each source frame stays, for the whole source frames of one period. */
  readonly holds: readonly number[];
  /** Largest delay of the first showing of a source frame, in timeline frames, as a fraction. */
  readonly peak: Ratio;
}

function count(p: number, q: number): Counted {
  const shown: number[] = [];
  let source = 0;
  let rest = 0;
  for (let frame = 0; frame <= 2 * q; frame += 1) {
    shown.push(source);
    for (rest += p; rest >= q; rest -= q) source += 1;
  }
  const steps = shown.slice(1).map((frame, place) => frame - (shown[place] ?? 0));
  const stays = new Map<number, number>();
  const first = new Map<number, number>();
  shown.forEach((frame, place) => {
    stays.set(frame, (stays.get(frame) ?? 0) + 1);
    if (!first.has(frame)) first.set(frame, place);
  });
  let peak = ratio(0);
  for (const [frame, place] of first) {
    // Source frame j belongs at j·q/p timeline frames.
    const late = subtract(ratio(place), ratio(frame * q, p));
    if (frame < p && compare(late, peak) > 0) peak = late;
  }
  return { steps, holds: [...stays].filter(([frame]) => frame < p).map(([, stay]) => stay), peak };
}

const shortestPeriod = (list: readonly number[]): number => {
  for (let length = 1; length < list.length; length += 1) {
    if (list.every((value, place) => place < length || value === list[place - length])) return length;
  }
  return list.length;
};

/** The cadence told by counting, against the one told by arithmetic. */
function compareWithCount(step: Ratio, timeline: Rate): void {
  const [p, q] = [Number(step.numerator), Number(step.denominator)];
  const told = cadence(step, timeline);
  const { steps, holds, peak } = count(p, q);
  const lengths = p > q ? steps.slice(0, q) : holds;
  const least = Math.min(...lengths);
  const most = Math.max(...lengths);
  const period = shortestPeriod(steps);
  const mean = p > q ? p / q : q / p;
  const common = Math.round(mean);
  const near = Math.abs(mean / common - 1) * 1e6 <= nearMissPartsPerMillion + 1e-6;

  const kind =
    least === most
      ? most === 1
        ? "one for one"
        : p > q
          ? "every nth"
          : "held"
      : near
        ? "near"
        : p > q
          ? "uneven skip"
          : "uneven hold";
  expect(told.kind).toBe(kind);
  expect(isEven(told)).toBe(least === most);
  const repeats = kind === "near" && p < q && common === 1;
  expect([told.least, told.most]).toEqual(repeats ? [0, 1] : [least, most]);
  if (least === most) {
    expect(told.count).toBe(least);
    expect(told.oddPerSecond.numerator).toBe(0n);
    expect(told.eventSeconds).toBeUndefined();
  } else {
    const ofLeast = lengths.filter((length) => length === least).length;
    const odd = Math.min(ofLeast, lengths.length - ofLeast);
    const perSecond = divide(multiply(ratio(odd), timeline), ratio(q));
    expect(equal(told.oddPerSecond, perSecond)).toBe(true);
    expect(told.eventSeconds !== undefined && equal(multiply(told.eventSeconds, perSecond), one)).toBe(true);
    expect(told.count).toBe(near ? common : least);
  }
  const inSteps = p > q || most === 1 || repeats;
  expect(told.counts).toBe(inSteps ? "source frames per timeline frame" : "timeline frames per source frame");
  expect(Number(told.periodFrames)).toBe(period);
  expect(equal(told.periodSeconds, divide(ratio(period), timeline))).toBe(true);
  expect(equal(told.peakError, peak)).toBe(true);
  expect(equal(told.unevenness, p > q && least !== most ? ratio(q, p) : ratio(0))).toBe(true);
  expect(stepList(step)).toEqual(steps.slice(0, Math.min(q, 4096)));
  expect(shownFrames(step, 5).map(Number)).toEqual([0, 1, 2, 3, 4].map((frame) => Math.floor((frame * p) / q)));
}

test("10,000 random cadences are what counting frame by frame gives", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: 1, max: 240 }),
      fc.integer({ min: 1, max: 60 }),
      fc.constantFrom(...timelineRates),
      (p, q, timeline) => {
        compareWithCount(ratio(p, q), timeline);
      },
    ),
    { numRuns: 10_000 },
  );
});

test("the cadence of every standard rate on every timeline rate is what counting frame by frame gives", () => {
  for (const capture of standardRates) {
    for (const timeline of timelineRates) compareWithCount(divide(capture, timeline), timeline);
  }
});

test("a rate 1000/1001 off is a near miss with one event every so many seconds", () => {
  const fast = realTimeCadence(rate(24), rate(24000, 1001));
  expect([fast.kind, fast.count, fast.least, fast.most]).toEqual(["near", 1, 1, 2]);
  const slow = realTimeCadence(rate(24000, 1001), rate(24));
  expect([slow.kind, slow.count, slow.least, slow.most, slow.counts]).toEqual([
    "near",
    1,
    0,
    1,
    "source frames per timeline frame",
  ]);
  const held = realTimeCadence(rate(30000, 1001), rate(60));
  expect([held.kind, held.count, held.least, held.most, held.counts]).toEqual([
    "near",
    2,
    2,
    3,
    "timeline frames per source frame",
  ]);
  // Counted for the catalogue of faults: one odd hold in 16.7 s.
  expect(held.eventSeconds && toNumber(held.eventSeconds)).toBeCloseTo(16.683, 3);
  const skipped = realTimeCadence(rate(60000, 1001), rate(30));
  expect([skipped.kind, skipped.count, skipped.least, skipped.most]).toEqual(["near", 2, 1, 2]);
});

test("a cadence of no step at all is refused", () => {
  expect(() => cadence(ratio(0), rate(25))).toThrow(RangeError);
  expect(() => cadence(ratio(-1), rate(25))).toThrow(RangeError);
});

test("the limit of a near miss is 1500 parts per million", () => {
  expect(cadence(ratio(20_029, 20_000), rate(25)).kind).toBe("near");
  expect(cadence(ratio(20_031, 20_000), rate(25)).kind).toBe("uneven skip");
  expect(cadence(ratio(20_000, 20_029), rate(25)).kind).toBe("near");
  expect(cadence(ratio(20_000, 20_031), rate(25)).kind).toBe("uneven hold");
});

const anyRate = fc.tuple(fc.integer({ min: 1, max: 300 }), fc.integer({ min: 1, max: 13 })).map(([n, d]) => rate(n, d));
const slowLimit = ratio(1_000_000 - nearMissPartsPerMillion, 1_000_000);

test("clean slow speeds are all whole steps below real time, and each is even", () => {
  fc.assert(
    fc.property(anyRate, anyRate, (capture, timeline) => {
      const found = cleanSlowSpeeds(capture, timeline);
      let m = 1;
      for (; m <= mostCleanSpeeds; m += 1) {
        if (compare(divide(multiply(ratio(m), timeline), capture), slowLimit) >= 0) break;
      }
      expect(found.length).toBe(m - 1);
      found.slice(0, 5).forEach((clean, place) => {
        expect(clean.everyNth).toBe(place + 1);
        const told = cadence(divide(multiply(clean.speed, capture), timeline), timeline);
        expect([told.kind, told.count]).toEqual([place === 0 ? "one for one" : "every nth", place + 1]);
      });
    }),
    { numRuns: 2000 },
  );
});

test("held slow speeds hold every frame as often as they say", () => {
  for (const clean of heldSlowSpeeds(rate(60), rate(24))) {
    const told = cadence(divide(multiply(clean.speed, rate(60)), rate(24)), rate(24));
    expect([told.kind, told.count, clean.everyNth]).toEqual(["held", clean.heldFrames, 1]);
  }
  expect(heldSlowSpeeds(rate(60), rate(24)).map((clean) => clean.heldFrames)).toEqual([2, 3, 4]);
  // Held twice, 25 on 50 is real time; it is slow from three on.
  expect(heldSlowSpeeds(rate(25), rate(50)).map((clean) => clean.heldFrames)).toEqual([3, 4]);
});

test("the nearest clean speed is the nearest of all that counting finds", () => {
  fc.assert(
    fc.property(
      anyRate,
      anyRate,
      fc.integer({ min: 1, max: 100 }).map((n) => speed(n, 100)),
      (capture, timeline, wanted) => {
        const off = (candidate: Ratio): Ratio => absolute(subtract(candidate, wanted));
        const conform = divide(timeline, capture);
        const candidates: Ratio[] = [];
        for (let m = 1; m <= mostCleanSpeeds; m += 1) candidates.push(multiply(ratio(m), conform));
        for (let k = 2; k <= 8; k += 1) candidates.push(divide(conform, ratio(k)));
        const slow = candidates.filter((candidate) => compare(candidate, slowLimit) < 0);
        if (isWhole(conform) || isWhole(divide(one, conform))) slow.push(one);
        const found = nearestCleanSpeed(capture, timeline, wanted);
        expect(found === undefined).toBe(slow.length === 0);
        if (found === undefined) return;
        expect(slow.some((candidate) => equal(candidate, found.speed))).toBe(true);
        expect(slow.every((candidate) => compare(off(found.speed), off(candidate)) <= 0)).toBe(true);
        const step = divide(multiply(found.speed, capture), timeline);
        expect(equal(step, ratio(found.everyNth, found.heldFrames))).toBe(true);
      },
    ),
    { numRuns: 300 },
  );
});

test("real time counts as a clean speed when frames are held evenly", () => {
  expect(nearestCleanSpeed(rate(25), rate(50), one)).toEqual({ speed: one, everyNth: 1, heldFrames: 2 });
  expect(nearestCleanSpeed(rate(100), rate(25), one)).toEqual({ speed: one, everyNth: 4, heldFrames: 1 });
  expect(nearestCleanSpeed(rate(1), rate(60), one)).toMatchObject({ heldFrames: 60 });
  expect(nearestCleanSpeed(rate(2), rate(25), one)).toBeUndefined();
});

const off = (candidate: Ratio): Ratio => absolute(subtract(candidate, one));

test("the speed nearest to real time is the nearest of all even ones, and none beyond the limit", () => {
  fc.assert(
    fc.property(anyRate, anyRate, (capture, timeline) => {
      const within = ratio(1, 20);
      const found = nearRealTimeSpeed(capture, timeline, within);
      let best: Ratio | undefined;
      for (let count = 1; count <= 4000; count += 1) {
        const conform = divide(timeline, capture);
        for (const candidate of [multiply(ratio(count), conform), divide(conform, ratio(count))]) {
          if (best === undefined || compare(off(candidate), off(best)) < 0) best = candidate;
        }
      }
      const wanted = best !== undefined && compare(off(best), within) <= 0 ? off(best) : undefined;
      expect(found === undefined).toBe(wanted === undefined);
      if (found !== undefined && wanted !== undefined) expect(equal(off(found), wanted)).toBe(true);
    }),
    { numRuns: 60 },
  );
});

test("near real time: 24 on 25 is a retime of 4.17 %, 50 on 24 is none within five percent but 96 %", () => {
  expect(nearRealTimeSpeed(rate(24), rate(25))).toEqual(ratio(25, 24));
  expect(nearRealTimeSpeed(rate(50), rate(24))).toEqual(ratio(24, 25));
  expect(nearRealTimeSpeed(rate(60), rate(24))).toBeUndefined();
  expect(nearRealTimeSpeed(rate(24), rate(48))).toEqual(one);
  // Exactly at the limit is within it.
  expect(nearRealTimeSpeed(rate(20), rate(21))).toEqual(ratio(21, 20));
  expect(nearRealTimeSpeed(rate(19), rate(20))).toBeUndefined();
});

test("conform, running time, slip and pitch", () => {
  expect(conformSpeed(rate(60), rate(24))).toEqual(ratio(2, 5));
  expect(runningSeconds(600, ratio(2), rate(25))).toEqual(seconds(12));
  expect(slipSeconds(rate(25), rate(25))).toBeUndefined();
  expect(slipSeconds(rate(25), rate(24))).toEqual(seconds(1));
  expect(pitchCents(ratio(1, 2))).toBe(-1200);
  expect(sameRate(rate(50, 2), rate(25))).toBe(true);
  expect(sameRate(rate(24000, 1001), rate(24))).toBe(false);
});
