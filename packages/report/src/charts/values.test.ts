import { expect, test } from "vitest";
import { sampleReport } from "../sample-report.ts";
import type { ClipReport, FactReport } from "../schema.ts";
import {
  clipSeconds,
  clockText,
  factNumber,
  factPoints,
  grouped,
  lightPoints,
  numberFrom,
  shutterText,
  valueAt,
} from "./values.ts";

const clip = (facts: ClipReport["facts"]): Pick<ClipReport, "facts"> => ({ facts });
const series = (points: readonly (readonly [number, number | string])[]): FactReport => ({
  state: "read",
  value: points[0]?.[1] ?? 0,
  series: { typical: 1, first: 1, least: 1, most: 1, records: 1, coverage: 1, points: points.map(([s, v]) => [s, v]) },
});

test("numbers come from numbers and from ratios as text, and from nothing else", () => {
  expect([numberFrom(2), numberFrom("1/50"), numberFrom("24000/1001")]).toEqual([2, 0.02, 24000 / 1001]);
  for (const nothing of [Number.NaN, "1/0", "fast", "", "9".repeat(100), null, {}, undefined]) {
    expect(numberFrom(nothing)).toBeUndefined();
  }
});

test("an absent or damaged fact has no number, also when it carries a value", () => {
  const facts = clip({ iso: { state: "damaged", value: 100, why: "cut" } });
  expect(factNumber(facts, "iso")).toBeUndefined();
  expect(factPoints(facts, "iso")).toEqual([]);
  expect(factNumber(clip({}), "constructor")).toBeUndefined();
});

test("points come in time order, without what is no number", () => {
  expect(
    factPoints(
      clip({
        iso: series([
          [4, 200],
          [0, 100],
          [2, "auto"],
        ]),
      }),
      "iso",
    ),
  ).toEqual([
    [0, 100],
    [4, 200],
  ]);
  expect(factPoints(clip({ iso: { state: "read", value: 400 } }), "iso")).toEqual([[0, 400]]);
});

test("the value in force is the last one that began", () => {
  const points = [
    [0, 1],
    [10, 2],
  ] as const;
  expect([valueAt(points, -1), valueAt(points, 0), valueAt(points, 9.9), valueAt(points, 10)]).toEqual([
    undefined,
    1,
    1,
    2,
  ]);
});

test("light is EV at ISO 100 of shutter, ISO and f-number, ND added", () => {
  // f/2.8 and 1/50 s: 2·log2(2.8) + log2(50) = 2.971 + 5.644; definition of the exposure value, ISO 2720.
  const light = lightPoints(
    clip({
      shutterSeconds: series([[0, 0.02]]),
      iso: series([
        [0, 100],
        [5, 200],
      ]),
      fNumber: series([[0, 2.8]]),
      ndStops: series([[0, 3]]),
    }),
  );
  expect(light.map(([at, ev]) => [at, Number(ev.toFixed(2))])).toEqual([
    [0, 11.61],
    [5, 10.61],
  ]);
  expect(lightPoints(clip({ shutterSeconds: series([[0, 0.02]]), iso: series([[0, 100]]) }))).toEqual([]);
});

test("texts are those of a camera menu and of a clock", () => {
  expect([shutterText(0.02), shutterText(1 / 48.5), shutterText(0.5)]).toEqual(["1/50", "1/48.5", "0.5"]);
  expect([clockText(7.44), clockText(59.96), clockText(725), clockText(3725)]).toEqual([
    "0:07.4",
    "1:00",
    "12:05",
    "1:02:05",
  ]);
  expect([grouped(999), grouped(1000), grouped(1234567)]).toEqual(["999", "1,000", "1,234,567"]);
});

test("a clip's length is the stated one", () => {
  const [first] = sampleReport().clips;
  expect(clipSeconds(first as ClipReport)).toBeCloseTo(12.48, 6);
  expect(clipSeconds(clip({}))).toBe(1);
});
