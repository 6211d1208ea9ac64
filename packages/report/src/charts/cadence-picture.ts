import {
  type Cadence,
  cadence,
  divide,
  multiply,
  nearMissPartsPerMillion,
  partsPerMillion,
  percentLabel,
  type Ratio,
  rateLabel,
  shownFrames,
  toNumber,
} from "@goodgate/model";
import type { ClipReport, Report } from "../schema.ts";
import { type Mark, type Motion, type Mover, type Picture, pictureWidth, rect, strokes, text } from "./picture.ts";
import { factRatio, ratioFrom } from "./values.ts";

/** Timeline frames one strip shows: about a second, so that the bar can move in true time and be followed. */
export const stripFrames = 24;
/** Camera frames drawn at most; closer than this they would melt into a grey bar. */
const mostTicks = 170;
/** Ways of using a clip drawn under each other. */
const mostLanes = 3;
const left = 8;
const cell = (pictureWidth - 2 * left) / stripFrames;
const laneHeight = 92;

interface Lane {
  readonly name: string;
  readonly cadence: string;
  readonly step: Ratio;
}

/**
 * How the camera's frames fall on the timeline, one lane for each way of using the clip. Above: where the camera took
 * its frames. Below: one bar for each timeline frame, as high as the step from the frame before it, hollow where the
 * same frame stays. The moving bar stands where the shown picture belongs; in true time.
 */
export function cadencePicture(clip: ClipReport, brief: Report["brief"]): Picture | undefined {
  const file = factRatio(clip, "frameRate");
  const timeline = ratioFrom(brief.items["timelineRate"]);
  if (file === undefined || timeline === undefined || file.numerator <= 0n || timeline.numerator <= 0n)
    return undefined;
  const lanes = lanesOf(clip, file, timeline);
  if (lanes.length === 0) return undefined;
  const marks: Mark[] = [];
  const movers: Mover[] = [];
  lanes.forEach((lane, place) => {
    const top = place * laneHeight;
    marks.push(...laneMarks(lane, top));
    movers.push({ motion: motionOf(lane.step, timeline), top: top + 22, height: 60 });
  });
  return {
    id: "cadence",
    title: `Frames on the ${rateLabel(timeline)} timeline`,
    says: `${lanes.map((lane) => `${lane.name}: ${lane.cadence}`).join(". ")}.`,
    hint: "Ticks: camera frames. Bars: timeline frames, as high as their step; hollow: the frame stays; dash below: odd step.",
    width: pictureWidth,
    height: lanes.length * laneHeight,
    marks,
    movers,
  };
}

/**
 * The ways the report judged; real time and the full conform are added when they are not among them, so that both are
 * seen whatever the brief asked.
 */
function lanesOf(clip: ClipReport, file: Ratio, timeline: Ratio): readonly Lane[] {
  const perSpeed = divide(file, timeline);
  const lanes: Lane[] = [];
  const add = (use: string, speed: Ratio | undefined, words: string | undefined): void => {
    if (speed === undefined || speed.numerator <= 0n || lanes.length === mostLanes) return;
    const step = multiply(speed, perSpeed);
    const name = `${useName(use)} at ${percentLabel(speed)} %`;
    lanes.push({ name, cadence: words ?? cadenceWords(cadence(step, timeline)), step });
  };
  const uses: readonly { use: string; speed: string; cadence: string }[] =
    clip.uses.length > 0 ? clip.uses : clip.plan.use === "none" ? [] : [clip.plan];
  for (const { use, speed, cadence: words } of uses) add(use, ratioFrom(speed), words);
  const capture = factRatio(clip, "captureRate") ?? file;
  const has = (use: string): boolean => uses.some((one) => one.use === use);
  if (!has("real time") && capture.numerator > 0n) add("real time", divide(capture, file), undefined);
  if (!has("slow") && partsPerMillion(capture, timeline) > nearMissPartsPerMillion) {
    add("slow", divide(timeline, file), undefined);
  }
  return lanes;
}

/** A cadence in words, for the ways the report itself did not judge. */
function cadenceWords(of: Cadence): string {
  const odd = `${Number(toNumber(of.oddPerSecond).toFixed(2))} odd a second`;
  switch (of.kind) {
    case "one for one":
      return "one frame for one frame";
    case "every nth":
      return `every frame number ${of.count}, even`;
    case "held":
      return `each frame held ${of.count} times, even`;
    case "near":
      return `nearly even, one odd frame every ${Number(toNumber(of.eventSeconds ?? of.periodSeconds).toFixed(1))} s`;
    case "uneven skip":
      return `uneven steps of ${of.least} and ${of.most} frames, ${odd}`;
    case "uneven hold":
      return `frames held ${of.least} and ${of.most} times, ${odd}`;
  }
}

const useName = (use: string): string => (use === "slow" ? "Slow" : "Real time");

function laneMarks(lane: Lane, top: number): readonly Mark[] {
  const step = toNumber(lane.step);
  const marks: Mark[] = [text("label", left, top + 13, lane.name)];
  // Camera frame n is taken n/step timeline frames after the first.
  const spacing = cell / step;
  if (stripFrames * step <= mostTicks) {
    const ticks: (readonly [number, number, number, number])[] = [];
    for (let frame = 0; frame < stripFrames * step - 1e-9; frame += 1) {
      const x = left + frame * spacing;
      ticks.push([x, top + 22, x, top + 32]);
    }
    marks.push(strokes("tick", ticks));
  } else marks.push(rect("dense", left, top + 22, stripFrames * cell, 10));

  const steps = shownSteps(lane.step);
  const tallest = Math.max(1, ...steps);
  const usual = commonest(steps);
  const base = top + 82;
  const odd: (readonly [number, number, number, number])[] = [];
  steps.forEach((advance, place) => {
    const x = left + place * cell;
    const high = advance === 0 ? 8 : 10 + (30 * advance) / tallest;
    marks.push(rect(advance === 0 ? "hold" : "frame", x + 1, base - high, cell - 2, high));
    if (advance !== usual && usual !== undefined) odd.push([x + 2, base + 4, x + cell - 2, base + 4]);
  });
  // An odd step carries a stroke beneath, so that the rhythm is read without comparing heights.
  if (odd.length > 0) marks.push(strokes("odd", odd));
  return marks;
}

/** Steps into each timeline frame of the strip. Nothing comes before the first frame: it gets the usual step. */
function shownSteps(step: Ratio): readonly number[] {
  const frames = shownFrames(step, stripFrames);
  const steps = frames.slice(1).map((frame, before) => Number(frame - (frames[before] ?? 0n)));
  return [mostOften(steps.filter((advance) => advance > 0)) ?? 1, ...steps];
}

/** The step most frames take; undefined when every frame is held equally long, where no step is odd. */
function commonest(steps: readonly number[]): number | undefined {
  const even = new Set(holdLengths(steps)).size <= 1;
  return steps.includes(0) && even ? undefined : mostOften(steps);
}

/** The number that occurs most often, the first of equals; undefined of none. */
function mostOften(numbers: readonly number[]): number | undefined {
  const counts = new Map<number, number>();
  for (const number of numbers) counts.set(number, (counts.get(number) ?? 0) + 1);
  return [...counts].sort((a, b) => b[1] - a[1])[0]?.[0];
}

/** Lengths of whole holds: timeline frames from one new picture to the next. */
function holdLengths(steps: readonly number[]): readonly number[] {
  const news = steps.flatMap((advance, place) => (advance > 0 ? [place] : []));
  return news.slice(1).map((place, before) => place - (news[before] ?? 0));
}

/** Where the moving bar stands at each timeline frame: at the place the shown picture belongs to. */
function motionOf(step: Ratio, timeline: Ratio): Motion {
  const places = shownFrames(step, stripFrames).map((frame) => {
    const belongs = Number(frame) / toNumber(step);
    return Math.round((left + Math.min(belongs, stripFrames) * cell) * 10) / 10;
  });
  const seconds = stripFrames / toNumber(timeline);
  return {
    name: `m${step.numerator}-${step.denominator}-${timeline.numerator}-${timeline.denominator}`,
    places,
    seconds,
  };
}
