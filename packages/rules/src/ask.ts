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
import type { Abouts, CardAnswer, CardFound, Rule, Scope, SettledClip, Unsure } from "./rule.ts";

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
export const ask = <S extends Scope>(rule: Rule<S>, facts: Facts, about: Abouts[S]): Outcome =>
  asker([rule])({ ...about, wants: facts })[0] as Outcome;

/** What rules are asked about, with the facts as readings. */
export type Asked<S extends Scope> = Abouts[S] & { readonly wants: Facts };

/** Asks rules of one scope in turn, as `ask` does. */
export function asker<S extends Scope>(rules: readonly Rule<S>[]): (about: Asked<S>) => Outcome[] {
  const all = rules.map((rule) => new Prepared(rule));
  const valuesOf = picker([...new Set(rules.flatMap((rule) => rule.needs))]);
  return (about) => {
    const values = valuesOf(about.wants);
    const outcomes: Outcome[] = [];
    for (const rule of all) outcomes.push(answerOf(rule, values, about));
    return outcomes;
  };
}

/** What was read of a clip, by name. */
type ReadValues = Readonly<Partial<Record<FactName, unknown>>>;

/** Takes the values of some facts, where they were read: objects of one shape, which all rules look into. */
function picker(names: readonly FactName[]): (facts: Facts) => ReadValues {
  const empty: ReadValues = Object.fromEntries(names.map((name) => [name, undefined]));
  return (facts) => {
    const values: Partial<Record<FactName, unknown>> = { ...empty };
    for (const name of names) {
      const reading = facts[name];
      if (reading?.state === "read") values[name] = reading.value;
    }
    return values;
  };
}

/** A rule with the two answers it mostly gives: one object for each rule, not one for each clip; one shape for all. */
class Prepared<S extends Scope> {
  readonly rule: Rule<S>;
  readonly needs: readonly FactName[];
  readonly asks: readonly FactName[] | undefined;
  readonly silent: Outcome;
  readonly passed: Outcome;
  readonly check: (facts: never, about: never) => CardAnswer;
  readonly applies: ((about: Abouts[S]) => boolean) | undefined;

  constructor(rule: Rule<S>) {
    this.rule = rule;
    this.needs = rule.needs;
    this.asks = rule.asks;
    this.silent = { rule: rule.id, passed: false, findings: [], unknowns: [] };
    this.passed = { rule: rule.id, passed: true, findings: [], unknowns: [] };
    this.check = rule.check;
    this.applies = rule.applies;
  }
}

function answerOf<S extends Scope>(of: Prepared<S>, values: ReadValues, about: Asked<S>): Outcome {
  const { rule, silent } = of;
  if (of.applies !== undefined && !of.applies(about)) return silent;
  for (const need of of.needs) {
    if (values[need] === undefined) return notAsked(rule, about.wants, about.brief);
  }
  if (of.asks !== undefined) {
    const aside = asideOf(rule, of.asks, about.wants, about);
    if (aside !== undefined) return aside;
  }
  // Every need was seen to be read above; the types hand `check` no more of the facts than it named in `wants`.
  const answer = of.check(values as never, about as never);
  if (answer === undefined) return silent;
  if (answer === "passed") return of.passed;
  if (isUnsure(answer)) {
    const { unsure: says, missing, supply, aside } = answer;
    const decides = decidesIn(rule, about.brief);
    const unknown = { rule: rule.id, missing, says, supply, decides, ...(aside === undefined ? {} : { aside }) };
    return { rule: rule.id, passed: false, findings: [], unknowns: [unknown] };
  }
  const found: readonly CardFound[] = Array.isArray(answer) ? answer : [answer];
  if (found.length === 0) return silent;
  const use = "use" in about ? about.use.use : undefined;
  const findings = found.map((finding) => complete(rule, finding, about.brief, use));
  return { rule: rule.id, passed: false, findings, unknowns: [] };
}

/** What is said of a rule some of whose needs were not read. */
export function notAsked(rule: Rule, facts: Facts, brief: Brief): Outcome {
  const unknown = missingFacts(rule, facts, decidesIn(rule, brief));
  return { rule: rule.id, passed: false, findings: [], unknowns: [unknown] };
}

const decidesIn = (rule: Rule, brief: Brief): boolean =>
  typeof rule.decides === "function" ? rule.decides(brief) : rule.decides;

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
