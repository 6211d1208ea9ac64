import { expect, test } from "vitest";
import { ratio } from "../ratio.ts";
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

const row = (expect: CheckRow["expect"], tolerance: CheckRow["tolerance"] = "exact"): CheckRow => ({
  id: "X-1",
  given: {},
  expect,
  tolerance,
  unit: "-",
  source: "nobody",
  source_kind: "memory",
});

const misses: readonly (readonly [CheckRow["expect"], Readonly<Record<string, unknown>>])[] = [
  [{ a: 1 }, { a: 1.001 }],
  [{ a: 1 }, {}],
  [{ a: 1 }, { a: "1" }],
  [{ a: "1/2" }, { a: ratio(1, 3) }],
  [{ a: { num: 1, den: 2 } }, { a: ratio(1, 3) }],
  [{ a: { num: 1, den: 2 } }, { a: 0.5 }],
  [{ a: [1, 2] }, { a: [1] }],
  [{ a: [1, 2] }, { a: [2, 1] }],
  [{ a: true }, { a: ratio(1) }],
  [{ a: { b: 1 } }, { a: { b: 1, c: 2 } }],
  [{ a: { b: 1 } }, { a: { b: 2 } }],
  [{ a: null }, { a: undefined }],
  [{ a: 1, b: 2 }, { a: 1 }],
];

test("a row is not met by an answer that is off, missing or of another kind", () => {
  for (const [wanted, answer] of misses) expect(mismatches(row(wanted), answer)).toHaveLength(1);
});

test("a row is met within its tolerance, and no further", () => {
  expect(mismatches(row({ a: 10 }, { abs: 0.1 }), { a: 10.1 })).toEqual([]);
  expect(mismatches(row({ a: 10 }, { abs: 0.1 }), { a: 10.11 })).toHaveLength(1);
  expect(mismatches(row({ a: 10 }, { rel: 0.1 }), { a: ratio(11) })).toEqual([]);
  expect(mismatches(row({ a: 10 }, { rel: 0.1 }), { a: 11.1 })).toHaveLength(1);
  expect(
    mismatches(row({ a: "1/2", b: { num: 2, den: 4 }, c: [0.5] }), {
      a: ratio(1, 2),
      b: ratio(1, 2),
      c: [ratio(1, 2)],
    }),
  ).toEqual([]);
});

test("a row of which nothing is judged counts as wrong", () => {
  expect(mismatches(row({ a: 1 }), { a: 1 }, ["a"])).toEqual(["X-1: nothing is judged"]);
  expect(mismatches(row({}), {})).toHaveLength(1);
});

test("numbers and fractions of rows are read or refused", () => {
  expect(fraction("30000/1001")).toEqual(ratio(30000, 1001));
  expect(fraction(0.5)).toEqual(ratio(1, 2));
  expect(() => fraction("fast")).toThrow(TypeError);
  expect(() => number("1")).toThrow(TypeError);
  expect(rowTitle(row({ a: 1 }))).toBe("outside check X-1: a (memory: nobody)");
});
