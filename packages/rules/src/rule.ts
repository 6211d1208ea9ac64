import type {
  Absent,
  Amount,
  Brief,
  Cadence,
  Card,
  Clip,
  Damaged,
  Facts,
  FactName,
  FactValues,
  Finding,
  Limit,
  LimitOrigin,
  Rate,
  Seconds,
  Speed,
  StatedBrief,
  Still,
  StillSet,
} from "@goodgate/model";
import type { CardFacts } from "./card-facts.ts";
import type { CardFigures, ClipPlace } from "./figures.ts";

/** What a rule looks at: one clip, one use of a clip, or the whole card. */
export type Scope = "clip" | "use" | "card";

/** A limit as the documentation prints it. */
export interface DocumentedLimit {
  readonly name: string;
  readonly default: number | string;
  readonly unit: string;
  readonly origin: LimitOrigin;
  readonly source: string;
}

/** Rates of a clip as judged. */
export interface ClipRates {
  /** Rate the file plays at. */
  readonly plays: Rate;
  /** Rate the scene was captured at. */
  readonly capture: Rate;
  /** Whether a source proves or states the capture rate; otherwise it is the rate the file plays at. */
  readonly proven: boolean;
  /** Captured more slowly than it plays: a timelapse made in the camera, judged as it lies. */
  readonly timelapse: boolean;
}

/** One way a clip may be used on the timeline, before it is judged. */
export interface PossibleUse {
  readonly use: "real time" | "slow";
  readonly rates: ClipRates;
  readonly timeline: Rate;
  /** Speed against real life that was asked for. */
  readonly sceneSpeed: Speed;
  /** The same as the playback speed of the file, exactly retimed when the cadence is a near miss. */
  readonly fileSpeed: Speed;
  /** Cadence at the speed asked for, before any retime. */
  readonly cadence: Cadence;
  /** Whether the brief names the speed. */
  readonly speedStated: boolean;
  readonly timelineSeconds?: Seconds;
}

/** Something a rule has found; the runner adds the rule's id, the use and what was assumed. */
export type Found = Omit<Finding, "rule" | "assumed" | "use">;

/** Something found about several clips or stills. */
export interface CardFound extends Found {
  readonly clips?: readonly string[];
  readonly stills?: readonly string[];
}

/** A question a rule cannot answer although its needs were read. */
export interface Unsure {
  /** One plain sentence: what was not judged and why. */
  readonly unsure: string;
  readonly missing: readonly string[];
  readonly supply: string;
  /** Kept for the record, not listed on pages for people. */
  readonly aside?: true;
}

/** What a rule says of a clip or a use: nothing, that it is inside the limit, what it found, or that it cannot tell. */
export type Answer = undefined | "passed" | Found | readonly Found[] | Unsure;
/** What a rule says of a card. */
export type CardAnswer = undefined | "passed" | CardFound | readonly CardFound[] | Unsure;

/** What every rule may look at beside the facts it asked for. */
export interface About {
  readonly brief: Brief;
  /** Milliseconds since 1970; rules have no clock of their own. */
  readonly now: number;
}
/** Beside the facts, what a clip rule may look at. */
export interface AboutClip extends About {
  readonly clip: Pick<Clip, "name" | "files" | "joints" | "disagreements" | "secondReaderSilent" | "proxyFacts">;
  /** Undefined when the frame rate was not read. */
  readonly rates: ClipRates | undefined;
  readonly figures: CardFigures;
  readonly place: ClipPlace;
  /** The facts when the pictures were asked; undefined when nobody asked them, so that their rules are not. */
  readonly pictures: Facts | undefined;
}
/** Beside the facts, what a rule about one use may look at. */
export interface AboutUse extends AboutClip {
  readonly use: PossibleUse;
  /** Every allowed use of the clip, this one included. */
  readonly uses: readonly PossibleUse[];
}
/** A clip as the rules of the card see it. */
export interface SettledClip {
  readonly clip: Pick<Clip, "name" | "files">;
  readonly facts: CardFacts;
  readonly rates: ClipRates | undefined;
  readonly place: ClipPlace;
}
/** What a card rule may look at. */
export interface AboutCard extends About {
  /** In order of name. */
  readonly clips: readonly SettledClip[];
  readonly stills: readonly Still[];
  readonly sets: readonly StillSet[];
  readonly card: Card;
  readonly figures: CardFigures;
  /** Names of the clips whose verdict is better than reshoot, with the use they are planned for. */
  readonly usable: ReadonlyMap<string, "real time" | "slow">;
}

/** What a rule of each scope is handed. */
export interface Abouts {
  readonly clip: AboutClip;
  readonly use: AboutUse;
  readonly card: AboutCard;
}
interface Answers {
  readonly clip: Answer;
  readonly use: Answer;
  readonly card: CardAnswer;
}

/** A clip of an example: the facts it has, every other fact being absent. */
export interface ExampleClip {
  readonly name?: string;
  readonly facts?: Partial<FactValues>;
  /** Facts whose bytes are there and broken, with the words of the reader. */
  readonly damaged?: Partial<Record<FactName, string | Pick<Damaged, "why" | "cause">>>;
  /** Facts that are not there, with the reason a reader gives. */
  readonly absent?: Partial<Record<FactName, string | Pick<Absent, "why" | "unset">>>;
  /** Facts of which other sources say something else. */
  readonly contradicted?: Partial<{ readonly [Name in FactName]: FactValues[Name] }>;
  readonly clip?: Partial<Pick<Clip, "files" | "joints" | "disagreements" | "secondReaderSilent" | "proxyFacts">>;
}

/** A documented case of a rule, run as a test. */
export interface Example extends ExampleClip {
  readonly title: string;
  readonly brief?: StatedBrief;
  /** The other clips of the card. */
  readonly others?: readonly ExampleClip[];
  readonly stills?: readonly Still[];
  readonly sets?: readonly StillSet[];
  readonly card?: Partial<Card>;
  readonly now?: number;
  /** The use to look at; the first allowed one when not given. */
  readonly use?: "real time" | "slow";
  readonly expect: "reshoot" | "workable" | "note" | "passed" | "unknown" | "silent";
}

/** One question asked of every clip, every use, or every card, with everything a person wants to know about it. */
export interface Rule<S extends Scope = Scope, Need extends FactName = FactName, Want extends FactName = FactName> {
  /** Kebab case, the file's name, never used again for another question. */
  readonly id: string;
  readonly title: string;
  /** Entries of the catalogue of faults this rule answers. */
  readonly cases: readonly string[];
  readonly scope: S;
  /** Facts without which there is no answer: the runner says `unknown` when one was not read. */
  readonly needs: readonly Need[];
  /** Facts that sharpen the answer; handed over as readings. */
  readonly wants?: readonly Want[];
  /**
   * Facts this question is about that many cameras never record: where one was not read the answer is unknown, kept as
   * an aside. A card rule is unknown when no clip has them all.
   */
  readonly asks?: readonly FactName[];
  /** Whether not knowing the answer makes the verdict of the clip unknown. */
  readonly decides: boolean | ((brief: Brief) => boolean);
  readonly explanation: string;
  readonly limits: readonly DocumentedLimit[];
  readonly remedyOnLocation: string;
  readonly remedyInEdit: string;
  readonly sources: readonly string[];
  /** Items of the brief the answer hangs on; those nobody stated are named in the finding. */
  readonly hangsOn?: readonly (keyof Brief)[];
  /** Rules whose finding (workable or worse) on the same clip makes this rule's findings mere consequences. */
  readonly causedBy?: readonly string[];
  /** A finding of this rule means that little else of the clip could be read: it explains the unknowns of others. */
  readonly root?: boolean;
  /** Facts whose absence a finding of this rule explains: side questions that miss nothing else follow from it. */
  readonly explains?: readonly FactName[];
  /** Its unknown is told even where another unknown misses the same facts. */
  readonly ownUnknown?: boolean;
  readonly examples: readonly Example[];
  /** Whether the question arises at all; asked before the needs. */
  applies?(about: Abouts[S]): boolean;
  check(facts: Pick<FactValues, Need>, about: Abouts[S] & { readonly wants: Pick<Facts, Want> }): Answers[S];
}

/** A rule about a clip as it lies on the card. */
export type ClipRule = Rule<"clip">;
/** A rule about one use of a clip. */
export type UseRule = Rule<"use">;
/** A rule about the card, or about clips and stills against each other. */
export type CardRule = Rule<"card">;

/** Checks a rule's types: `check` sees the facts named in `needs`, already read, and no others. */
export const defineRule = <S extends Scope, Need extends FactName = never, Want extends FactName = never>(
  rule: Rule<S, Need, Want>,
): Rule<S, Need, Want> => rule;

/** A measured value. */
export const amount = (value: number | string, unit: string, text: string): Amount => ({ value, unit, text });
/** A limit with where it comes from. */
export const limit = (value: number | string, unit: string, text: string, origin: LimitOrigin): Limit => ({
  value,
  unit,
  text,
  origin,
});
/** Where the value of a brief item comes from. */
export const briefOrigin = (brief: Brief, item: keyof Brief): LimitOrigin =>
  brief.assumed[item] === undefined ? "brief" : "default";

/** A rule that says why it cannot tell. */
export const cannotTell = (unsure: string, missing: readonly string[], supply: string, aside?: true): Unsure => ({
  unsure,
  missing,
  supply,
  ...(aside === undefined ? {} : { aside }),
});

/** The words for a case without a remedy. */
export const noRemedyInEdit = "no remedy in the edit";
/** The origin of a limit that nobody published. */
export const practice = "common practice, no source";
