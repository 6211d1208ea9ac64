import type { Rate } from "./quantities.ts";
import { ratio, type Ratio } from "./ratio.ts";

/** How a clip is meant to play. */
export type Treatment = "real" | "slow" | "either";

/** A treatment for some clips: `pattern` is a folder or a name with `*` and `?`, compared without case. */
export interface TreatmentFor {
  readonly pattern: string;
  readonly treatment: Treatment;
  /** Speed against real life when the edit asks for one, like 1/2. */
  readonly speed?: Ratio;
}

/** What the edit asks of the clips. Every item is filled; `assumed` names those that nobody stated. */
export interface Brief {
  /** Rate of the timeline; undefined only before the card has been looked at. */
  readonly timelineRate: Rate;
  readonly raster?: { readonly width: number; readonly height: number };
  readonly treatment: Treatment;
  readonly slowSpeed?: Ratio;
  readonly treatments: readonly TreatmentFor[];
  /** Highest ISO allowed; undefined means no ceiling was given. */
  readonly isoCeiling?: number;
  /** Ceiling for clips of one pattern, first match wins. */
  readonly isoCeilings: readonly { readonly pattern: string; readonly ceiling: number }[];
  /** ISO at which the camera is cleanest. */
  readonly baseIso: number;
  readonly shutterAngleDegrees: number;
  /** Distance from the angle, in stops, that counts as right. */
  readonly shutterToleranceStops: number;
  /** Undefined: not given; both 50 and 60 are tested. */
  readonly mainsHertz?: 50 | 60;
  /** Whether lamps on mains light the scene: `yes`, `no`, or to be concluded from the light. */
  readonly artificialLight: "yes" | "no" | "infer";
  /** Filters at hand as factors: 4, 8, 16 … (ND8 takes three stops). Empty: none at hand; undefined: not stated. */
  readonly ndFactors?: readonly number[];
  /** Brightest light expected, EV at ISO 100. */
  readonly highestLightEv?: number;
  /** Delivery light range. */
  readonly delivery?: "sdr" | "hdr";
  readonly soundWanted: boolean;
  readonly timecodeWanted: boolean;
  /** Any uneven step is a fault. */
  readonly strictCadence: boolean;
  /** `natural` judges the shutter; `crisp` accepts short shutters on purpose. */
  readonly motionLook: "natural" | "crisp";
  readonly portrait: boolean;
  /** Shots the edit must have. */
  readonly shots: readonly {
    readonly name: string;
    readonly pattern: string;
    readonly treatment?: Treatment;
    readonly count: number;
  }[];
  /** Items that nobody stated, with the value in force and why: `mainsHertz`: "not given: 50 and 60 Hz both tested". */
  readonly assumed: Readonly<Record<string, string>>;
}

/** A brief as somebody wrote it: every item may be missing. */
export type StatedBrief = Partial<Omit<Brief, "assumed">>;

/** Documented defaults; the report prints each one that was used. */
export const briefDefaults = {
  treatment: "either" as Treatment,
  treatments: [] as readonly TreatmentFor[],
  isoCeilings: [] as Brief["isoCeilings"],
  baseIso: 100,
  shutterAngleDegrees: 180,
  shutterToleranceStops: 0.5,
  artificialLight: "infer" as const,
  soundWanted: false,
  timecodeWanted: false,
  strictCadence: false,
  motionLook: "natural" as const,
  portrait: false,
  shots: [] as Brief["shots"],
};

/**
 * Fills a stated brief. `inferredRate` is the timeline rate most clips of the card fit, used when none was stated.
 * Without a stated or inferred rate the timeline is 25.
 */
export function completeBrief(stated: StatedBrief, inferredRate?: Rate): Brief {
  const assumed: Record<string, string> = {};
  const assume = (item: string, why: string): void => {
    assumed[item] = why;
  };
  if (stated.timelineRate === undefined) {
    assume(
      "timelineRate",
      inferredRate === undefined ? "not given: 25 frames/s" : "not given: the rate most clips fit",
    );
  }
  if (stated.treatment === undefined) assume("treatment", "not given: real time and slow are both judged");
  if (stated.isoCeiling === undefined) assume("isoCeiling", "not given: ISO is not judged against a ceiling");
  if (stated.baseIso === undefined) assume("baseIso", `not given: ISO ${briefDefaults.baseIso}`);
  if (stated.shutterAngleDegrees === undefined) assume("shutterAngleDegrees", "not given: 180 degrees");
  if (stated.shutterToleranceStops === undefined) assume("shutterToleranceStops", "not given: 0.5 stop");
  if (stated.mainsHertz === undefined) assume("mainsHertz", "not given: 50 and 60 Hz are both tested");
  if (stated.artificialLight === undefined) assume("artificialLight", "not given: concluded from the light level");
  if (stated.ndFactors === undefined) assume("ndFactors", "not given: the ideal filter is named, none is at hand");
  if (stated.raster === undefined) assume("raster", "not given: raster and aspect are not judged");
  if (stated.delivery === undefined) assume("delivery", "not given: SDR or HDR is not judged");
  return {
    ...briefDefaults,
    ...stated,
    timelineRate: stated.timelineRate ?? inferredRate ?? ratio(25n),
    assumed,
  };
}

/** Whether a clip's name matches a pattern: `*` is any run of characters, `?` one, a bare folder name its whole tree. */
export function matchesPattern(name: string, pattern: string): boolean {
  const text = name.toLowerCase();
  const wanted = pattern.toLowerCase().replace(/\/+$/, "");
  const base = text.slice(text.lastIndexOf("/") + 1);
  if (!/[*?]/.test(wanted)) {
    return (
      text === wanted ||
      base === wanted ||
      text.startsWith(`${wanted}/`) ||
      text.includes(`/${wanted}/`) ||
      base.replace(/\.[^.]*$/, "") === wanted
    );
  }
  return wildcard(text, wanted) || (!wanted.includes("/") && wildcard(base, wanted));
}

/** Wildcard match in linear memory and without backtracking blow-up: only the last star is ever retried. */
function wildcard(text: string, pattern: string): boolean {
  let at = 0;
  let place = 0;
  let star = -1;
  let mark = 0;
  while (at < text.length) {
    if (place < pattern.length && (pattern[place] === "?" || pattern[place] === text[at]) && pattern[place] !== "*") {
      at += 1;
      place += 1;
    } else if (pattern[place] === "*") {
      star = place;
      mark = at;
      place += 1;
    } else if (star >= 0) {
      place = star + 1;
      mark += 1;
      at = mark;
    } else return false;
  }
  while (pattern[place] === "*") place += 1;
  return place === pattern.length;
}

/** The treatment a clip gets: the first matching pattern, else the brief's own. */
export function treatmentOf(
  brief: Brief,
  name: string,
): { readonly treatment: Treatment; readonly speed?: Ratio; readonly stated: boolean } {
  for (const entry of brief.treatments) {
    if (matchesPattern(name, entry.pattern)) {
      return entry.speed === undefined
        ? { treatment: entry.treatment, stated: true }
        : { treatment: entry.treatment, speed: entry.speed, stated: true };
    }
  }
  const stated = brief.assumed["treatment"] === undefined;
  return brief.slowSpeed === undefined
    ? { treatment: brief.treatment, stated }
    : { treatment: brief.treatment, speed: brief.slowSpeed, stated };
}

/** The ISO ceiling a clip gets: the first matching pattern, else the brief's own; undefined when none was given. */
export const isoCeilingOf = (brief: Brief, name: string): number | undefined =>
  brief.isoCeilings.find((entry) => matchesPattern(name, entry.pattern))?.ceiling ?? brief.isoCeiling;
