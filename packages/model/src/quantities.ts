import { compare, distance, divide, parseRatio, partsPerMillion, type Ratio, ratio, toNumber } from "./ratio.ts";

declare const unit: unique symbol;
/** A ratio that carries its unit in its type, so that a time cannot be passed where a rate is wanted. */
export type Quantity<Unit extends string> = Ratio & { readonly [unit]?: Unit };

/** Frames per second. */
export type Rate = Quantity<"frames/s">;
/** Seconds. */
export type Seconds = Quantity<"s">;
/** Degrees of shutter angle. */
export type Degrees = Quantity<"degrees">;
/** Playback speed; one is real time, a half is half speed. */
export type Speed = Quantity<"speed">;

/** A frame rate from whole numbers: `rate(24000, 1001)`. */
export const rate = (numerator: bigint | number, denominator: bigint | number = 1): Rate =>
  ratio(numerator, denominator);
/** A time from whole numbers: `seconds(1, 50)`. */
export const seconds = (numerator: bigint | number, denominator: bigint | number = 1): Seconds =>
  ratio(numerator, denominator);
/** A shutter angle from whole numbers. */
export const degrees = (numerator: bigint | number, denominator: bigint | number = 1): Degrees =>
  ratio(numerator, denominator);
/** A playback speed from whole numbers. */
export const speed = (numerator: bigint | number, denominator: bigint | number = 1): Speed =>
  ratio(numerator, denominator);

/**
 * The rates cameras and timelines are built on. The 1000/1001 members come from the colour television field rate
 * (ffmpeg-utils manual, section "Video rate": ntsc 30000/1001, ntsc-film 24000/1001).
 */
export const standardRates: readonly Rate[] = [
  rate(24000, 1001),
  rate(24),
  rate(25),
  rate(30000, 1001),
  rate(30),
  rate(48000, 1001),
  rate(48),
  rate(50),
  rate(60000, 1001),
  rate(60),
  rate(90),
  rate(96),
  rate(100),
  rate(120000, 1001),
  rate(120),
  rate(180),
  rate(200),
  rate(240000, 1001),
  rate(240),
];

/** The rates a timeline can have. */
export const timelineRates: readonly Rate[] = [
  rate(24000, 1001),
  rate(24),
  rate(25),
  rate(30000, 1001),
  rate(30),
  rate(50),
  rate(60000, 1001),
  rate(60),
];

/** 23.98 is 166 ppm from 24000/1001, and the other member of a pair is 999 ppm away. */
export const snapPartsPerMillion = 300;

/** The standard rate nearest to `stated`, if it is within `limit` parts per million of it. */
export function nearestStandardRate(stated: Ratio, limit: number = snapPartsPerMillion): Rate | undefined {
  let best: Rate | undefined;
  for (const candidate of standardRates) {
    if (best === undefined || compare(distance(candidate, stated), distance(best, stated)) < 0) best = candidate;
  }
  return best !== undefined && Math.abs(partsPerMillion(stated, best)) <= limit ? best : undefined;
}

/**
 * Reads a rate as people write it. `23.976`, `23.98`, `29.97`, `59.94` and their kin mean the 1000/1001 family;
 * anything not within 300 ppm of a standard rate stays as written. Undefined for text that is no positive number.
 */
export function parseRate(text: string): Rate | undefined {
  const stated = parseRatio(text);
  if (stated === undefined || stated.numerator <= 0n) return undefined;
  return nearestStandardRate(stated) ?? stated;
}

const labels = new Map<string, string>([
  ["24000/1001", "23.976"],
  ["30000/1001", "29.97"],
  ["48000/1001", "47.952"],
  ["60000/1001", "59.94"],
  ["120000/1001", "119.88"],
  ["240000/1001", "239.76"],
]);

/** The name the trade gives a rate: `23.976`, `29.97`, `25`; three decimals for any other. */
export function rateLabel(value: Rate): string {
  let label = known.get(value);
  if (label === undefined) {
    label = labels.get(`${value.numerator}/${value.denominator}`) ?? String(Number(toNumber(value).toFixed(3)));
    known.set(value, label);
  }
  return label;
}

// A rate is asked for its name by many rules.
const known = new WeakMap<Rate, string>();

/** A shutter time as a camera menu prints it: `1/50`, `1/48.5`, `0.5`, `2`; without the unit. Zero is `0`. */
export function shutterLabel(time: Seconds): string {
  const value = toNumber(time);
  // From 0.4 s on menus print the time itself; a time that is not positive has no inverse to print.
  if (value >= 0.4 || value <= 0) return String(Number(value.toFixed(2)));
  const inverse = 1 / value;
  return `1/${Number(inverse.toFixed(inverse < 100 ? 1 : 0))}`;
}

/** A percentage of four significant digits, as an editor would type a speed: `41.67`, `50`, `99.9`. */
export const percentLabel = (value: Ratio): string => String(Number((toNumber(value) * 100).toPrecision(4)));

/** How long `frames` frames last at a rate. */
export const framesDuration = (frames: number, at: Rate): Seconds => divide(ratio(frames), at);
