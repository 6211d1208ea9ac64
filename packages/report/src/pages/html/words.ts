import { parseRatio, rateLabel } from "@goodgate/model";
import { grouped, numberFrom, ratioFrom, short, shutterText } from "../../charts/values.ts";

/** The name of a fact as a person reads it: `shutterSeconds` is `shutter`; the unit stands beside the value. */
export function factLabel(name: string): string {
  const known = own(labels, name);
  if (known !== undefined) return known;
  const words = name
    .replace(/(Seconds|Degrees|Hertz|Kelvin|Metres|Decibels|Stops)$/, "")
    .replace(/([a-z])([A-Z0-9])/g, "$1 $2")
    .toLowerCase();
  return words === "" ? name : words;
}

const labels: Readonly<Record<string, string>> = {
  iso: "ISO",
  fNumber: "f-number",
  ndStops: "ND",
  ndFactors: "ND at hand",
  isoCeiling: "ISO ceiling",
  isoCeilings: "ISO ceilings by clip",
  baseIso: "base ISO",
  focalLength35mm: "focal length, 35 mm equivalent",
  digitalZoom: "digital zoom",
  createdAt: "recorded at",
  fileBytes: "file size",
  durationSeconds: "length",
  startSeconds: "first picture at",
  mediaSeconds: "media length",
  headerSeconds: "length in the header",
  codecRate: "rate in the codec's header",
  timelineRate: "timeline",
  timelineLabel: "timeline, as the trade names it",
  mainsHertz: "mains",
  noiseLimitPercent: "noise accepted",
  lookedAt: "pictures looked at",
  measuredAngle: "shutter angle from blur",
  noise: "noise in the picture",
  noiseBeforeCoding: "noise before the codec",
  exposureDrift: "drift of brightness",
  horizon: "tilt of the horizon",
  combing: "combed pictures",
  repeats: "repeated pictures",
  flicker: "pulsing light",
  pictureLevels: "clipping and brightness",
  sharpness: "fine detail",
  motion: "motion of the picture",
  stillness: "black and frozen",
  shutterAngleDegrees: "shutter angle",
  shutterToleranceStops: "shutter tolerance",
  highestLightEv: "brightest light expected",
};

/** An entry of a table by a name that a file may have chosen: `constructor` is not in it. */
export const own = (table: Readonly<Record<string, string>>, name: string): string | undefined =>
  Object.hasOwn(table, name) ? table[name] : undefined;

/** A rate's text (`24000/1001`) as the trade names it (`23.976`); the text itself when it is no rate. */
export function rateName(text: string): string {
  const rate = ratioFrom(text);
  return rate === undefined || rate.numerator <= 0n ? text : rateLabel(rate);
}

/** A shutter time's text (`1/50`, `1001/48000`) as a camera menu prints it. */
export function shutterName(text: string): string {
  const open = numberFrom(text);
  return open === undefined || open <= 0 ? text : shutterText(open);
}

/** What a brief item is worth, as a person reads it. */
export function briefValue(name: string, value: unknown): string {
  if (name === "timelineRate" && typeof value === "string") return `${rateName(value)} frames/s`;
  if (name === "ndFactors" && Array.isArray(value)) {
    return value.length === 0 ? "none" : value.map((factor) => `ND${String(factor)}`).join(", ");
  }
  const unit = own(briefUnits, name);
  const text = plainWords(value);
  return unit === undefined ? text : `${text} ${unit}`;
}

const briefUnits: Readonly<Record<string, string>> = {
  shutterAngleDegrees: "degrees",
  shutterToleranceStops: "stops",
  mainsHertz: "Hz",
  noiseLimitPercent: "% of the signal range",
  highestLightEv: "EV at ISO 100",
};

/** Any value of JSON in words: lists with commas, records as `key value`. Deep values are cut by the page. */
export function plainWords(value: unknown, depth = 0): string {
  if (value === null || value === undefined) return "\u2013";
  if (typeof value === "boolean") return value ? "yes" : "no";
  if (typeof value === "number") return short(value, 6);
  if (typeof value !== "object" || depth > 3) return String(value);
  if (Array.isArray(value)) {
    return value.length === 0
      ? "none"
      : value
          .slice(0, 40)
          .map((one) => plainWords(one, depth + 1))
          .join(", ");
  }
  return Object.entries(value)
    .slice(0, 40)
    .map(([key, one]) => `${factLabel(key)} ${plainWords(one, depth + 1)}`)
    .join(", ");
}

/** `1 clip`, `3 clips`. */
export const count = (number: number, one: string, many = `${one}s`): string =>
  `${grouped(number)} ${number === 1 ? one : many}`;

/** The last part of a path and the folder before it. */
export function splitPath(path: string): { readonly folder: string; readonly base: string } {
  const at = path.lastIndexOf("/");
  return at < 0 ? { folder: "", base: path } : { folder: path.slice(0, at + 1), base: path.slice(at + 1) };
}

/** A speed's text (`1/2`) beside the percent an editor types, when the percent is rounded: `99.9 % = 1000/1001`. */
export function speedText(percent: string, speed: string): string {
  const exact = parseRatio(speed);
  if (exact === undefined) return percent;
  const hundredfold = (exact.numerator * 100_000_000n) % exact.denominator;
  const digits = percent.replace(/[^\d]/g, "").length;
  return hundredfold === 0n && digits < 4 ? percent : `${percent} = ${speed}`;
}
