import { type Rate, type Seconds, seconds } from "./quantities.ts";
import { compare, divide, multiply, ratio, round, subtract, toNumber, absolute, type Ratio } from "./ratio.ts";

/** Lamps on mains pulse at twice its frequency. */
export const pulsesPerSecond = (mainsHertz: number): number => 2 * mainsHertz;

/**
 * Brightness ripple of a fully modulated sine light collected for `open` seconds, as a share of the mean: |sin(πLt)/(πLt)|.
 * Real lamps are modulated less, so this is a ceiling.
 */
export function flickerRipple(open: Seconds, mainsHertz: number): number {
  const angle = Math.PI * pulsesPerSecond(mainsHertz) * toNumber(open);
  return angle === 0 ? 1 : Math.abs(Math.sin(angle) / angle);
}

/**
 * Frequency of the remaining pulsing in the file: |2f − n·C| for the whole n nearest to 2f/C (sampling theorem). Above
 * a capture rate of 4f that is the light's own 2f, with n zero.
 */
export function flickerBeatHertz(capture: Rate, mainsHertz: number): Ratio {
  const pulses = ratio(pulsesPerSecond(mainsHertz));
  const nearest = round(divide(pulses, capture));
  return absolute(subtract(pulses, multiply(ratio(nearest), capture)));
}

/** Whole pulses looked at in one frame: a frame of half a second at 60 Hz has as many. */
export const mostPulsesPerFrame = 60;

/** Shutter times that collect whole pulses and fit in one frame at `capture`: j/(2f), longest first. */
export function mainsSafeShutters(capture: Rate, mainsHertz: number): readonly Seconds[] {
  const longest = divide(ratio(1n), capture);
  const safe: Seconds[] = [];
  for (let j = 1; j <= mostPulsesPerFrame; j += 1) {
    const time = seconds(j, pulsesPerSecond(mainsHertz));
    if (compare(time, longest) <= 0) safe.unshift(time);
  }
  return safe;
}

/** Swing of exposure between the brightest and the darkest frame for a ripple (share of the mean, below 1), in stops. */
export const rippleSwingStops = (ripple: number): number => Math.log2((1 + ripple) / (1 - ripple));

/** Twice the ripple of 1/50 s at a mains of 49.5 Hz (EN 50160 keeps 50 Hz within 1 % for 99.5 % of the year). */
export const safeRipple = 0.02;
