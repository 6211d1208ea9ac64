import { sceneEv, typicalValue, valueOf } from "@goodgate/model";
import { typicalExposure } from "./exposure.ts";
import type { SettledClip } from "./rule.ts";
import { byText } from "./figures.ts";

/** The light of the latest clip whose settings say it. */
export interface LightNow {
  /** EV at ISO 100, the filter added back where it was declared. */
  readonly lightEv: number;
  readonly lightFrom: string;
  readonly fNumber: number;
}

/** Light at the latest clip by its clock (by name where clocks are missing); undefined when no clip records it. */
export function lastLight(clips: readonly SettledClip[]): LightNow | undefined {
  let latest: { readonly start: number; readonly light: LightNow } | undefined;
  for (const { clip, facts } of clips) {
    const start = valueOf(facts.createdAt)?.epochMilliseconds ?? 0;
    if (latest !== undefined && (start - latest.start || byText(clip.name, latest.light.lightFrom)) < 0) continue;
    const [shutter, iso, number] = [valueOf(facts.shutterSeconds), valueOf(facts.iso), valueOf(facts.fNumber)];
    if (shutter === undefined || iso === undefined || number === undefined) continue;
    const exposure = typicalExposure(shutter, iso, number, valueOf(facts.ndStops));
    if (exposure === undefined) continue;
    const fNumber = typicalValue(number, (a, b) => a - b);
    latest = { start, light: { lightEv: sceneEv(exposure), lightFrom: clip.name, fNumber } };
  }
  return latest?.light;
}
