import type { Brief } from "./brief.ts";
import type { Finding, Plan, Unknown, Use, Verdict } from "./finding.ts";
import type { Rate, Seconds } from "./quantities.ts";

/** A finding or unknown that is only the consequence of another one; listed, never counted. */
export interface Suppressed {
  readonly rule: string;
  readonly says: string;
  /** The rule that names the cause. */
  readonly by: string;
}

/** Light of a scene as the settings expose for it: a meter reading only if the exposure was right. EV at ISO 100. */
export interface SceneLight {
  readonly typicalEv: number;
  /** Darkest and brightest of all records. */
  readonly leastEv: number;
  readonly mostEv: number;
  /** Stops too bright for the wanted shutter at base ISO without a filter; negative when too dark. */
  readonly overStops: number;
  /** Filter that would answer it, as a factor; 1 for none. */
  readonly idealNdFactor: number;
  /** The nearest of the filters at hand; undefined when nobody stated them. */
  readonly ndFactorAtHand?: number;
}

/** Everything concluded about one clip. */
export interface ClipJudgement {
  readonly name: string;
  readonly verdict: Verdict;
  readonly plan: Plan;
  /** Every allowed use, judged; empty when the frame rate is not known. */
  readonly uses: readonly Use[];
  /** From worst to least; those of a use that was not planned are notes. */
  readonly findings: readonly Finding[];
  readonly unknowns: readonly Unknown[];
  /** Ids of the rules that were asked and found nothing wrong. */
  readonly passed: readonly string[];
  readonly suppressed: readonly Suppressed[];
  /** Rate the scene was captured at, as judged: proven, stated, or the rate the file plays at. */
  readonly captureRate?: Rate;
  /** Undefined when shutter, ISO or f-number is not known. */
  readonly light?: SceneLight;
}

/** Something found about the card, or about several clips or stills of it; never changes the verdict of a clip. */
export interface CardFinding extends Finding {
  /** Names of the clips it concerns; empty for the card as a whole. */
  readonly clips: readonly string[];
  /** Names of the stills it concerns. */
  readonly stills: readonly string[];
}

/** What was found of one still. */
export interface StillJudgement {
  readonly name: string;
  readonly findings: readonly CardFinding[];
}

/** One way to set the camera on a next flight. */
export interface SettingsRow {
  readonly captureRate: Rate;
  /** Uses the clip will serve, as printed: `real time, 180 degrees`, `slow to 50 %, 180 degrees`. */
  readonly uses: readonly string[];
  readonly shutterSeconds: Seconds;
  /** Angle at capture. */
  readonly angleDegrees: number;
  /** Undefined when the light or the f-number is not known. */
  readonly iso?: number;
  /** Filter to fit as a factor, 1 for none; undefined when the light or the f-number is not known. */
  readonly ndFactor?: number;
  /** Whether the filter is at hand; undefined when nobody stated the filters at hand. */
  readonly ndAtHand?: boolean;
  /** Stops of ND that would be exact; undefined when the light or the f-number is not known. */
  readonly idealNdStops?: number;
  /** Mains frequencies whose lamps do not pulse at this shutter. */
  readonly mainsSafeHertz: readonly number[];
  /** What this light does not allow, in plain words. */
  readonly cannot: readonly string[];
  /** Whether the wanted angle and ISO can be had in this light with what is at hand; false when `cannot` says why not. */
  readonly possible: boolean;
  /** The row in one line, as an operator reads it. */
  readonly says: string;
}

/** Settings for a next flight. */
export interface NextFlight {
  readonly rows: readonly SettingsRow[];
  /** Light they are for, EV at ISO 100. */
  readonly lightEv?: number;
  /** Where the light comes from: the clip's name, or `the brief`. */
  readonly lightFrom?: string;
  readonly fNumber?: number;
  /** The rows as lines of text. */
  readonly text: readonly string[];
  readonly caution: string;
}

/** Seconds of timeline the clips planned for one use fill. */
export interface UsableSeconds {
  readonly use: "real time" | "slow";
  readonly clean: Seconds;
  readonly workable: Seconds;
  /** Of clips that are not judged in full. */
  readonly unknown: Seconds;
}

/** How many clips fit one timeline rate in real time. */
export interface RateFit {
  readonly rate: Rate;
  /** Clips that go on evenly. */
  readonly even: number;
  /** Clips that do after a retime of 0.1 %. */
  readonly afterRetime: number;
  /** Clips that do not. */
  readonly uneven: number;
}

/** What is concluded about a card beside what is concluded about each clip. */
export interface CardConclusion {
  /** The brief in force, every item filled. */
  readonly brief: Brief;
  readonly card: readonly CardFinding[];
  /** Questions about the card that could not be answered. */
  readonly cardUnknowns: readonly Unknown[];
  readonly counts: Readonly<Record<Verdict, number>>;
  readonly stills: readonly StillJudgement[];
  readonly nextFlight: NextFlight;
  readonly usable: readonly UsableSeconds[];
  readonly fits: readonly RateFit[];
}

/** Everything concluded about a card. */
export interface CardJudgement extends CardConclusion {
  /** In order of name. */
  readonly clips: readonly ClipJudgement[];
}
