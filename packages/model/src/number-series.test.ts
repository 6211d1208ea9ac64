import * as fc from "fast-check";
import { expect, test } from "vitest";
import { mostBins, mostExact } from "./number-bins.ts";
import { NumberSeriesBuilder } from "./number-series.ts";
import { extremes, firstValue, seriesBuilder, shareWhere, typicalValue } from "./series.ts";

const byNumber = (a: number, b: number): number => a - b;

/** Every value for ten microseconds, by the builder for numbers and by the one that keeps every different value. */
function both(values: readonly number[]) {
  const binned = new NumberSeriesBuilder();
  const exact = seriesBuilder<number>((value) => value);
  values.forEach((value, place) => {
    binned.add(value, place * 10, place * 10 + 10);
    exact.add(value, place * 10, place * 10 + 10);
  });
  const [own, kept] = [binned.finish(undefined), exact.finish(undefined)];
  if (own === undefined || kept === undefined) throw new Error("no series");
  return { own, kept };
}

test("up to 4096 different numbers a series is exact", () => {
  const values = Array.from({ length: 20_000 }, (_, place) => ((place * 7919) % mostExact) / 8 - 100);
  const { own, kept } = both(values);
  expect(own.values).toHaveLength(mostExact);
  expect(own).toEqual(kept);
  fc.assert(
    fc.property(
      fc.array(fc.oneof(fc.double({ noNaN: true }), fc.integer({ min: -3, max: 3 })), { minLength: 1 }),
      (any) => {
        const series = both(any);
        expect(series.own).toEqual(series.kept);
      },
    ),
  );
});

test("of more, each stands for numbers less than 0.1 % away; first, least, most and all times stay exact", () => {
  const values = Array.from({ length: 40_000 }, (_, place) => 20 + 15 * Math.sin(place / 1000) + place / 1e6);
  const { own, kept } = both(values);
  expect(kept.values.length).toBe(40_000);
  expect(own.values.length).toBeLessThan(mostExact);
  expect(firstValue(own)).toBe(values[0]);
  expect(extremes(own, byNumber)).toEqual(extremes(kept, byNumber));
  expect(own.heldMicroseconds.reduce((sum, time) => sum + time, 0)).toBe(400_000);
  expect(own.records).toBe(40_000);
  const typical = typicalValue(kept, byNumber);
  expect(Math.abs(typicalValue(own, byNumber) - typical) / typical).toBeLessThan(0.001);
  for (const limit of [10, 20, 34]) {
    const share = shareWhere(own, (value) => value > limit);
    expect(share).toBeLessThanOrEqual(shareWhere(kept, (value) => value > limit * 0.999));
    expect(share).toBeGreaterThanOrEqual(shareWhere(kept, (value) => value > limit * 1.001));
  }
});

test("numbers of one bin are less than 0.1 % apart, whatever their size and sign", () => {
  const size = fc.double({ min: 1e-6, max: 1e6, noNaN: true });
  fc.assert(
    fc.property(size, fc.boolean(), fc.double({ min: 0.998, max: 1.002, noNaN: true }), (base, isNegative, factor) => {
      const builder = new NumberSeriesBuilder();
      for (let place = 0; place <= mostExact; place += 1) builder.add(1e9 + place * 2 ** 22, place, place + 1);
      const [value, other] = [base, base * factor].map((one) => (isNegative ? -one : one)) as [number, number];
      builder.add(value, 5000, 5001);
      builder.add(other, 5001, 5002);
      const series = builder.finish(undefined);
      // The second of them began no run of its own.
      const isOne = series?.runStarts.at(-1) === 5000;
      if (isOne) expect(Math.abs(other / value - 1)).toBeLessThan(0.001);
      if (Math.abs(other / value - 1) >= 0.001) expect(isOne).toBe(false);
    }),
    { numRuns: 30 },
  );
});

test("numbers of every size keep within the bound", () => {
  const values = Array.from({ length: 60_000 }, (_, place) => (place % 2 === 0 ? 1 : -1) * 1.0011 ** (place / 2));
  const { own } = both(values);
  expect(own.values.length).toBeLessThanOrEqual(mostBins + 2);
  expect(own.heldMicroseconds.reduce((sum, time) => sum + time, 0)).toBe(600_000);
  expect(extremes(own, byNumber)).toEqual({ least: Math.min(...values), most: Math.max(...values) });
});

test("all at once or one by one, records give the same series", () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.nat(50)), { minLength: 1 }), (steps) => {
      const bounds = [0];
      for (const [, time] of steps) bounds.push((bounds.at(-1) ?? 0) + time);
      const [whole, single] = [new NumberSeriesBuilder(), new NumberSeriesBuilder()];
      whole.addAll(
        Float64Array.from(steps, ([value]) => value),
        Float64Array.from(bounds),
        steps.length,
      );
      steps.forEach(([value], place) => single.add(value, bounds[place] ?? 0, bounds[place + 1] ?? 0));
      expect(whole.finish(1000)).toEqual(single.finish(1000));
    }),
  );
});
