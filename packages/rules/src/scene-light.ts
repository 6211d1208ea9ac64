import {
  type Brief,
  type Facts,
  fromNumber,
  ndFactorOfStops,
  ndStopsNeeded,
  nearestNd,
  type Rate,
  ratio,
  sceneEv,
  type SceneLight,
  shutterTime,
  typicalValue,
  valueOf,
} from "@goodgate/model";
import { exposureOverTime, spread, typicalExposure } from "./exposure.ts";

const hundredth = (value: number): number => Number(value.toFixed(2));

/**
 * The light of a scene as the settings of the clip expose for it, from every record; undefined when shutter, ISO or
 * f-number was not read. `capture` is the rate whose wanted shutter the excess of light is counted for.
 */
export function sceneLight(facts: Facts, brief: Brief, capture: Rate): SceneLight | undefined {
  const [shutterSeconds, iso, fNumber] = [valueOf(facts.shutterSeconds), valueOf(facts.iso), valueOf(facts.fNumber)];
  if (shutterSeconds === undefined || iso === undefined || fNumber === undefined) return undefined;
  const nd = valueOf(facts.ndStops);
  const exposure = typicalExposure(shutterSeconds, iso, fNumber, nd);
  if (exposure === undefined) return undefined;
  const typicalEv = sceneEv(exposure);
  if (!Number.isFinite(typicalEv)) return undefined;
  // log2(t·ISO/N²) at each record; the light is its opposite, from ISO 100, with what the filter took.
  const steady = shutterSeconds.values.length === 1 && iso.values.length === 1 && fNumber.values.length === 1;
  const ends = steady ? undefined : spread(exposureOverTime({ shutterSeconds, iso, fNumber }));
  const filter = nd === undefined ? 0 : typicalValue(nd, (a, b) => a - b);
  const evOf = (stops: number): number => Math.log2(100) - stops + filter;
  const wanted = {
    shutterSeconds: shutterTime(capture, fromNumber(brief.shutterAngleDegrees) ?? ratio(180n)),
    iso: brief.baseIso,
    fNumber: exposure.fNumber,
  };
  const overStops = ndStopsNeeded(typicalEv, wanted);
  const hand = brief.ndFactors;
  return {
    typicalEv: hundredth(typicalEv),
    leastEv: hundredth(ends === undefined ? typicalEv : evOf(ends.most.stops)),
    mostEv: hundredth(ends === undefined ? typicalEv : evOf(ends.least.stops)),
    overStops: hundredth(overStops),
    idealNdFactor: overStops > 0 ? ndFactorOfStops(overStops) : 1,
    ...(hand === undefined ? {} : { ndFactorAtHand: overStops > 0 ? nearestNd(overStops, hand).factor : 1 }),
  };
}
