import { fromNumber, ratio, type Seconds } from "@goodgate/model";
import { withinShutterRange } from "../dialects/values.ts";
import type { Stated } from "../telemetry/record.ts";

/** A time this near to one over a whole number is that: a 32-bit float carries seven digits. */
const floatShare = 1e-6;

/**
 * A shutter time from a floating-point number of seconds. A camera that writes 1/50 as a 32-bit float gives
 * 0.0199999995529652, so times within a millionth of a whole reciprocal are taken as that. Remembers its objects, so that
 * equal times share one.
 */
export function shutterFromFloat(): (seconds: number) => Stated<Seconds> {
  const known = new Map<number, Stated<Seconds>>();
  return (seconds) => {
    const found = known.get(seconds);
    if (found !== undefined) return found;
    const stated = exactShutter(seconds);
    if (known.size < 4096) known.set(seconds, stated);
    return stated;
  };
}

function exactShutter(seconds: number): Stated<Seconds> {
  const text = String(seconds);
  if (!Number.isFinite(seconds) || seconds <= 0) return { fault: text };
  const inverse = Math.round(1 / seconds);
  if (inverse >= 1 && Number.isSafeInteger(inverse) && Math.abs(seconds * inverse - 1) <= floatShare) {
    return withinShutterRange(ratio(1, inverse), text);
  }
  const exact = fromNumber(Number(seconds.toPrecision(7)));
  return exact === undefined ? { fault: text } : withinShutterRange(exact, text);
}

/** A shutter time from a quotient, as published encodings write it; a zero in either place is a fault. */
export function shutterFromQuotient(numerator: number, denominator: number): Stated<Seconds> {
  const text = `${numerator}/${denominator}`;
  return numerator === 0 || denominator === 0
    ? { fault: text }
    : withinShutterRange(ratio(numerator, denominator), text);
}
