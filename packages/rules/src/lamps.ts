import {
  compare,
  type Facts,
  type Reading,
  sceneEv,
  type Seconds,
  type Series,
  typicalValue,
  valueOf,
} from "@goodgate/model";
import { lampLightEv } from "./settings.ts";

/** The widest lens a small camera has: with it the light is the least these settings can mean. House limit. */
const widestFNumber = 1.4;

/** What the light of a scene is worked out from. */
export type LampFacts = Pick<Facts, "iso" | "fNumber" | "ndStops">;

/** Whether the settings mean a light so low that lamps must be on; an unknown f-number counts as the widest. */
export function lampsLikely(shutter: Series<Seconds>, wants: LampFacts): "yes" | "no" | "cannot tell" {
  const iso = typicalOf(wants.iso);
  if (iso === undefined || iso <= 0) return "cannot tell";
  const fNumber = typicalOf(wants.fNumber);
  const ev = sceneEv({
    shutterSeconds: typicalValue(shutter, compare),
    iso,
    fNumber: fNumber !== undefined && fNumber > 0 ? fNumber : widestFNumber,
    ndStops: typicalOf(wants.ndStops) ?? 0,
  });
  if (ev > lampLightEv) return "no";
  return fNumber === undefined ? "cannot tell" : "yes";
}

function typicalOf(reading: Reading<Series<number>> | undefined): number | undefined {
  const series = valueOf(reading);
  return series === undefined ? undefined : typicalValue(series, (a, b) => a - b);
}
