import type { ClipOutline, Stretch } from "./measurement.ts";

/** One stretch looks at this much; long enough for blur, noise and cadence. */
export const shortSeconds = 2;
/** One stretch is this long, so that flicker is told apart to a quarter of a hertz. */
export const longSeconds = 4;
/** Stretches start this far apart on clips of up to a minute or two. */
export const spacingSeconds = 10;
/** Fewest places looked at. */
export const leastPlaces = 3;
/**
 * Share of a long clip that is decoded. Two seconds of every ten would be a fifth of the clip, which cannot be read in
 * a tenth of its decoding time; starting and seeking cost as much again as the stretches themselves.
 */
export const mostShare = 0.035;

/** Where to look: short stretches spread evenly, the first of them long; the whole clip when it is shorter than those. */
export function samplingPlan({ durationSeconds }: Pick<ClipOutline, "durationSeconds">): readonly Stretch[] {
  const least = longSeconds + (leastPlaces - 1) * shortSeconds;
  if (!(durationSeconds > least)) return [{ fromSeconds: 0, toSeconds: Math.max(0, durationSeconds) }];
  const wished = Math.max(leastPlaces, Math.ceil(durationSeconds / spacingSeconds));
  const affordable = Math.floor((durationSeconds * mostShare - longSeconds) / shortSeconds) + 1;
  const places = Math.max(leastPlaces, Math.min(wished, affordable));
  const slot = durationSeconds / places;
  const plan: Stretch[] = [];
  for (let n = 0; n < places; n += 1) {
    const length = n === 0 ? longSeconds : shortSeconds;
    // Key frames mostly stand at whole seconds: starting there leaves little to decode in vain.
    const middle = Math.round(n * slot + (slot - length) / 2);
    const from = Math.max(plan.at(-1)?.toSeconds ?? 0, Math.min(middle, durationSeconds - length));
    plan.push({ fromSeconds: from, toSeconds: Math.min(durationSeconds, from + length) });
  }
  return plan;
}
