import { type Ratio, ratio } from "@goodgate/model";

/** Exposure tags count in at most 32 bits; a fraction beyond a million parts is a rounding error of the division. */
const mostDenominator = 1_000_000;

/**
 * The fraction a tag held before it was divided: the simplest one whose quotient is the very number given (1/60 comes
 * back from 0.016666666666666666). Undefined for what is not positive or has no such fraction within bounds.
 */
export function exactFraction(value: number): Ratio | undefined {
  if (!Number.isFinite(value) || value <= 0) return undefined;
  let [previousTop, top] = [1, Math.floor(value)];
  let [previousBottom, bottom] = [0, 1];
  let rest = value - Math.floor(value);
  // Continued fraction; each step at least doubles the denominator every second time, so twenty steps pass the bound.
  for (let step = 0; step < 40 && top / bottom !== value; step += 1) {
    if (rest === 0) break;
    const whole = Math.floor(1 / rest);
    rest = 1 / rest - whole;
    [previousTop, top] = [top, whole * top + previousTop];
    [previousBottom, bottom] = [bottom, whole * bottom + previousBottom];
    if (bottom > mostDenominator || !Number.isSafeInteger(top)) return undefined;
  }
  return top / bottom === value ? ratio(top, bottom) : undefined;
}
