import { parseRatio, rateLabel } from "@goodgate/model";
import type { Report } from "./schema.ts";

const treatments: Readonly<Record<string, string>> = {
  real: "real time",
  slow: "slow motion",
  either: "real time or slow",
};

/** The brief in force in one line: `25 fps, real time or slow, ISO up to 800, 50 Hz`. */
export function briefText({ brief }: Report): string {
  const { items } = brief;
  const rate = parseRatio(String(items["timelineRate"] ?? ""));
  const parts = [rate === undefined || rate.numerator <= 0n ? "timeline not known" : `${rateLabel(rate)} fps`];
  const treatment = treatments[String(items["treatment"])];
  if (treatment !== undefined) parts.push(treatment);
  if (typeof items["isoCeiling"] === "number") parts.push(`ISO up to ${items["isoCeiling"]}`);
  if (typeof items["mainsHertz"] === "number") parts.push(`${items["mainsHertz"]} Hz lamps`);
  if (typeof items["shutterAngleDegrees"] === "number") parts.push(`${items["shutterAngleDegrees"]} degrees`);
  return parts.join(", ");
}

const words: Readonly<Record<string, string>> = {
  timelineRate: "timeline rate",
  treatment: "real time or slow",
  isoCeiling: "ISO ceiling",
  baseIso: "cleanest ISO",
  shutterAngleDegrees: "shutter angle",
  shutterToleranceStops: "shutter tolerance",
  mainsHertz: "mains",
  artificialLight: "lamps",
  ndFactors: "filters at hand",
  raster: "raster",
  delivery: "delivery",
  soundWanted: "sound",
  timecodeWanted: "timecode",
  strictCadence: "uneven steps",
  motionLook: "motion look",
  portrait: "portrait",
};

/** Names of the brief's items that nobody stated, in plain words. */
export const assumedItems = ({ brief }: Report): readonly string[] =>
  Object.keys(brief.assumed).map((item) => words[item] ?? item);

/** The same with the default in force: `mains (50 and 60 Hz are both tested)`. */
export const assumedDefaults = ({ brief }: Report): readonly string[] =>
  Object.entries(brief.assumed).map(([item, why]) => `${words[item] ?? item} (${why.replace(/^not given: /, "")})`);
