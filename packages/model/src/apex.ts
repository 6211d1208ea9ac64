import type { Seconds } from "./quantities.ts";
import { toNumber } from "./ratio.ts";

// Formulas as Exif 2.3 has them after ASA PH2.5-1960, read in the definitions of GNU Units 2.22.

/** Aperture value of an f-number: Av = 2·log2(N); f/2.8 is 2.97. */
export const apertureValue = (fNumber: number): number => 2 * Math.log2(fNumber);

/** The f-number of an aperture value, as Exif's ApertureValue is read: 2^(Av/2). */
export const fNumberOfApertureValue = (value: number): number => 2 ** (value / 2);

/** Time value of an exposure time: Tv = −log2(t); 1/50 s is 5.64. */
export const timeValue = (open: Seconds): number => -Math.log2(toNumber(open));

/** Seconds of a time value, as Exif's ShutterSpeedValue is read: 2^−Tv. */
export const secondsOfTimeValue = (value: number): number => 2 ** -value;

/** Speed value of an ISO setting: Sv = log2(ISO/3.125); ISO 100 is 5. Older texts use constants near 3.125. */
export const speedValue = (iso: number): number => Math.log2(iso / 3.125);

/** Logarithmic film speed of an ISO value in degrees: 10·log10(ISO) + 1; ISO 100 is 21 degrees. */
export const isoDegrees = (iso: number): number => Math.round(10 * Math.log10(iso)) + 1;

/**
 * Calibration constants of light meters, for luminance (K) and illuminance (C). Makers also use K 14 and C 224 to 330,
 * up to half a stop away, so no verdict on light may be tighter than half a stop.
 */
export const meterConstants = { luminance: 12.5, illuminance: 250 } as const;

/** Luminance in cd/m² that a reflected-light meter reads as `ev` at ISO 100: K·2^EV/100. */
export const luminanceOfEv = (ev: number, constant: number = meterConstants.luminance): number =>
  (constant * 2 ** ev) / 100;

/** EV at ISO 100 of a luminance in cd/m²: log2(L·100/K). */
export const evOfLuminance = (candelasPerSquareMetre: number, constant: number = meterConstants.luminance): number =>
  Math.log2((candelasPerSquareMetre * 100) / constant);

/** Illuminance in lux that an incident-light meter reads as `ev` at ISO 100: C·2^EV/100. */
export const illuminanceOfEv = (ev: number, constant: number = meterConstants.illuminance): number =>
  (constant * 2 ** ev) / 100;

/** EV at ISO 100 of an illuminance in lux: log2(E·100/C). */
export const evOfIlluminance = (lux: number, constant: number = meterConstants.illuminance): number =>
  Math.log2((lux * 100) / constant);

/** Share of light a flat grey card reflects that both kinds of meter agree on: π·K/C, 15.7 % at the usual constants. */
export const meterReflectance = (luminance: number, illuminance: number): number => (Math.PI * luminance) / illuminance;
