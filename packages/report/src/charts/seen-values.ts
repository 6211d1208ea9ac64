import type { ClipReport } from "../schema.ts";
import { clipSeconds, factParts, numberFrom } from "./values.ts";

/** A stretch of a clip in seconds. */
export interface Span {
  readonly from: number;
  readonly to: number;
}

/** The members of a list that are records with a finite number under each of the keys; a report may hold anything. */
export function records<K extends string>(list: unknown, ...keys: readonly K[]): readonly Record<K, number>[] {
  if (!Array.isArray(list)) return [];
  return list.filter(
    (each: unknown): each is Record<K, number> =>
      typeof each === "object" && each !== null && keys.every((key) => Number.isFinite(Reflect.get(each, key))),
  );
}

/** Stretches under a key of a fact, inside the clip and in time order. */
export function spans(clip: ClipReport, fact: string, key: string): readonly Span[] {
  const seconds = clipSeconds(clip);
  return records(factParts(clip, fact)?.[key], "fromSeconds", "toSeconds")
    .map(({ fromSeconds, toSeconds }) => ({ from: Math.max(0, fromSeconds), to: Math.min(seconds, toSeconds) }))
    .filter(({ from, to }) => to > from)
    .sort((a, b) => a.from - b.from);
}

/** Stretches that were looked at; the whole clip when no fact says, so that nothing is called unseen without proof. */
export function lookedSpans(clip: ClipReport): readonly Span[] {
  const looked = spans(clip, "lookedAt", "stretches");
  return looked.length > 0 ? looked : [{ from: 0, to: clipSeconds(clip) }];
}

/** Shorter holes than this share of the clip are the rounding of times. */
const leastHole = 0.005;

/** What lies between stretches, and before and behind them. */
export function holes(looked: readonly Span[], seconds: number): readonly Span[] {
  const found: Span[] = [];
  let at = 0;
  for (const { from, to } of [...looked, { from: seconds, to: seconds }]) {
    if (from - at > leastHole * seconds) found.push({ from: at, to: from });
    at = Math.max(at, to);
  }
  return found;
}

/** `9 of 12.5 s looked at`; undefined when the pictures were not asked. */
export function lookedText(clip: ClipReport): string | undefined {
  const looked = factParts(clip, "lookedAt");
  const [seconds, of] = [numberFrom(looked?.["seconds"]), numberFrom(looked?.["ofSeconds"])];
  if (seconds === undefined || of === undefined) return undefined;
  const text = (value: number): string => String(Number(value.toFixed(of < 10 ? 1 : 0)));
  return text(seconds) === text(of) ? `all ${text(of)} s looked at` : `${text(seconds)} of ${text(of)} s looked at`;
}

/** Shares of the picture from which on a moment counts as clipped or as crushed, as the rule about them does. */
const clippedFrom = 0.01;
const crushedFrom = 0.1;

/** A point of a ribbon and how long it stands: to the next point, to the end of its stretch, never over a hole. */
export interface Held {
  readonly from: number;
  readonly to: number;
  readonly value: number;
}

/** Points of a ribbon as lengths of time. */
export function held(points: readonly (readonly [at: number, value: number])[], clip: ClipReport): readonly Held[] {
  const looked = lookedSpans(clip);
  const seconds = clipSeconds(clip);
  const steps = points.slice(1).map(([at], place) => at - (points[place]?.[0] ?? 0));
  const usual = [...steps].sort((a, b) => a - b)[Math.floor(steps.length / 2)] ?? seconds;
  return points.flatMap(([from, value], place) => {
    const within = looked.find((span) => from >= span.from - 1e-6 && from < span.to);
    const next = points[place + 1]?.[0] ?? Number.POSITIVE_INFINITY;
    // A look that found nothing leaves a hole of its own.
    const until = Math.min(within?.to ?? from + usual, next - from <= 1.5 * usual ? next : from + usual);
    const to = Math.min(until, seconds);
    return from >= 0 && to > from ? [{ from, to, value }] : [];
  });
}

/** Stretches of lost picture by what is wrong with them: black, frozen, clipped or crushed over the limits. */
export function lostSpans(clip: ClipReport): readonly { readonly word: string; readonly spans: readonly Span[] }[] {
  const ribbon = records(factParts(clip, "pictureLevels")?.["ribbon"], "atSeconds", "clippedShare", "crushedShare");
  const over = (key: "clippedShare" | "crushedShare", from: number): readonly Span[] =>
    joined(
      held(
        ribbon.map((point) => [point.atSeconds, point[key]] as const),
        clip,
      ).filter(({ value }) => value > from),
    );
  const black = spans(clip, "stillness", "black");
  const outside = (span: Span): boolean => !black.some(({ from, to }) => span.from < to && from < span.to);
  return [
    { word: "black", spans: black },
    // Black is frozen and crushed as well; it is said once.
    { word: "frozen", spans: spans(clip, "stillness", "frozen").filter(outside) },
    { word: "clipped over 1 %", spans: over("clippedShare", clippedFrom) },
    { word: "crushed over 10 %", spans: over("crushedShare", crushedFrom).filter(outside) },
  ].filter((each) => each.spans.length > 0);
}

function joined(list: readonly Span[]): readonly Span[] {
  const found: Span[] = [];
  for (const { from, to } of list) {
    const last = found.at(-1);
    if (last !== undefined && from - last.to < 1e-6) found[found.length - 1] = { from: last.from, to };
    else found.push({ from, to });
  }
  return found;
}
