import type { ClipReport } from "../schema.ts";
import { holes, lookedSpans, lookedText, lostSpans, type Span } from "./seen-values.ts";
import { clipSeconds, clockText } from "./values.ts";

/** Marks drawn at most; a finding names at most 64 times. */
const mostMarks = 128;
/** Places named in words before the rest is counted. */
const mostNamed = 6;
/** Room a word needs beside a stretch, in % of a phone's width. */
const wordPercent = 34;

/** A place on the bar, in % of its width with a sign, as the drawing takes it. */
interface Place {
  readonly x: string;
}
interface Stretch extends Place {
  readonly width: string;
}

/** The time of a clip as a bar below its filmstrip. */
export interface StripBar {
  /** Everything the bar shows, in words. */
  readonly says: readonly string[];
  readonly looked: readonly Stretch[];
  readonly unseen: readonly Stretch[];
  readonly marks: readonly (Place & { readonly grade: string; readonly d: string })[];
  /** Lanes of lost picture, each with its word. */
  readonly lanes: readonly {
    readonly word: string;
    readonly stretches: readonly Stretch[];
    readonly wordX: string;
    /** Whether the word ends at its place. */
    readonly lean: boolean;
    readonly top: number;
  }[];
  readonly ticks: readonly (Place & { readonly text: string; readonly anchor: string })[];
  readonly height: number;
}

const laneHeight = 16;
/** Below the marks, the bar and the times. */
const lanesTop = 50;

/** Marks of a grade: a cross, a triangle, a stroke; the shape says what the colour says. */
const outlines: Readonly<Record<string, string>> = {
  reshoot: "M-4,-4L4,4M4,-4L-4,4",
  workable: "M-5,4H5L0,-5z",
  note: "M0,-5V5",
};
const gradeOrder = ["note", "workable", "reshoot"];

/** Times of the frames of a filmstrip: the middle of each of `frames` equal parts of the clip. */
const frameTimes = (seconds: number, frames: number): readonly number[] =>
  Array.from({ length: frames }, (_, place) => ((place + 0.5) / frames) * seconds);

/**
 * Time of a clip with what findings name, what was lost, and what nobody looked at. `frames` is how many frames the
 * filmstrip above has; undefined without one. Undefined when there is no filmstrip and the pictures were not asked.
 */
export function stripBar(clip: ClipReport, frames?: number): StripBar | undefined {
  const seconds = clipSeconds(clip);
  const percent = (at: number): string =>
    `${Number(((100 * Math.min(seconds, Math.max(0, at))) / seconds).toFixed(2))}%`;
  const stretch = ({ from, to }: Span): Stretch => ({ x: percent(from), width: percent(to - from) });
  const asked = lookedText(clip);
  const looked = asked === undefined ? [] : lookedSpans(clip);
  const unseen = asked === undefined ? [] : holes(looked, seconds);
  const timed = clip.findings
    .map(({ rule, grade, atSeconds }) => ({
      rule,
      grade,
      at: (atSeconds ?? []).filter((at) => at >= 0 && at <= seconds),
    }))
    .filter(({ at }) => at.length > 0);
  if (frames === undefined && asked === undefined) return undefined;
  const lost = lostSpans(clip);
  const marks = timed
    .flatMap(({ grade, at }) => at.map((each) => ({ x: percent(each), grade, d: outlines[grade] ?? "" })))
    // The worst is drawn last, over the others.
    .sort((a, b) => gradeOrder.indexOf(a.grade) - gradeOrder.indexOf(b.grade))
    .slice(-mostMarks);
  return {
    says: [
      ...timed.map(({ rule, grade, at }) => `${grade} at ${listed(at.map(clockText))} (${rule})`),
      ...lost.map(
        ({ word, spans }) => `${word} ${listed(spans.map(({ from, to }) => `${clockText(from)} to ${clockText(to)}`))}`,
      ),
      ...(asked === undefined ? [] : [unseen.length === 0 ? asked : `${asked}, the rest is hatched`]),
    ],
    looked: looked.map(stretch),
    unseen: unseen.map(stretch),
    marks,
    lanes: lost.map(({ word, spans }, lane) => ({
      word,
      stretches: spans.map(stretch),
      ...besideOf(spans, percent),
      top: lanesTop + lane * laneHeight,
    })),
    ticks:
      frames === undefined
        ? [
            { x: "0%", text: clockText(0), anchor: "num" },
            { x: "50%", text: clockText(seconds / 2), anchor: "num mid" },
            { x: "100%", text: clockText(seconds), anchor: "num end" },
          ]
        : frameTimes(seconds, frames).map((at) => ({ x: percent(at), text: clockText(at), anchor: "num mid" })),
    height: lanesTop + lost.length * laneHeight,
  };
}

/** Where the word of a lane stands: behind its last stretch, else before its first, else upon it. */
function besideOf(spans: readonly Span[], percent: (at: number) => string): { wordX: string; lean: boolean } {
  const [from, to] = [percent(spans[0]?.from ?? 0), percent(spans.at(-1)?.to ?? 0)];
  if (Number.parseFloat(to) <= 100 - wordPercent) return { wordX: to, lean: false };
  return Number.parseFloat(from) >= wordPercent ? { wordX: from, lean: true } : { wordX: from, lean: false };
}

function listed(texts: readonly string[]): string {
  const shown = texts.slice(0, mostNamed).join(", ");
  return texts.length > mostNamed ? `${shown} and ${texts.length - mostNamed} more` : shown;
}
