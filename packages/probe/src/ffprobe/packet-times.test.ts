import { rateLabel, ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { measureTimes } from "./packet-times.ts";

/** Presentation times of `count` frames as a clock of `timescale` ticks rounds them. */
const times = (count: number, framesPerSecond: number, timescale: number): number[] =>
  Array.from({ length: count }, (_, frame) => Math.round((frame * timescale) / framesPerSecond));

test("33 and 34 milliseconds in turn are 30000/1001, once the stretch is long enough", () => {
  const found = measureTimes(times(150, 30000 / 1001, 1000), 1000);
  expect(found?.timing.kind).toBe("rounded");
  expect(found?.rate === undefined ? "" : ratioText(found.rate)).toBe("30000/1001");
});

test("half a second on a millisecond clock leaves 29.97 and 30 undecided instead of picking one", () => {
  const found = measureTimes(times(15, 30, 1000), 1000);
  expect(found?.rate).toBeUndefined();
  expect(found?.candidates.map(rateLabel).sort()).toEqual(["29.97", "30"]);
});

test("every standard rate comes back exactly from five seconds of a 90 kHz clock and of a millisecond clock", () => {
  for (const [top, bottom] of [
    [24000, 1001],
    [24, 1],
    [25, 1],
    [30000, 1001],
    [30, 1],
    [50, 1],
    [60000, 1001],
    [60, 1],
    [120, 1],
  ] as const) {
    for (const timescale of [90_000, 1000]) {
      const found = measureTimes(times(Math.ceil((5 * top) / bottom), top / bottom, timescale), timescale);
      expect([timescale, found?.rate === undefined ? "" : ratioText(found.rate)]).toEqual([
        timescale,
        `${top}/${bottom}`,
      ]);
    }
  }
});

test("a clock that counts frames gives the rate from four frames", () => {
  const found = measureTimes([0, 1, 2, 3], 25);
  expect(found?.rate === undefined ? "" : ratioText(found.rate)).toBe("25/1");
});

test("order does not matter: B-frames come in decode order", () => {
  const plain = times(100, 25, 90_000);
  const mixed = [...plain].sort((a, b) => ((a / 3600) % 4) - ((b / 3600) % 4));
  expect(measureTimes(mixed, 90_000)).toEqual(measureTimes(plain, 90_000));
});

test("gaps of 40, 80 and 120 ms are variable, although a reader may call them 25", () => {
  const gaps = [40, 120, 40, 80, 40, 40, 120, 80, 40, 120, 80, 40];
  let at = 0;
  const found = measureTimes([0, ...gaps.map((gap) => (at += gap))], 1000);
  expect(found?.timing.kind).toBe("variable");
});

test("one frame missing in a hundred and twenty is a slip, and the rate stays", () => {
  const found = measureTimes(
    times(120, 25, 90_000).filter((_, frame) => frame !== 60),
    90_000,
  );
  expect(found?.timing).toMatchObject({ kind: "slips", lostFrames: 1 });
  expect(found?.rate === undefined ? "" : ratioText(found.rate)).toBe("25/1");
});

test("too few, equal or impossible times say nothing", () => {
  expect(measureTimes([], 1000)).toBeUndefined();
  expect(measureTimes([0, 40], 1000)).toBeUndefined();
  expect(measureTimes([5, 5, 5, 5], 1000)).toBeUndefined();
  expect(measureTimes([0, 1, 2], 0)).toBeUndefined();
  expect(measureTimes([0, 1, 2], 0.5)).toBeUndefined();
});
