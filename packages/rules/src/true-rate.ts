import { type Facts, fromNumber, type Rate, ratio, valueOf } from "@goodgate/model";

/** Whole rates that have a sister a thousandth slower. */
const withSister = [12, 15, 24, 30, 48, 60, 120];
const withoutSister = [25, 50, 100];
/** How far the mean of the pictures looked at may be from a standard rate. House limit. */
const nearShare = 0.015;

/**
 * Rate at which new pictures come in a file that shows some of them twice in a regular pattern; undefined when nobody
 * asked the pictures or the pattern is not regular. A standard rate of the family of `stated` when within 1.5 %.
 */
export function trueRate(facts: Pick<Facts, "repeats">, stated: Rate): Rate | undefined {
  if (facts.repeats === undefined) return undefined;
  const repeats = valueOf(facts.repeats);
  const measured = repeats?.pattern === "regular" ? repeats.trueFramesPerSecond : undefined;
  return measured === undefined ? undefined : namedRate(measured, stated);
}

/** Rate whose pictures were mixed to make those of the file; undefined when nobody asked or none was found. */
export function mixedFromRate(facts: Pick<Facts, "repeats">, stated: Rate): Rate | undefined {
  const measured = facts.repeats === undefined ? undefined : valueOf(facts.repeats)?.mixedFromFramesPerSecond;
  return measured === undefined ? undefined : namedRate(measured, stated);
}

function namedRate(measured: number, stated: Rate): Rate | undefined {
  if (!(measured > 0)) return undefined;
  const near = (whole: number): boolean => Math.abs(whole / measured - 1) <= nearShare;
  const sister = withSister.find(near);
  if (sister !== undefined) return stated.denominator === 1001n ? ratio(sister * 1000, 1001) : ratio(sister);
  const whole = withoutSister.find(near);
  return whole === undefined ? fromNumber(Number(measured.toFixed(3))) : ratio(whole);
}
