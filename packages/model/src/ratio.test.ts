import * as fc from "fast-check";
import { expect, test } from "vitest";
import {
  absolute,
  add,
  compare,
  decimalText,
  distance,
  divide,
  equal,
  floor,
  fromNumber,
  invert,
  isWhole,
  multiply,
  one,
  parseRatio,
  partsPerMillion,
  ratio,
  ratioText,
  round,
  subtract,
  toNumber,
  zero,
} from "./ratio.ts";

const part = fc.bigInt({ min: -(10n ** 20n), max: 10n ** 20n });
const anyRatio = fc
  .tuple(
    part,
    part.filter((value) => value !== 0n),
  )
  .map(([n, d]) => ratio(n, d));

test("a fraction has one form: lowest terms, denominator above zero", () => {
  fc.assert(
    fc.property(anyRatio, fc.bigInt({ min: 1n, max: 1000n }), (a, factor) => {
      const again = ratio(-a.numerator * factor, -a.denominator * factor);
      expect(again).toEqual(a);
      expect(a.denominator > 0n).toBe(true);
    }),
    { numRuns: 1000 },
  );
  expect(ratio(0, -7)).toEqual(zero);
  expect(ratio(6, -4)).toEqual({ numerator: -3n, denominator: 2n });
});

test("fractions obey the laws of arithmetic", () => {
  fc.assert(
    fc.property(anyRatio, anyRatio, anyRatio, (a, b, c) => {
      expect(add(a, b)).toEqual(add(b, a));
      expect(multiply(a, b)).toEqual(multiply(b, a));
      expect(add(add(a, b), c)).toEqual(add(a, add(b, c)));
      expect(multiply(a, add(b, c))).toEqual(add(multiply(a, b), multiply(a, c)));
      expect(subtract(add(a, b), b)).toEqual(a);
      expect(multiply(a, one)).toEqual(a);
      expect(add(a, zero)).toEqual(a);
      if (b.numerator !== 0n) {
        expect(multiply(divide(a, b), b)).toEqual(a);
        expect(invert(invert(b))).toEqual(b);
      }
      expect(distance(a, b)).toEqual(absolute(subtract(b, a)));
      expect(compare(a, b)).toBe(-compare(b, a) + 0);
      expect(equal(a, b)).toBe(ratioText(a) === ratioText(b));
      expect(compare(a, b) <= 0 && compare(b, c) <= 0 ? compare(a, c) <= 0 : true).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test("floor and round enclose the value; halves go up", () => {
  fc.assert(
    fc.property(anyRatio, (a) => {
      const below = ratio(floor(a));
      expect(compare(below, a) <= 0 && compare(a, add(below, one)) < 0).toBe(true);
      const off = subtract(ratio(round(a)), a);
      expect(compare(off, ratio(-1, 2)) > 0 && compare(off, ratio(1, 2)) <= 0).toBe(true);
      expect(isWhole(a)).toBe(equal(below, a));
    }),
    { numRuns: 2000 },
  );
  expect(floor(ratio(-7, 2))).toBe(-4n);
  expect(floor(ratio(-4))).toBe(-4n);
  expect(round(ratio(-7, 2))).toBe(-3n);
  expect(round(ratio(5, 2))).toBe(3n);
});

test("every finite number keeps its decimal text as a fraction, and comes back the same", () => {
  fc.assert(
    fc.property(fc.double({ noNaN: true, noDefaultInfinity: true }), (value) => {
      const exact = fromNumber(value);
      expect(exact).toBeDefined();
      if (exact === undefined) return;
      const back = toNumber(exact);
      expect(Math.abs(back - value) <= Math.abs(value) * 1e-15 || Math.abs(value) < 1e-300).toBe(true);
    }),
    { numRuns: 3000 },
  );
  expect(fromNumber(0.1)).toEqual(ratio(1, 10));
  expect(fromNumber(-1.5e-7)).toEqual(ratio(-3, 20_000_000));
  expect(fromNumber(1e21)).toEqual(ratio(10n ** 21n));
  expect(fromNumber(-0)).toEqual(zero);
  expect(fromNumber(Number.NaN)).toBeUndefined();
  expect(fromNumber(Number.POSITIVE_INFINITY)).toBeUndefined();
});

test("fractions too large for a double are still turned into the right number", () => {
  const huge = 10n ** 400n;
  expect(toNumber(ratio(huge * 3n, huge * 2n + 1n))).toBeCloseTo(1.5, 15);
  expect(toNumber(ratio(huge, 3n * huge * 10n ** 9n + 1n))).toBeCloseTo(1 / 3e9, 24);
  expect(toNumber(ratio(-7n * huge - 1n, huge))).toBeCloseTo(-7, 14);
  expect(toNumber(ratio(1n, huge))).toBe(0);
  expect(toNumber(ratio(huge))).toBe(Number.POSITIVE_INFINITY);
});

test("parts per million are signed and exact for near rates", () => {
  expect(partsPerMillion(ratio(1001, 1000), one)).toBe(1000);
  expect(partsPerMillion(ratio(999, 1000), one)).toBe(-1000);
  expect(partsPerMillion(ratio(1_000_000_001, 1_000_000_000), one)).toBe(0.001);
  expect(() => partsPerMillion(one, zero)).toThrow(RangeError);
});

test("a zero denominator and a number that is not whole are refused", () => {
  expect(() => ratio(1, 0)).toThrow(RangeError);
  expect(() => ratio(0.5)).toThrow(RangeError);
  expect(() => invert(zero)).toThrow(RangeError);
  expect(() => divide(one, zero)).toThrow(RangeError);
});

test.each([
  ["29.97", ratio(2997, 100)],
  [" 24000 / 1001 ", ratio(24000, 1001)],
  ["-0.5", ratio(-1, 2)],
  ["+3", ratio(3)],
  ["0.5/0.25", ratio(2)],
  ["-1/-3", ratio(1, 3)],
  ["007", ratio(7)],
])("%j reads as the fraction that is written", (text, value) => {
  expect(parseRatio(text)).toEqual(value);
});

test.each(["", " ", "1/0", "1/0.0", "1/", "/2", "1/2/3", "abc", "1e3", "0x10", ".5", "5.", "1,5", "∞", "1".repeat(31)])(
  "%j is no fraction",
  (text) => {
    expect(parseRatio(text)).toBeUndefined();
  },
);

test("any text gives a fraction or nothing, never an error", () => {
  fc.assert(
    fc.property(fc.string({ unit: fc.constantFrom(..."0123456789./+-eE ") }), (text) => {
      const value = parseRatio(text);
      expect(value === undefined || value.denominator > 0n).toBe(true);
    }),
    { numRuns: 2000 },
  );
});

test("texts of a fraction: exact with a slash, short as a decimal", () => {
  expect(ratioText(ratio(25))).toBe("25/1");
  expect(decimalText(ratio(24000, 1001))).toBe("23.976");
  expect(decimalText(ratio(1, 3), 1)).toBe("0.3");
  expect(decimalText(ratio(-1, 100_000))).toBe("0");
  expect(decimalText(ratio(5, 2), 0)).toBe("3");
});
