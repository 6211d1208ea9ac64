import { type Facts, type LookedAt, type Reading, valueOf } from "@goodgate/model";
import type { AboutClip } from "./rule.ts";
import { short } from "./words.ts";

/** Whether anybody asked the pictures of this clip; rules about pictures are silent where nobody did. */
export const picturesAsked = ({ pictures }: Pick<AboutClip, "pictures">): boolean => pictures !== undefined;

/** Whether a moment lies in a black stretch or at its border: what happens there is the black's. */
export function atBlack(reading: Facts["stillness"] | undefined, atSeconds: number): boolean {
  const near = 0.3;
  return (valueOf(reading)?.black ?? []).some(
    ({ fromSeconds, toSeconds }) => atSeconds > fromSeconds - near && atSeconds < toSeconds + near,
  );
}

/** This share of a clip stands for all of it. House limit. */
const wholeShare = 0.97;

/** Whether the clip was looked at from end to end. */
export function wholeClip(reading: Reading<LookedAt> | undefined): boolean {
  const looked = valueOf(reading);
  return looked !== undefined && looked.seconds >= wholeShare * looked.ofSeconds;
}

/** What was looked at, as it stands beside every finding from pictures: `20 of 95 s looked at`. */
export function lookedText(reading: Reading<LookedAt> | undefined): string {
  const looked = valueOf(reading);
  if (looked === undefined) return "part of it looked at";
  const digits = looked.ofSeconds < 10 ? 1 : 0;
  if (wholeClip(reading)) return `all ${short(looked.ofSeconds, digits)} s looked at`;
  return `${short(looked.seconds, digits)} of ${short(looked.ofSeconds, digits)} s looked at`;
}
