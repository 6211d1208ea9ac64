import {
  absolute,
  type Cadence,
  cadence,
  compare,
  divide,
  type Facts,
  invert,
  isWhole,
  multiply,
  nearestStandardRate,
  nearMissPartsPerMillion,
  one,
  partsPerMillion,
  type Rate,
  ratio,
  type Seconds,
  type Speed,
  subtract,
  toNumber,
  type TreatmentFor,
  valueOf,
} from "@goodgate/model";
import type { ClipRates, PossibleUse } from "./rule.ts";
import { trueRate } from "./true-rate.ts";

/** From this many times the timeline rate on, a clip nobody gave a treatment to is judged in real time and slowed. */
export const slowMotionFrom = ratio(3n, 2n);

/** The rates of a clip; undefined when its frame rate was not read. */
export function clipRates(facts: Facts): ClipRates | undefined {
  const stated = valueOf(facts.frameRate);
  if (stated === undefined || stated.numerator <= 0n) return undefined;
  // Without its repeats a file plays at the rate of its new pictures.
  const plays = trueRate(facts, stated) ?? stated;
  const captured = valueOf(facts.captureRate);
  if (captured === undefined || captured.numerator <= 0n) {
    return { plays, capture: plays, proven: false, timelapse: false };
  }
  // A key that says 60 beside time stamps of 59.94 means the same recording mode.
  if (Math.abs(partsPerMillion(captured, plays)) <= nearMissPartsPerMillion) {
    return { plays, capture: plays, proven: true, timelapse: false };
  }
  // The same habit in slow motion: 120 stated for a file whose own rate is of the 1000/1001 family.
  const family = plays.denominator === 1001n ? nearestStandardRate(multiply(captured, ratio(1000n, 1001n))) : undefined;
  const capture = isWhole(captured) && family !== undefined && family.denominator === 1001n ? family : captured;
  return { plays, capture, proven: true, timelapse: compare(capture, plays) < 0 };
}

/** The uses a brief allows for a clip, real time first. `shownSeconds` is the time the file lasts as it lies. */
export function possibleUses(
  rates: ClipRates,
  timeline: Rate,
  asked: { readonly treatment: TreatmentFor["treatment"]; readonly speed?: Speed; readonly stated: boolean },
  shownSeconds: Seconds | undefined,
): readonly PossibleUse[] {
  const { plays, capture } = rates;
  const use = (kind: PossibleUse["use"], sceneSpeed: Speed, step: Speed, speedStated: boolean): PossibleUse => {
    const pattern = knownCadence(step, timeline);
    const fileSpeed = divide(multiply(retimedStep(pattern), timeline), plays);
    return {
      use: kind,
      rates,
      timeline,
      sceneSpeed,
      fileSpeed,
      cadence: pattern,
      speedStated,
      ...(shownSeconds === undefined ? {} : { timelineSeconds: divide(shownSeconds, fileSpeed) }),
    };
  };
  // A timelapse is used as it lies: its real time is a second of it in many minutes.
  if (rates.timelapse) return [use("real time", divide(plays, capture), divide(plays, timeline), false)];
  const perTimelineFrame = divide(capture, timeline);
  const conform = invert(perTimelineFrame);
  const real = (): PossibleUse => use("real time", one, perTimelineFrame, false);
  const slow = (): PossibleUse => {
    const speed = asked.speed ?? conform;
    return use("slow", speed, multiply(speed, perTimelineFrame), asked.speed !== undefined);
  };
  if (asked.treatment === "real") return [real()];
  if (asked.treatment === "slow") return [slow()];
  const canSlow = partsPerMillion(perTimelineFrame, one) > nearMissPartsPerMillion;
  const both = asked.stated ? canSlow : compare(perTimelineFrame, slowMotionFrom) >= 0;
  return both ? [real(), slow()] : [real()];
}

// The clips of a card share a handful of rates and speeds. Past the bound the memory is emptied, never the answer.
const mostKnown = 1000;
const known = new Map<string, Cadence>();

/** The cadence of a step, worked out once for all clips alike. */
export function knownCadence(step: Speed, timeline: Rate): Cadence {
  const key = `${step.numerator}/${step.denominator} ${timeline.numerator}/${timeline.denominator}`;
  let pattern = known.get(key);
  if (pattern === undefined) {
    if (known.size >= mostKnown) known.clear();
    pattern = cadence(step, timeline);
    known.set(key, pattern);
  }
  return pattern;
}

/** The step a near miss is near to, so that the plan says the exact speed to set; any other step as it is. */
export function retimedStep(of: Cadence): Speed {
  if (of.kind !== "near") return of.step;
  const skip = ratio(of.count);
  const hold = ratio(1n, of.count);
  return compare(absolute(subtract(of.step, skip)), absolute(subtract(of.step, hold))) <= 0 ? skip : hold;
}

/** Whether the motion is even once the plan's speed is set. */
export const evenAsPlanned = (of: Cadence): boolean => of.kind !== "uneven skip" && of.kind !== "uneven hold";

/** How much longer than real life the slow use runs: 4 at a quarter of the speed. */
export const timesLonger = (speed: Speed): number => 1 / toNumber(speed);
