import {
  absent,
  damaged,
  type Origin,
  type Ratio,
  ratioText,
  read,
  type Reading,
  type Series,
  seriesBuilder,
} from "@goodgate/model";
import type { Stated } from "./record.ts";

/** Where a stream is while its records are folded, at the start of the record at hand. */
export interface FoldedSoFar {
  /** Start of the record at hand, and its place in the stream. */
  start: number;
  place: number;
  /** End of the record before it, the records so far, and the microseconds they were held, holes left out. */
  end: number;
  records: number;
  held: number;
}

/** Folds what the records of a stream state of one fact into a series. */
export interface FactFold<T> {
  /** What the record before stated: a record that states the same object need not be told of. */
  stated: Stated<T> | undefined;
  /** Takes what the records from the one at hand on state; undefined also ends a stream. `nameOf` names a record. */
  change(stated: Stated<T> | undefined, at: FoldedSoFar, nameOf: (place: number) => string): void;
  /** Statements that broke the grammar or the range. */
  readonly faults: () => number;
  /** The series; damaged when every statement was broken; undefined when the fact was never mentioned. */
  finish(clipMicroseconds: number | undefined, origin: Origin): Reading<Series<T>> | undefined;
}

/** A fold; `title` is what a damaged value failed to be, `key` tells equal values apart from different ones. */
export function factFold<T>(title: string, key: (value: T) => string | number): FactFold<T> {
  const series = seriesBuilder<T>(key);
  let faults = 0;
  let mentions = 0;
  let firstFault: { text: string; name: string } | undefined;
  const since: FoldedSoFar = { start: 0, place: 0, end: 0, records: 0, held: 0 };
  const fold: FactFold<T> = {
    stated: undefined,
    change(stated, at, nameOf) {
      const before = fold.stated;
      const count = at.records - since.records;
      if (before !== undefined && count > 0) {
        mentions += count;
        if ("value" in before) {
          series.addRun(before.value, since.start, at.end, at.held - since.held, count);
        } else {
          faults += count;
          firstFault ??= { text: before.fault, name: nameOf(since.place) };
        }
      }
      fold.stated = stated;
      if (stated === undefined) return;
      since.start = at.start;
      since.place = at.place;
      since.records = at.records;
      since.held = at.held;
    },
    faults: () => faults,
    finish(clipMicroseconds, origin) {
      const whole = series.finish(clipMicroseconds);
      if (whole !== undefined) return read(whole, origin);
      if (firstFault === undefined) return undefined;
      const { text, name } = firstFault;
      return damaged(`"${text}" is no ${title} (${faults} of ${mentions} records)`, { ...origin, place: name });
    },
  };
  return fold;
}

/** Key of an exact fraction; each object's text is made once, because records share the objects of equal values. */
export function ratioKeys(): (value: Ratio) => string {
  const texts = new WeakMap<Ratio, string>();
  return (value) => {
    let text = texts.get(value);
    if (text === undefined) {
      text = ratioText(value);
      texts.set(value, text);
    }
    return text;
  };
}

/** Keeps only what is there: facts that were never mentioned are left out. */
export function mentioned<Readings extends Record<string, Reading<unknown> | undefined>>(
  readings: Readings,
): { readonly [Name in keyof Readings]?: Exclude<Readings[Name], undefined> } {
  // Every entry that is undefined is dropped here, which is what the type states.
  return Object.fromEntries(Object.entries(readings).filter(([, reading]) => reading !== undefined)) as never;
}

/** Why a position is absent although every record has the place for it. */
export const noFix = absent("no satellite fix: latitude and longitude are both zero in every record");
