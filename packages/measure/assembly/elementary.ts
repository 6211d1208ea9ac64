// AssemblyScript, part of picture-kernel.ts: elementary functions of two numbers at once, right to the last digits. Their series
// are those of the handbooks (Abramowitz and Stegun, 4.1.27, 4.3.65 and, by way of coth, 4.5.67).

export function plus(a: v128, b: v128): v128 {
  return f64x2.add(a, b);
}
export function minus(a: v128, b: v128): v128 {
  return f64x2.sub(a, b);
}
export function times(a: v128, b: v128): v128 {
  return f64x2.mul(a, b);
}
export function over(a: v128, b: v128): v128 {
  return f64x2.div(a, b);
}
/** The same number twice. */
export function twice(value: f64): v128 {
  return f64x2.splat(value);
}
/** Sum of the two. */
export function joined(pair: v128): f64 {
  return f64x2.extract_lane(pair, 0) + f64x2.extract_lane(pair, 1);
}
/** The number at a place, twice: the engine loads it sooner than it writes down a constant. */
function listed(place: usize): v128 {
  return v128.load64_splat(place);
}
/** One step of a polynomial: what it is so far, times `x`, and the coefficient at a place. */
function next(sum: v128, x: v128, place: usize): v128 {
  return plus(times(sum, x), listed(place));
}

const ln2: f64 = 0.6931471805599453;
/** One over ln 2, its first 32 bits, so that whole multiples are exact, and the rest. */
const ln2Parts: usize = memory.data<f64>([1 / ln2, 0.6931471803691238, 1.9082149292705877e-10]);
/** 2^52: a whole number below it stands in the last bits of the sum; with half of it more, one below nought as well. */
const ones: f64 = 4503599627370496;

/** Coefficients of r·coth(r/2), of the even powers of r from the twelfth down. */
const cothSeries: usize = memory.data<f64>([
  -691 / 653837184000,
  1 / 23950080,
  -1 / 604800,
  1 / 15120,
  -1 / 360,
  1 / 6,
  2,
]);

/** Exponentials of numbers between -700 and 700. */
export function exponentials(x: v128): v128 {
  const k = f64x2.nearest(times(x, listed(ln2Parts)));
  const r = minus(minus(x, times(k, listed(ln2Parts + 8))), times(k, listed(ln2Parts + 16)));
  // e^r = 1 + 2r / (r·coth(r/2) - r)
  const z = times(r, r);
  let even = listed(cothSeries);
  even = next(even, z, cothSeries + 8);
  even = next(even, z, cothSeries + 16);
  even = next(even, z, cothSeries + 24);
  even = next(even, z, cothSeries + 32);
  even = next(even, z, cothSeries + 40);
  even = next(even, z, cothSeries + 48);
  const rest = plus(twice(1), over(plus(r, r), minus(even, r)));
  return times(rest, i64x2.shl(i64x2.add(plus(k, twice(1.5 * ones)), i64x2.splat(1023)), 52));
}

/** Coefficients of artanh(s) / s, of the even powers of s from the eighteenth down. */
const artanhSeries: usize = memory.data<f64>([1 / 19, 1 / 17, 1 / 15, 1 / 13, 1 / 11, 1 / 9, 1 / 7, 1 / 5, 1 / 3]);

/** Natural logarithms of numbers above nought. */
export function logarithms(x: v128): v128 {
  // x = 2^k · m with m between the roots of a half and of two; `biased` is 1023 more than k, all from the bits of x.
  const biased = i64x2.shr_u(i64x2.sub(i64x2.add(x, twice(1)), twice(Math.SQRT1_2)), 52);
  const k = minus(v128.or(biased, twice(ones)), twice(ones + 1023));
  const m = i64x2.sub(x, i64x2.shl(i64x2.sub(biased, i64x2.splat(1023)), 52));
  // log m = 2·artanh((m - 1) / (m + 1))
  const s = over(minus(m, twice(1)), plus(m, twice(1)));
  const z = times(s, s);
  let odd = listed(artanhSeries);
  odd = next(odd, z, artanhSeries + 8);
  odd = next(odd, z, artanhSeries + 16);
  odd = next(odd, z, artanhSeries + 24);
  odd = next(odd, z, artanhSeries + 32);
  odd = next(odd, z, artanhSeries + 40);
  odd = next(odd, z, artanhSeries + 48);
  odd = next(odd, z, artanhSeries + 56);
  odd = next(odd, z, artanhSeries + 64);
  const first = plus(s, s);
  return plus(times(k, twice(ln2)), plus(first, times(first, times(z, odd))));
}

export function logarithm(x: f64): f64 {
  return f64x2.extract_lane(logarithms(twice(x)), 0);
}

/** Coefficients of sin(r) / r, of the even powers of r from the twentieth down: one over factorials. */
const sineSeries: usize = memory.data<f64>([
  1 / 51090942171709440000,
  -1 / 121645100408832000,
  1 / 355687428096000,
  -1 / 1307674368000,
  1 / 6227020800,
  -1 / 39916800,
  1 / 362880,
  -1 / 5040,
  1 / 120,
  -1 / 6,
]);

/** (sin πx / πx)². */
export function sincSquared(x: v128): v128 {
  // Squared, a sine is the same again each half turn.
  const r = times(minus(x, f64x2.nearest(x)), twice(Math.PI));
  const z = times(r, r);
  let odd = listed(sineSeries);
  odd = next(odd, z, sineSeries + 8);
  odd = next(odd, z, sineSeries + 16);
  odd = next(odd, z, sineSeries + 24);
  odd = next(odd, z, sineSeries + 32);
  odd = next(odd, z, sineSeries + 40);
  odd = next(odd, z, sineSeries + 48);
  odd = next(odd, z, sineSeries + 56);
  odd = next(odd, z, sineSeries + 64);
  odd = next(odd, z, sineSeries + 72);
  const sine = plus(r, times(r, times(z, odd)));
  const a = times(x, twice(Math.PI));
  const sinc = over(sine, a);
  return v128.bitselect(twice(1), times(sinc, sinc), f64x2.lt(f64x2.abs(a), twice(1e-6)));
}
