import { type FactName, type Facts, toNumber, valueOf } from "@goodgate/model";

/** Facts that make up the size of the shown picture, for a rule's `wants`. */
export const displayFacts = ["pixelAspect", "rotationDegrees", "cleanAperture"] as const satisfies readonly FactName[];

/** Size of the picture as it is shown, in square pixels: clean aperture, pixel aspect and rotation applied. */
export function displaySize(
  width: number,
  height: number,
  facts: Pick<Facts, (typeof displayFacts)[number]>,
): { readonly width: number; readonly height: number } {
  const clean = valueOf(facts.cleanAperture);
  const aspect = valueOf(facts.pixelAspect);
  const wide = (clean === undefined ? width : toNumber(clean.width)) * (aspect === undefined ? 1 : toNumber(aspect));
  const high = clean === undefined ? height : toNumber(clean.height);
  const turned = valueOf(facts.rotationDegrees);
  return turned === 90 || turned === 270 ? { width: high, height: wide } : { width: wide, height: high };
}
