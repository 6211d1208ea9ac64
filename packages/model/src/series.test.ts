import * as fc from "fast-check";
import { expect, test } from "vitest";
import { compare, ratio, type Ratio, ratioText } from "./ratio.ts";
import {
  constantSeries,
  extremes,
  firstValue,
  mostRuns,
  type Series,
  runsOf,
  seriesBuilder,
  shareWhere,
  sortedShares,
  typicalValue,
} from "./series.ts";

const byNumber = (a: number, b: number): number => a - b;

function numbers(records: readonly (readonly [number, number, number])[], clip?: number): Series<number> {
  const builder = seriesBuilder<number>((value) => value);
  for (const [value, start, end] of records) builder.add(value, start, end);
  const series = builder.finish(clip);
  if (series === undefined) throw new Error("no series");
  return series;
}

test("equal neighbours are one run, and the time of every value is exact", () => {
  const series = numbers(
    [
      [100, 0, 10],
      [100, 10, 20],
      [200, 20, 25],
      [100, 25, 40],
    ],
    40,
  );
  expect(series.values).toEqual([100, 200]);
  expect(series.heldMicroseconds).toEqual([35, 5]);
  expect([...runsOf(series)]).toEqual([
    { startMicroseconds: 0, endMicroseconds: 20, value: 100 },
    { startMicroseconds: 20, endMicroseconds: 25, value: 200 },
    { startMicroseconds: 25, endMicroseconds: 40, value: 100 },
  ]);
  expect([series.records, series.coverage, series.thinned, series.endMicroseconds]).toEqual([4, 1, false, 40]);
});

test("nothing added is no series", () => {
  expect(seriesBuilder<number>((value) => value).finish(100)).toBeUndefined();
});

test("coverage is the share of the clip the records speak for", () => {
  const records = [
    [1, 0, 10],
    [1, 30, 40],
  ] as const;
  expect(numbers(records, 80).coverage).toBe(0.25);
  expect(numbers(records, 10).coverage).toBe(1);
  expect(numbers(records).coverage).toBe(1);
  expect(numbers(records, 0).coverage).toBe(1);
});

test("a record that ends before it starts holds no time, and a fallen start is moved up", () => {
  const series = numbers([
    [1, 100, 90],
    [2, 50, 120],
    [3, 110, 115],
  ]);
  expect(series.heldMicroseconds).toEqual([0, 70, 5]);
  expect([...series.runStarts]).toEqual([100, 100, 110]);
  expect(series.endMicroseconds).toBe(120);
});

test("records before the first picture end before it", () => {
  expect(numbers([[1, -20, -10]]).endMicroseconds).toBe(-10);
});

test("a thinned series keeps within its bound, its times in order, its ends and every short excursion", () => {
  const excursions = new Map([
    [2, 7],
    [40_001, 9_000],
    [70_002, -5],
    [99_998, 12_000],
  ]);
  const records = Array.from({ length: 100_000 }, (_, place) => {
    const value = excursions.get(place) ?? 400 + (place % 2) * 10 + (place % 7);
    return [value, place * 20, place * 20 + 20] as const;
  });
  const series = numbers(records, 2_000_000);
  const runs = [...runsOf(series)];
  expect(series.thinned).toBe(true);
  expect(series.runStarts.length).toBeLessThanOrEqual(mostRuns);
  expect(series.runStarts.length).toBeGreaterThan(mostRuns / 2 - 2);
  for (const [place, value] of excursions) {
    expect(runs.find((run) => run.value === value)?.startMicroseconds).toBe(place * 20);
  }
  expect(runs.every((run) => run.endMicroseconds > run.startMicroseconds)).toBe(true);
  expect(runs[0]).toMatchObject({ startMicroseconds: 0, value: 400 });
  expect(runs.at(-1)).toMatchObject({ endMicroseconds: 2_000_000, value: records.at(-1)?.[0] });
  expect(runs.slice(1).every((run, place) => run.value !== runs[place]?.value)).toBe(true);
  // Shares stay exact whatever is left out.
  expect(series.heldMicroseconds.reduce((sum, time) => sum + time, 0)).toBe(2_000_000);
  expect(series.records).toBe(100_000);
});

const of = <T>(series: Series<T> | undefined): readonly T[] =>
  series === undefined ? [] : [...runsOf(series)].map((run) => run.value);

test("the run that arrives when a series is thinned stays its last", () => {
  const builder = seriesBuilder<number>((value) => value);
  for (let place = 0; place < mostRuns; place += 1) builder.add(place % 2, place, place + 1);
  expect(builder.finish(mostRuns)).toMatchObject({ thinned: false, runStarts: { length: mostRuns } });
  // Of middling size, so that it stays for being last and not for being most.
  builder.add(0.5, mostRuns, mostRuns + 1);
  const series = builder.finish(mostRuns + 1);
  expect(series?.thinned).toBe(true);
  expect(of(series).at(-1)).toBe(0.5);
  expect(series?.runStarts.at(-1)).toBe(mostRuns);
});

test("fractions and words are thinned by their own order", () => {
  const times = seriesBuilder<Ratio>(ratioText);
  const words = seriesBuilder<string>((value) => value);
  const own = seriesBuilder<string>(
    (value) => value,
    (a, b) => a.length - b.length,
  );
  for (let place = 0; place < 20_000; place += 1) {
    // As texts 1/1000 would stand between 1/100 and 1/50; as times it is the least.
    times.add(place === 9001 ? ratio(1, 1000) : ratio(1, place % 2 === 0 ? 100 : 50), place, place + 1);
    words.add(place === 9001 ? "zoom" : place % 2 === 0 ? "a" : "b", place, place + 1);
    own.add(place === 9001 ? "bbbb" : place % 2 === 0 ? "a" : "zz", place, place + 1);
  }
  expect(of(times.finish(20_000)).some((time) => compare(time, ratio(1, 1000)) === 0)).toBe(true);
  expect(of(words.finish(20_000))).toContain("zoom");
  expect(of(own.finish(20_000))).toContain("bbbb");
});

test("whatever is recorded, the held times add up and the runs are in order", () => {
  const record = fc.tuple(fc.integer({ min: 0, max: 5 }), fc.nat(100), fc.nat(100));
  fc.assert(
    fc.property(fc.array(record, { minLength: 1, maxLength: 60 }), (steps) => {
      let at = 0;
      const records = steps.map(([value, gap, length]) => {
        const start = at + gap;
        at = start + length;
        return [value, start, at] as const;
      });
      const series = numbers(records, at);
      const total = records.reduce((sum, [, start, end]) => sum + end - start, 0);
      expect(series.heldMicroseconds.reduce((sum, time) => sum + time, 0)).toBe(total);
      expect(new Set(series.values).size).toBe(series.values.length);
      const shares = sortedShares(series, byNumber);
      expect(shares.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 9);
      expect(shares.slice(1).every(({ value }, place) => value > (shares[place]?.value ?? value))).toBe(true);
      const { least, most } = extremes(series, byNumber);
      expect([least, most]).toEqual([Math.min(...series.values), Math.max(...series.values)]);
      const typical = typicalValue(series, byNumber);
      const below = shareWhere(series, (value) => value < typical);
      const upTo = shareWhere(series, (value) => value <= typical);
      expect(upTo >= 0.5 - 1e-9 && (below < 0.5 + 1e-9 || total === 0)).toBe(true);
    }),
    { numRuns: 1000 },
  );
});

test("the typical value is the one half of the time lies at or below", () => {
  const series = numbers([
    [800, 0, 10],
    [100, 10, 60],
    [400, 60, 100],
  ]);
  expect(typicalValue(series, byNumber)).toBe(100);
  expect(extremes(series, byNumber)).toEqual({ least: 100, most: 800 });
  expect(firstValue(series)).toBe(800);
  expect(shareWhere(series, (value) => value > 100)).toBe(0.5);
  expect(sortedShares(series, byNumber)).toEqual([
    { value: 100, share: 0.5 },
    { value: 400, share: 0.4 },
    { value: 800, share: 0.1 },
  ]);
});

test("records without any time count alike", () => {
  const series = numbers([
    [1, 0, 0],
    [2, 0, 0],
    [3, 0, 0],
  ]);
  expect(sortedShares(series, byNumber).map(({ share }) => share)).toEqual([1 / 3, 1 / 3, 1 / 3]);
  expect(typicalValue(series, byNumber)).toBe(2);
  expect(shareWhere(series, (value) => value > 2)).toBe(1);
  expect(shareWhere(series, (value) => value > 3)).toBe(0);
});

test("a constant series holds its value for the whole clip", () => {
  const series = constantSeries(100, 5_000_000);
  expect([...runsOf(series)]).toEqual([{ startMicroseconds: 0, endMicroseconds: 5_000_000, value: 100 }]);
  expect([series.coverage, series.records, series.thinned]).toEqual([1, 1, false]);
});
