// AssemblyScript, part of picture-kernel.ts: arithmetic of two numbers at once.

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
/** One function of each of the two. */
function pair(first: f64, second: f64): v128 {
  return f64x2.replace_lane(f64x2.splat(first), 1, second);
}

export function exponentials(x: v128): v128 {
  return pair(Math.exp(f64x2.extract_lane(x, 0)), Math.exp(f64x2.extract_lane(x, 1)));
}

export function logarithms(x: v128): v128 {
  return pair(Math.log(f64x2.extract_lane(x, 0)), Math.log(f64x2.extract_lane(x, 1)));
}

/** (sin πx / πx)². */
export function sincSquared(x: v128): v128 {
  const a = times(x, twice(Math.PI));
  const sine = pair(Math.sin(f64x2.extract_lane(a, 0)), Math.sin(f64x2.extract_lane(a, 1)));
  const sinc = over(sine, a);
  return v128.bitselect(twice(1), times(sinc, sinc), f64x2.lt(f64x2.abs(a), twice(1e-6)));
}
