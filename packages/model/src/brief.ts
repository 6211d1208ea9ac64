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
  /** Rate of the timeline: stated, else the rate most clips fit, else 25. */
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
  /** Noise in the shadows that is accepted, in % of the signal range; undefined: the house limit of the rule. */
  readonly noiseLimitPercent?: number;
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
  if (stated.soundWanted === undefined) assume("soundWanted", "not given: clips may be silent");
  if (stated.timecodeWanted === undefined) assume("timecodeWanted", "not given: clips may lack timecode");
  if (stated.strictCadence === undefined) assume("strictCadence", "not given: faint uneven steps are no fault");
  if (stated.motionLook === undefined) assume("motionLook", "not given: natural motion blur is wanted");
  if (stated.portrait === undefined) assume("portrait", "not given: pictures lie flat");
  return {
    ...briefDefaults,
    ...stated,
    timelineRate: stated.timelineRate ?? inferredRate ?? ratio(25n),
    assumed,
  };
}

function withoutLastSlashes(text: string): string {
  let end = text.length;
  while (end > 0 && text[end - 1] === "/") end -= 1;
  return text.slice(0, end);
}

/**
 * Whether a clip's name matches a pattern, without case: `*` is any run of characters, slashes too, `?` is one; a bare
 * folder name is its whole tree; a pattern without a slash may match the file name alone, one with a slash may begin at
 * any folder.
 */
export function matchesPattern(name: string, pattern: string): boolean {
  const text = plainText(name);
  const wanted = withoutLastSlashes(plainText(pattern));
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
  return wildcard(text, wanted) || (wanted.includes("/") ? wildcard(text, `*/${wanted}`) : wildcard(base, wanted));
}

/** One spelling of a name: some systems store an accent apart from its letter, and case is not told apart. */
const plainText = (name: string): string => name.normalize("NFC").toLowerCase();

/** Wildcard match in linear memory and without backtracking blow-up: only the last star is ever retried. */
function wildcard(name: string, wanted: string): boolean {
  // By whole characters, so that `?` is one even outside the basic plane.
  const text = Array.from(name);
  const pattern = Array.from(wanted);
  let at = 0;
  let place = 0;
  let star = -1;
  let mark = 0;
  while (at < text.length) {
    if (pattern[place] === "*") {
      star = place;
      mark = at;
      place += 1;
    } else if (pattern[place] === "?" || pattern[place] === text[at]) {
      at += 1;
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

/**
 * The treatment a clip gets: the first matching pattern, else the brief's own. The brief's slow speed holds for every
 * clip that may be slowed and has none of its own.
 */
export function treatmentOf(
  brief: Brief,
  name: string,
): { readonly treatment: Treatment; readonly speed?: Ratio; readonly stated: boolean } {
  const entry = brief.treatments.find((candidate) => matchesPattern(name, candidate.pattern));
  const treatment = entry?.treatment ?? brief.treatment;
  const stated = entry !== undefined || brief.assumed["treatment"] === undefined;
  const speed = entry?.speed ?? (treatment === "real" ? undefined : brief.slowSpeed);
  return speed === undefined ? { treatment, stated } : { treatment, speed, stated };
}

/** The ISO ceiling a clip gets: the first matching pattern, else the brief's own; undefined when none was given. */
export const isoCeilingOf = (brief: Brief, name: string): number | undefined =>
  brief.isoCeilings.find((entry) => matchesPattern(name, entry.pattern))?.ceiling ?? brief.isoCeiling;
