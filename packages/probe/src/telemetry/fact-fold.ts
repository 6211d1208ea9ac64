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

/** Folds what records state of one fact into a series. */
export interface FactFold<T> {
  /** Adds one statement, which holds from `start` to `end` in microseconds; `name` names its record. */
  add(stated: Stated<T> | undefined, start: number, end: number, name: () => string): void;
  /** Statements that broke the grammar or the range. */
  readonly faults: () => number;
  /** The series; damaged when every statement was broken; undefined when the fact was never mentioned. */
  finish(clipMicroseconds: number | undefined, origin: Origin): Reading<Series<T>> | undefined;
}

/** A fold; `title` is what a damaged value failed to be, `key` tells equal values apart from different ones. */
export function factFold<T>(title: string, key: (value: T) => string | number): FactFold<T> {
  const series = seriesBuilder<T>(key);
  let faults = 0;
  let stated = 0;
  let firstFault: { text: string; name: string } | undefined;
  let last: { readonly value: T } | undefined;
  return {
    add(statement, start, end, name) {
      if (statement === undefined) return;
      stated += 1;
      // Records share the statements they repeat, so most often this is the one before.
      if (statement === last) {
        series.add(last.value, start, end);
      } else if ("value" in statement) {
        last = statement;
        series.add(statement.value, start, end);
      } else {
        faults += 1;
        firstFault ??= { text: statement.fault, name: name() };
      }
    },
    faults: () => faults,
    finish(clipMicroseconds, origin) {
      const whole = series.finish(clipMicroseconds);
      if (whole !== undefined) return read(whole, origin);
      if (firstFault === undefined) return undefined;
      const { text, name } = firstFault;
      return damaged(`"${text}" is no ${title} (${faults} of ${stated} records)`, { ...origin, place: name });
    },
  };
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
