import type { Ratio } from "./ratio.ts";

/** What is wrong, from worst to least. `note` is worth knowing and asks for nothing. */
export type Grade = "reshoot" | "workable" | "note";

/** What to do with a clip. `unknown` is never a pass. */
export type Verdict = "clean" | "workable" | "unknown" | "reshoot";

/** Verdicts from best to worst: `unknown` stands above `workable`, because workable is a claim. */
export const verdictOrder: readonly Verdict[] = ["clean", "workable", "unknown", "reshoot"];

/** The worse of two verdicts. */
export const worse = (a: Verdict, b: Verdict): Verdict => (verdictOrder.indexOf(a) >= verdictOrder.indexOf(b) ? a : b);

/** A measured value or a limit: the number as data, and the text a person reads. */
export interface Amount {
  /** A number, or a ratio as text, or a word where there is no number. */
  readonly value: number | string;
  readonly unit: string;
  /** With unit, as printed: `1/1000 s`, `ISO 3200`, `9 degrees`. */
  readonly text: string;
}

/** Where a limit comes from. */
export type LimitOrigin = "brief" | "default" | "computed" | "standard" | "house limit";

/** A limit a rule compared with. */
export interface Limit extends Amount {
  readonly origin: LimitOrigin;
}

/** One thing found, with the number behind it and what to do. */
export interface Finding {
  /** Id of the rule. */
  readonly rule: string;
  /** Case of the catalogue of faults, when the rule covers several. */
  readonly case?: string;
  readonly grade: Grade;
  /** One plain sentence under 140 characters: measured value, limit, remedy. */
  readonly says: string;
  readonly measured: Amount;
  readonly limit: Limit;
  /** The first thing to do, in a few words. */
  readonly remedy: string;
  /** What to do on location, when there is something; flying again carries the caution of the report. */
  readonly onLocation?: string;
  /** What to do in the edit; `no remedy in the edit` when there is none. */
  readonly inEdit?: string;
  /** The use the finding holds for; both when absent. */
  readonly use?: "real time" | "slow";
  /** Times in the clip it concerns, in seconds, at most 64. */
  readonly atSeconds?: readonly number[];
  /** Brief items this finding hangs on that nobody stated. */
  readonly assumed?: readonly string[];
}

/** A question a rule could not answer, with what would supply the answer. */
export interface Unknown {
  readonly rule: string;
  /** Names of the facts that are missing. */
  readonly missing: readonly string[];
  /** One plain sentence: what was not judged and why. */
  readonly says: string;
  /** What would supply it. */
  readonly supply: string;
  /** Whether the verdict of the clip is unknown because of it. */
  readonly decides: boolean;
  /** A side question that no record answers: kept for the record, not listed on pages for people. */
  readonly aside?: true;
}

/** How a clip goes onto the timeline. */
export interface Plan {
  readonly use: "real time" | "slow" | "none";
  /** Playback speed of the file as it lies on the card. */
  readonly speed: Ratio;
  /** The cadence at that speed in plain words. */
  readonly cadence: string;
}

/** One way to use a clip, judged. */
export interface Use {
  readonly use: "real time" | "slow";
  /** Speed against real life. */
  readonly sceneSpeed: Ratio;
  /** Speed to set for the file. */
  readonly speed: Ratio;
  readonly cadence: string;
  readonly clean: boolean;
  /** Shutter angle as the viewer sees it, in degrees, typical; undefined when the shutter is not known. */
  readonly angleDegrees?: number;
  /** Set when the angle is the one the blur of the pictures tells, because no record does or the blur contradicts it. */
  readonly angleOrigin?: "measured";
  readonly verdict: Verdict;
  /** Seconds of timeline the clip fills. */
  readonly timelineSeconds?: Ratio;
}
