import {
  add,
  type Brief,
  type Card,
  type CardConclusion,
  type CardFinding,
  type CardJudgement,
  type Clip,
  type ClipJudgement,
  compare,
  completeBrief,
  isEven,
  type List,
  type Rate,
  type RateFit,
  rateLabel,
  ratio,
  realTimeCadence,
  type Seconds,
  type StatedBrief,
  type Still,
  type StillJudgement,
  type StillSet,
  timelineRates,
  type Unknown,
  type UsableSeconds,
} from "@goodgate/model";
import { ask } from "./ask.ts";
import { cardFactsPicker } from "./card-facts.ts";
import { byText, cardFigures, placeClips } from "./figures.ts";
import { judgeClip } from "./judge.ts";
import { lastLight } from "./light-now.ts";
import type { ClipRates, SettledClip } from "./rule.ts";
import { cardRules } from "./rule-list.ts";
import { nextFlight } from "./settings.ts";
import { settledFacts } from "./settle.ts";
import { clipRates } from "./uses.ts";

/** What is judged: everything read from a card, and what is asked of it. */
export interface CardToJudge {
  /** Files that are no footage are left out. They may be kept packed: each is asked for twice, in order of name. */
  readonly clips: List<Clip>;
  readonly stills: readonly Still[];
  readonly sets: readonly StillSet[];
  readonly card: Card;
  readonly stated: StatedBrief;
  /** Milliseconds since 1970. */
  readonly now: number;
}

/**
 * Judges a whole card: every clip in every use the brief allows, the clips against each other, the stills. `each` is told
 * of the clips one by one, in order of name; nothing of them is kept. The order of `clips` does not matter.
 */
export function judgeEach(
  { clips, stills, sets, card, stated, now }: CardToJudge,
  each: (clip: Clip, judgement: ClipJudgement) => void,
): CardConclusion {
  const pick = cardFactsPicker();
  const sameRates = ratesOnce();
  const sameFiles = filesOnce(card);
  const footage: (Omit<SettledClip, "place"> & { readonly number: number })[] = [];
  let number = 0;
  for (const clip of clips) {
    if (clip.notFootage === undefined) {
      const facts = settledFacts(clip);
      const { name, files } = clip;
      footage.push({
        clip: { name, files: sameFiles(name, files) },
        facts: pick(facts),
        rates: sameRates(clipRates(facts)),
        number,
      });
    }
    number += 1;
  }
  footage.sort((a, b) => byText(a.clip.name, b.clip.name));
  const rates = footage.map((clip) => clip.rates);
  const fits = rateFits(rates);
  const brief = completeBrief(stated, stated.timelineRate ?? likelyTimeline(fits, rates));
  const places = placeClips(footage);
  const figures = cardFigures(footage, places, brief);
  const settled: readonly SettledClip[] = footage.map(({ clip, facts, rates: own }) => ({
    clip,
    facts,
    rates: own,
    place: places.get(clip.name) ?? { camera: "" },
  }));
  const usable = new Map<string, "real time" | "slow">();
  const counts = { clean: 0, workable: 0, unknown: 0, reshoot: 0 };
  const seconds = usableSeconds();
  footage.forEach((found, at) => {
    const clip = clips.at(found.number);
    const place = settled[at]?.place;
    if (clip === undefined || place === undefined) return;
    const judged = judgeClip(clip, brief, { now, figures, place });
    counts[judged.verdict] += 1;
    // A clip that has to be flown again has no plan.
    if (judged.plan.use !== "none") usable.set(judged.name, judged.plan.use);
    seconds.add(judged);
    each(clip, judged);
  });
  const sortedStills = [...stills].sort((a, b) => byText(a.name, b.name));
  const sortedSets = [...sets].sort((a, b) => byText(a.id, b.id));
  const about = { brief, now, clips: settled, stills: sortedStills, sets: sortedSets, card, figures, usable };
  const outcomes = cardRules.map((rule) => ask(rule, {}, about));
  const found: readonly CardFinding[] = outcomes
    .flatMap((outcome) => outcome.findings)
    .map((finding) => ({ ...finding, clips: finding.clips ?? [], stills: finding.stills ?? [] }))
    .sort((a, b) => gradeOrder.indexOf(a.grade) - gradeOrder.indexOf(b.grade));
  const cardUnknowns: readonly Unknown[] = outcomes.flatMap((outcome) => outcome.unknowns);
  return {
    brief,
    card: found,
    cardUnknowns,
    counts,
    stills: stillJudgements(sortedStills, found),
    nextFlight: flightAhead(settled, brief),
    usable: seconds.total(),
    fits,
  };
}

/** Judges a card as `judgeEach` does, and keeps what is concluded of each clip. */
export function judgeCard(
  clips: List<Clip>,
  stills: readonly Still[],
  sets: readonly StillSet[],
  card: Card,
  stated: StatedBrief,
  now: number,
): CardJudgement {
  const judged: ClipJudgement[] = [];
  const conclusion = judgeEach({ clips, stills, sets, card, stated, now }, (_, of) => judged.push(of));
  return { ...conclusion, clips: judged };
}

const keyOf = (rate: Rate): string => `${rate.numerator}/${rate.denominator}`;

/** Clips of a card share a handful of rates: those of ten thousand clips are then a handful of objects. */
function ratesOnce(): (of: ClipRates | undefined) => ClipRates | undefined {
  const known = new Map<string, ClipRates>();
  return (of) => {
    if (of === undefined) return undefined;
    const key = `${keyOf(of.plays)} ${keyOf(of.capture)} ${of.proven} ${of.timelapse}`;
    const same = known.get(key) ?? of;
    known.set(key, same);
    return same;
  };
}

/** The files of a clip as the card lists them, where they are the same: a clip that was kept packed has its own copies. */
function filesOnce(card: Card): (name: string, files: Clip["files"]) => Clip["files"] {
  const listed = new Map(card.clips.map((found) => [found.name, found.files]));
  return (name, files) => {
    const known = listed.get(name);
    const same =
      known?.length === files.length &&
      files.every(({ path, role, bytes, modifiedMilliseconds }, place) => {
        const other = known[place];
        return (
          other?.path === path &&
          other.role === role &&
          other.bytes === bytes &&
          other.modifiedMilliseconds === modifiedMilliseconds
        );
      });
    return same ? known : files;
  };
}

const gradeOrder = ["reshoot", "workable", "note"] as const;

/** How many clips fit each timeline rate in real time. A timelapse made in the camera counts at the rate it plays. */
export function rateFits(rates: readonly (ClipRates | undefined)[]): readonly RateFit[] {
  // Clips of a card share a handful of rates: count those first.
  const alike = new Map<string, { rate: Rate; clips: number }>();
  for (const of of rates) {
    if (of === undefined) continue;
    const rate = of.timelapse ? of.plays : of.capture;
    const key = keyOf(rate);
    const known = alike.get(key);
    if (known === undefined) alike.set(key, { rate, clips: 1 });
    else known.clips += 1;
  }
  return timelineRates.map((timeline) => {
    let [even, afterRetime, uneven] = [0, 0, 0];
    for (const { rate, clips } of alike.values()) {
      const cadence = realTimeCadence(rate, timeline);
      if (isEven(cadence)) even += clips;
      else if (cadence.kind === "near") afterRetime += clips;
      else uneven += clips;
    }
    return { rate: timeline, even, afterRetime, uneven };
  });
}

/**
 * The timeline rate most clips fit in real time without a retime. On a tie the one most files play at, then the
 * one most clips fit after a retime, then the lower. Undefined when no clip has a rate.
 */
export function likelyTimeline(fits: readonly RateFit[], rates: readonly (ClipRates | undefined)[]): Rate | undefined {
  if (rates.every((of) => of === undefined)) return undefined;
  const played = new Map<string, number>();
  for (const of of rates) if (of !== undefined) played.set(keyOf(of.plays), (played.get(keyOf(of.plays)) ?? 0) + 1);
  const recorded = (rate: Rate): number => played.get(keyOf(rate)) ?? 0;
  const ranked = [...fits].sort(
    (a, b) =>
      b.even - a.even ||
      recorded(b.rate) - recorded(a.rate) ||
      b.afterRetime - a.afterRetime ||
      compare(a.rate, b.rate),
  );
  return ranked[0]?.rate;
}

function stillJudgements(stills: readonly Still[], found: readonly CardFinding[]): readonly StillJudgement[] {
  const byName = new Map<string, CardFinding[]>(stills.map((still) => [still.name, []]));
  for (const finding of found) for (const name of finding.stills) byName.get(name)?.push(finding);
  return [...byName].map(([name, findings]) => ({ name, findings }));
}

/** Adds up the seconds of timeline that the planned uses fill, for each use. */
function usableSeconds(): { add(judged: ClipJudgement): void; total(): readonly UsableSeconds[] } {
  const empty = { clean: none, workable: none, unknown: none };
  const totals = { "real time": { ...empty }, slow: { ...empty } };
  return {
    add({ plan, verdict, uses }) {
      if (plan.use === "none" || verdict === "reshoot") return;
      const length = uses.find((one) => one.use === plan.use)?.timelineSeconds;
      if (length === undefined) return;
      const total = totals[plan.use];
      // Rounded to microseconds: sums of exact lengths would otherwise grow without bound.
      total[verdict] = add(total[verdict], microseconds(length));
    },
    total: () => (["real time", "slow"] as const).map((use) => ({ use, ...totals[use] })),
  };
}

const none: Seconds = ratio(0n);
const microseconds = (value: Seconds): Seconds =>
  ratio((value.numerator * 1_000_000n + value.denominator / 2n) / value.denominator, 1_000_000n);

function flightAhead(clips: readonly SettledClip[], brief: Brief): CardConclusion["nextFlight"] {
  const light = lastLight(clips);
  if (brief.highestLightEv !== undefined) {
    return nextFlight(brief, { lightEv: brief.highestLightEv, lightFrom: "the brief" }, light?.fNumber);
  }
  return nextFlight(
    brief,
    light === undefined ? undefined : { lightEv: light.lightEv, lightFrom: light.lightFrom },
    light?.fNumber,
  );
}

/** A rate and how many clips of the card fit it, as printed: `25: 12 of 14`. */
export const fitText = (fit: RateFit): string =>
  `${rateLabel(fit.rate)}: ${fit.even + fit.afterRetime} of ${fit.even + fit.afterRetime + fit.uneven}`;
