import {
  type Brief,
  type Facts,
  type FactName,
  type Finding,
  pictureFacts,
  type Reading,
  type Unknown,
} from "@goodgate/model";
import { factWords, supplyOf } from "./fact-words.ts";
import { fitted } from "./words.ts";
import type { Abouts, CardFound, Rule, Scope, SettledClip, Unsure } from "./rule.ts";

/** A finding with the clips and stills a card rule names. */
export type AskedFinding = Finding & Pick<CardFound, "clips" | "stills">;

/** What one rule said, with what the runner adds. */
export interface Outcome {
  readonly rule: string;
  readonly passed: boolean;
  readonly findings: readonly AskedFinding[];
  readonly unknowns: readonly Unknown[];
}

/**
 * Asks one rule. A need that was not read makes the answer unknown here, so that no rule can forget to say so. Without a
 * stated timeline rate what hangs on it is never worse than workable.
 */
export function ask<S extends Scope>(rule: Rule<S>, facts: Facts, about: Abouts[S]): Outcome {
  if (rule.applies !== undefined && !rule.applies(about)) return silentOf(rule.id);
  const given = valuesOf(facts);
  if (!rule.needs.every((need) => given[need] !== undefined)) {
    return { ...silentOf(rule.id), unknowns: [missingFacts(rule, facts, decidesIn(rule, about.brief))] };
  }
  if (rule.asks !== undefined) {
    const aside = asideOf(rule, rule.asks, facts, about);
    if (aside !== undefined) return aside;
  }
  // Every need was seen to be read above; the types hand `check` no more of the facts than it named in `wants`.
  const answer = rule.check(given as never, handed(about, facts) as never);
  if (answer === undefined) return silentOf(rule.id);
  if (answer === "passed") return passedOf(rule.id);
  if (isUnsure(answer)) {
    const { unsure: says, missing, supply, aside } = answer;
    const decides = decidesIn(rule, about.brief);
    const unknown = { rule: rule.id, missing, says, supply, decides, ...(aside === undefined ? {} : { aside }) };
    return { ...silentOf(rule.id), unknowns: [unknown] };
  }
  const found: readonly CardFound[] = Array.isArray(answer) ? answer : [answer];
  if (found.length === 0) return silentOf(rule.id);
  const use = "use" in about ? about.use.use : undefined;
  return { ...silentOf(rule.id), findings: found.map((finding) => complete(rule, finding, about.brief, use)) };
}

let lastFacts: Facts | undefined;
let lastValues: Readonly<Partial<Record<FactName, unknown>>> = {};

/** What was read of a clip, by name. Rules are asked clip by clip: only the last one's is held. */
function valuesOf(facts: Facts): Readonly<Partial<Record<FactName, unknown>>> {
  if (facts !== lastFacts) {
    const values: Partial<Record<FactName, unknown>> = {};
    for (const name in facts) {
      const reading = facts[name as FactName];
      if (reading?.state === "read") values[name as FactName] = reading.value;
    }
    lastFacts = facts;
    lastValues = values;
  }
  return lastValues;
}

const decidesIn = (rule: Rule, brief: Brief): boolean =>
  typeof rule.decides === "function" ? rule.decides(brief) : rule.decides;

// Most answers of most rules are one of these two: one object for each rule, not one for each clip.
const silents = new Map<string, Outcome>();
const passes = new Map<string, Outcome>();

function silentOf(rule: string): Outcome {
  let outcome = silents.get(rule);
  if (outcome === undefined) silents.set(rule, (outcome = { rule, passed: false, findings: [], unknowns: [] }));
  return outcome;
}

function passedOf(rule: string): Outcome {
  let outcome = passes.get(rule);
  if (outcome === undefined) passes.set(rule, (outcome = { rule, passed: true, findings: [], unknowns: [] }));
  return outcome;
}

let lastAbout: object | undefined;
let lastHandover: object = {};

/** What a rule is handed: the same object for every rule that is asked about one clip or one use of it. */
function handed(about: object, facts: Facts): object {
  // Nothing of a whole card is held past its judging.
  if ("clips" in about) return { ...about, wants: facts };
  if (about !== lastAbout) {
    lastAbout = about;
    lastHandover = { ...about, wants: facts };
  }
  return lastHandover;
}

const isUnsure = (answer: object): answer is Unsure => "unsure" in answer;

function complete(rule: Rule, found: CardFound, brief: Brief, use: "real time" | "slow" | undefined): AskedFinding {
  const assumed = (rule.hangsOn ?? []).filter((item) => brief.assumed[item] !== undefined);
  const soft = found.grade === "reshoot" && assumed.includes("timelineRate");
  return {
    rule: rule.id,
    ...found,
    grade: soft ? "workable" : found.grade,
    ...(use === undefined ? {} : { use }),
    ...(assumed.length === 0 ? {} : { assumed }),
  };
}

function missingFacts(rule: Rule, facts: Facts, decides: boolean): Unknown {
  const missing = rule.needs.filter((need) => facts[need]?.state !== "read");
  const first = missing[0] as FactName;
  return {
    rule: rule.id,
    missing,
    says: notReadText(rule.title, first, facts[first], missing.length - 1),
    supply: supplyOf(first),
    decides,
  };
}

/** Why a question stays open for want of a fact: `Shutter angle not judged, shutter missing: no telemetry`. */
export function notReadText(title: string, fact: FactName, reading: Reading<unknown> | undefined, others = 0): string {
  const why =
    reading === undefined || reading.state === "read"
      ? "not recorded"
      : `${reading.state === "absent" ? "missing" : "damaged"}: ${reading.why}`;
  const more = others > 0 ? ` (and ${others} more)` : "";
  return fitted(`${title} not judged, ${factWords(fact)}${more} ${why}`);
}

// Clips of a card miss the same facts for the same reason: one answer for all of them. Emptied when it grows past this.
const mostAsides = 2000;
const asides = new Map<string, Outcome>();

/** The unknown of a side question whose facts no record holds; undefined when they are there. */
function asideOf<S extends Scope>(
  rule: Rule<S>,
  asks: readonly FactName[],
  facts: Facts,
  about: Abouts[S],
): Outcome | undefined {
  if ("clips" in about) {
    // A clock that cannot be believed orders nothing: such clips belong to no scene.
    const knows = ({ facts: compared, place }: SettledClip, name: FactName): boolean =>
      name === "createdAt" ? place.scene !== undefined : (compared as Partial<Facts>)[name]?.state === "read";
    const has = about.clips.some((clip) => asks.every((name) => knows(clip, name)));
    if (has || about.clips.length === 0) return undefined;
    const [lacking] = asks.filter((name) => !about.clips.some((clip) => knows(clip, name)));
    return asideAs(rule, lacking ?? (asks[0] as FactName), "not recorded in any clip", asks);
  }
  for (const name of asks) {
    const reading = facts[name];
    if (reading?.state === "read") continue;
    if (reading?.state === "damaged") return asideAs(rule, name, `damaged: ${reading.why}`, asks);
    // Why a picture cannot tell is the answer; why a record is not there is the same for most clips.
    if (reading?.state === "absent" && fromPictures.has(name)) return asideAs(rule, name, reading.why, asks);
    return notRecorded(rule, name, asks);
  }
  return undefined;
}

const fromPictures: ReadonlySet<FactName> = new Set(pictureFacts);
const notRecordedAnswers = new WeakMap<object, Map<FactName, Outcome>>();

/** The commonest aside: one object for each rule and fact. */
function notRecorded(rule: Rule, fact: FactName, asks: readonly FactName[]): Outcome {
  let answers = notRecordedAnswers.get(rule);
  if (answers === undefined) notRecordedAnswers.set(rule, (answers = new Map()));
  let answer = answers.get(fact);
  if (answer === undefined) answers.set(fact, (answer = asideAs(rule, fact, "not recorded", asks)));
  return answer;
}

function asideAs(rule: Rule, fact: FactName, why: string, missing: readonly FactName[]): Outcome {
  const key = `${rule.id} ${fact} ${why}`;
  let outcome = asides.get(key);
  if (outcome === undefined) {
    if (asides.size >= mostAsides) asides.clear();
    const says = fitted(`${rule.title} not judged: ${factWords(fact)} ${why}`);
    const unknown: Unknown = { rule: rule.id, missing, says, supply: supplyOf(fact), decides: false, aside: true };
    outcome = { rule: rule.id, passed: false, findings: [], unknowns: [unknown] };
    asides.set(key, outcome);
  }
  return outcome;
}
