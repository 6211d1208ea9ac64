import type { Seconds } from "./quantities.ts";
import { toNumber } from "./ratio.ts";

/** Settings of one exposure. */
export interface Exposure {
  readonly shutterSeconds: Seconds;
  readonly iso: number;
  readonly fNumber: number;
  /** Neutral density in front of the lens, in stops. */
  readonly ndStops?: number;
}

/**
 * Light of the scene as these settings expose for, EV at ISO 100: 2·log2(N) − log2(t) − log2(ISO/100), plus ND.
 * It is a meter reading only if the exposure was right.
 */
export const sceneEv = (of: Exposure): number =>
  2 * Math.log2(of.fNumber) - Math.log2(toNumber(of.shutterSeconds)) - Math.log2(of.iso / 100) + (of.ndStops ?? 0);

/** Stops by which setting `b` gives a darker picture than setting `a`; negative when it is brighter. */
export const stopsDarker = (a: Exposure, b: Exposure): number =>
  Math.log2(toNumber(a.shutterSeconds) / toNumber(b.shutterSeconds)) +
  Math.log2(a.iso / b.iso) +
  2 * Math.log2(b.fNumber / a.fNumber) +
  ((b.ndStops ?? 0) - (a.ndStops ?? 0));

/** Stops of ND that bring `light` (EV at ISO 100) down to the wanted setting; negative when there is too little light. */
export const ndStopsNeeded = (light: number, wanted: Omit<Exposure, "ndStops">): number => light - sceneEv(wanted);

/** Stops a neutral density filter of a factor takes: ND8 takes 3. */
export const ndStopsOfFactor = (factor: number): number => Math.log2(factor);

/** The factor of a filter that takes `stops`, as filters are marked: a power of two. */
export const ndFactorOfStops = (stops: number): number => 2 ** Math.round(stops);

/** Stops of a filter's optical density: density / log10(2). Marked 0.3 counts as one stop. */
export const ndStopsOfDensity = (density: number): number => density / Math.log10(2);

/** Stops a filter's density is marked as, in thirds: 0.3 is one stop, 0.1 a third, 4.0 thirteen and a third. */
export const ndStopsMarked = (density: number): number => Math.round(density * 10) / 3;

/** Share of the light a filter of a factor lets pass: ND8 passes 1/8. */
export const ndTransmittance = (factor: number): number => 1 / factor;

/** Optical density of a filter that takes `stops`: stops · log10(2). */
export const ndDensityOfStops = (stops: number): number => stops * Math.log10(2);

/** The filter at hand nearest to the stops needed, no filter (factor 1) included. */
export function nearestNd(
  stopsNeeded: number,
  factors: readonly number[],
): { readonly factor: number; readonly stops: number } {
  let best = { factor: 1, stops: 0 };
  for (const factor of factors) {
    const stops = ndStopsOfFactor(factor);
    const gain = Math.abs(best.stops - stopsNeeded) - Math.abs(stops - stopsNeeded);
    // Of two filters equally far off the stronger one: ISO makes up for it, a bright picture needs a short shutter.
    if (gain > 1e-6 || (gain > -1e-6 && best.factor > 1 && stops > best.stops)) best = { factor, stops };
  }
  return best;
}

/** Stops of light a higher capture rate costs at an equal shutter angle: log2(C2/C1). */
export const rateCostStops = (from: number, to: number): number => Math.log2(to / from);

/** Gain in decibels between two ISO values: 20·log10(b/a); one stop is 6.02 dB. */
export const gainDecibels = (from: number, to: number): number => 20 * Math.log10(to / from);

/** How far two colour temperatures are apart in mired: |10^6/a − 10^6/b|. */
export const miredApart = (a: number, b: number): number => Math.abs(1e6 / a - 1e6 / b);

/** A filter as the trade names it: `ND8`; `no ND` for factor 1. */
export const ndLabel = (factor: number): string => (factor <= 1 ? "no ND" : `ND${factor}`);
