import { absent, equal, type Facts, rate, ratio, read, seconds } from "@goodgate/model";
import { expect, test } from "vitest";
import { clipRates, evenAsPlanned, knownCadence, possibleUses, retimedStep } from "./uses.ts";

const origin = { kind: "container" as const, file: "a", place: "b" };
const ratesOf = (plays: Facts["frameRate"], captured?: Facts["captureRate"]) =>
  clipRates({
    ...(plays === undefined ? {} : { frameRate: plays }),
    ...(captured === undefined ? {} : { captureRate: captured }),
  });
const stated = (treatment: "real" | "slow" | "either") => ({ treatment, stated: true });

test("without a capture rate the rate the file plays at stands, unproven", () => {
  const rates = ratesOf(read(rate(25), origin), absent("none"));
  expect([rates && equal(rates.capture, rate(25)), rates?.proven]).toEqual([true, false]);
  expect(ratesOf(absent("none"))).toBeUndefined();
});

test("60 stated for a file of 59.94 is the same mode, 120 stated for one of 29.97 is 119.88", () => {
  const same = ratesOf(read(rate(60000, 1001), origin), read(rate(60), origin));
  expect([same && equal(same.capture, rate(60000, 1001)), same?.proven]).toEqual([true, true]);
  const other = ratesOf(read(rate(60), origin), read(rate(60000, 1001), origin));
  expect(other && equal(other.capture, rate(60))).toBe(true);
  const fast = ratesOf(read(rate(30000, 1001), origin), read(rate(120), origin));
  expect(fast && equal(fast.capture, rate(120000, 1001))).toBe(true);
  const whole = ratesOf(read(rate(30), origin), read(rate(120), origin));
  expect(whole && equal(whole.capture, rate(120))).toBe(true);
});

test("a clip no faster than the timeline has no slow use when both are allowed", () => {
  const rates = ratesOf(read(rate(25), origin));
  if (rates === undefined) throw new Error("no rates");
  expect(possibleUses(rates, rate(25), stated("either"), undefined).map(({ use }) => use)).toEqual(["real time"]);
  expect(possibleUses(rates, rate(24), stated("either"), undefined).map(({ use }) => use)).toEqual([
    "real time",
    "slow",
  ]);
  expect(possibleUses(rates, rate(25), stated("slow"), undefined).map(({ use }) => use)).toEqual(["slow"]);
});

test("with no treatment stated, slow use begins at 1.5 times the timeline rate", () => {
  const open = { treatment: "either" as const, stated: false };
  for (const [frames, uses] of [
    [36, 1],
    [37, 1],
    [38, 2],
  ] as const) {
    const rates = ratesOf(read(rate(frames), origin));
    if (rates === undefined) throw new Error("no rates");
    expect(possibleUses(rates, rate(25), open, undefined)).toHaveLength(uses);
  }
});

test("a speed of the brief counts against real life", () => {
  const rates = ratesOf(read(rate(25), origin), read(rate(100), origin));
  if (rates === undefined) throw new Error("no rates");
  const [slow] = possibleUses(rates, rate(25), { ...stated("slow"), speed: ratio(1n, 2n) }, seconds(10));
  // Half of real life is twice the file, which was slowed to a quarter in the camera.
  expect(slow && equal(slow.fileSpeed, ratio(2n))).toBe(true);
  expect(slow?.timelineSeconds && equal(slow.timelineSeconds, seconds(5))).toBe(true);
});

test("a near miss is retimed to the step it is near to, everything else stays", () => {
  expect(equal(retimedStep(knownCadence(ratio(1001n, 500n), rate(30))), ratio(2n))).toBe(true);
  expect(equal(retimedStep(knownCadence(ratio(1001n, 2000n), rate(60))), ratio(1n, 2n))).toBe(true);
  expect(equal(retimedStep(knownCadence(ratio(12n, 5n), rate(25))), ratio(12n, 5n))).toBe(true);
  expect(evenAsPlanned(knownCadence(ratio(1001n, 500n), rate(30)))).toBe(true);
  expect(evenAsPlanned(knownCadence(ratio(12n, 5n), rate(25)))).toBe(false);
});

test("a thousand patterns are remembered, and more change no answer", () => {
  for (let place = 1; place <= 1100; place += 1) knownCadence(ratio(place, 7), rate(25));
  expect(knownCadence(ratio(1, 7), rate(25)).kind).toBe("held");
});
