/** An exact fraction in lowest terms; the denominator is always positive. */
export interface Ratio {
  readonly numerator: bigint;
  readonly denominator: bigint;
}

/**
 * Builds a fraction in lowest terms. Throws a RangeError on a zero denominator or a number that is not whole: readers
 * must call that damage first.
 */
export function ratio(numerator: bigint | number, denominator: bigint | number = 1n): Ratio {
  let n = BigInt(numerator);
  let d = BigInt(denominator);
  if (d === 0n) throw new RangeError("a ratio with denominator zero");
  if (d < 0n) {
    n = -n;
    d = -d;
  }
  const divisor = greatestCommonDivisor(n < 0n ? -n : n, d);
  return divisor === 1n ? { numerator: n, denominator: d } : { numerator: n / divisor, denominator: d / divisor };
}

const mostExact = BigInt(Number.MAX_SAFE_INTEGER);

function greatestCommonDivisor(a: bigint, b: bigint): bigint {
  if (b === 1n) return 1n;
  if (a <= mostExact && b <= mostExact) {
    // The remainder of two whole numbers in the exact range of a double is exact, and much quicker.
    let [x, y] = [Number(a), Number(b)];
    while (y !== 0) [x, y] = [y, x % y];
    return x === 1 ? 1n : BigInt(x);
  }
  while (b !== 0n) [a, b] = [b, a % b];
  return a;
}

/** Zero and one, so that callers do not build them again. */
export const zero: Ratio = { numerator: 0n, denominator: 1n };
/** The fraction one. */
export const one: Ratio = { numerator: 1n, denominator: 1n };

/** a + b, exact. */
export const add = (a: Ratio, b: Ratio): Ratio =>
  ratio(a.numerator * b.denominator + b.numerator * a.denominator, a.denominator * b.denominator);
/** a − b, exact. */
export const subtract = (a: Ratio, b: Ratio): Ratio =>
  ratio(a.numerator * b.denominator - b.numerator * a.denominator, a.denominator * b.denominator);
/** a × b, exact. */
export const multiply = (a: Ratio, b: Ratio): Ratio => ratio(a.numerator * b.numerator, a.denominator * b.denominator);
/** a ÷ b, exact. Throws a RangeError when b is zero. */
export const divide = (a: Ratio, b: Ratio): Ratio => ratio(a.numerator * b.denominator, a.denominator * b.numerator);
/** 1 ÷ a, exact. Throws a RangeError when a is zero. */
export const invert = (a: Ratio): Ratio => ratio(a.denominator, a.numerator);

/** −1, 0 or 1 as a is below, equal to or above b. */
export function compare(a: Ratio, b: Ratio): -1 | 0 | 1 {
  if (a === b) return 0;
  const left = a.numerator * b.denominator;
  const right = b.numerator * a.denominator;
  return left < right ? -1 : left > right ? 1 : 0;
}

/** Whether two fractions are the same number. */
export const equal = (a: Ratio, b: Ratio): boolean => compare(a, b) === 0;
/** |a − b|, exact. */
export const distance = (a: Ratio, b: Ratio): Ratio => absolute(subtract(a, b));
/** |a|, exact. */
export const absolute = (a: Ratio): Ratio => (a.numerator < 0n ? ratio(-a.numerator, a.denominator) : a);
/** The largest whole number not above a. */
export function floor(a: Ratio): bigint {
  const quotient = a.numerator / a.denominator;
  return a.numerator < 0n && a.numerator % a.denominator !== 0n ? quotient - 1n : quotient;
}
/** Whether a is a whole number. */
export const isWhole = (a: Ratio): boolean => a.denominator === 1n;
/** The nearest whole number; halves go up. */
export const round = (a: Ratio): bigint => floor(add(a, { numerator: 1n, denominator: 2n }));

/** The value as a floating-point number, right to 15 digits; for printing and for logarithms only. */
export function toNumber(a: Ratio): number {
  const n = Number(a.numerator);
  const d = Number(a.denominator);
  if (Number.isFinite(n) && Number.isFinite(d)) return n / d;
  // Past 2^1024 a part overflows: divide first, with enough bits of fraction for a whole double.
  const shift = Math.max(0, bits(a.denominator) - bits(a.numerator) + 64);
  const quotient = Number((a.numerator << BigInt(shift)) / a.denominator);
  // In two halves, because 2^shift itself may overflow.
  return quotient / 2 ** (shift >> 1) / 2 ** (shift - (shift >> 1));
}

/** Bits of a number, rounded up to fours. */
const bits = (value: bigint): number => value.toString(16).length * 4;

/** How far a is from b in parts per million of b, signed. Throws a RangeError when b is zero. */
export const partsPerMillion = (a: Ratio, b: Ratio): number => toNumber(divide(subtract(a, b), b)) * 1e6;

/** The text form used in reports: always numerator, slash, denominator, like `24000/1001` or `25/1`. */
export const ratioText = (a: Ratio): string => `${a.numerator}/${a.denominator}`;

/** A ratio as a short decimal without trailing zeros, at most `digits` after the point. */
export const decimalText = (a: Ratio, digits = 3): string => Number(toNumber(a).toFixed(digits)).toString();

const decimalForm = /^([+-]?)(\d{1,30})(?:\.(\d{1,30}))?$/;

/** Reads `29.97`, `25` or `24000/1001` exactly as written; undefined for anything else or a zero denominator. */
export function parseRatio(text: string): Ratio | undefined {
  const [above, below, ...rest] = text.trim().split("/");
  if (above === undefined || rest.length > 0) return undefined;
  const n = parseDecimal(above.trim());
  if (n === undefined || below === undefined) return n;
  const d = parseDecimal(below.trim());
  return d === undefined || d.numerator === 0n ? undefined : divide(n, d);
}

function parseDecimal(text: string): Ratio | undefined {
  const match = decimalForm.exec(text);
  if (match === null) return undefined;
  const [, sign, whole = "", fraction = ""] = match;
  const value = BigInt(whole + fraction);
  return ratio(sign === "-" ? -value : value, 10n ** BigInt(fraction.length));
}

/** The exact value of a finite floating-point number, as its shortest decimal text reads (0.1 becomes 1/10). */
export function fromNumber(value: number): Ratio | undefined {
  if (!Number.isFinite(value)) return undefined;
  if (Number.isSafeInteger(value)) return { numerator: BigInt(value), denominator: 1n };
  const match = /^(-?)(\d+)(?:\.(\d+))?(?:e([+-]\d+))?$/.exec(String(value));
  if (match === null) return undefined;
  const [, sign = "", whole = "", fraction = "", exponent = "0"] = match;
  const shift = Number(exponent) - fraction.length;
  const digits = BigInt(sign + whole + fraction);
  return shift >= 0 ? ratio(digits * 10n ** BigInt(shift)) : ratio(digits, 10n ** BigInt(-shift));
}
