import { sceneEv, typicalValue, valueOf } from "@goodgate/model";
import { typicalExposure } from "./exposure.ts";
import type { SettledClip } from "./rule.ts";
import { inOrder } from "./scenes.ts";

/** The light of the latest clip whose settings say it. */
export interface LightNow {
  /** EV at ISO 100, the filter added back where it was declared. */
  readonly lightEv: number;
  readonly lightFrom: string;
  readonly fNumber: number;
}

/** Light at the latest clip by its clock (by name where clocks are missing); undefined when no clip records it. */
export function lastLight(clips: readonly SettledClip[]): LightNow | undefined {
  for (const { clip, facts } of inOrder(clips).toReversed()) {
    const [shutter, iso, number] = [valueOf(facts.shutterSeconds), valueOf(facts.iso), valueOf(facts.fNumber)];
    if (shutter === undefined || iso === undefined || number === undefined) continue;
    const exposure = typicalExposure(shutter, iso, number, valueOf(facts.ndStops));
    if (exposure === undefined) continue;
    const fNumber = typicalValue(number, (a, b) => a - b);
    return { lightEv: sceneEv(exposure), lightFrom: clip.name, fNumber };
  }
  return undefined;
}
