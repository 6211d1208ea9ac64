import {
  absent,
  damaged,
  NumberSeriesBuilder,
  type Origin,
  type Ratio,
  ratioText,
  read,
  type Reading,
  type Series,
  type SeriesBuilder,
  seriesBuilder,
  seriesFacts,
} from "@goodgate/model";
import type { FieldName } from "./cue-shape.ts";
import type { Stated } from "./record.ts";

/** Fields of a record that become a series each, in the order in which their facts are listed. */
export const factFields = [...seriesFacts, "captureRate"] as const satisfies readonly FieldName[];

/** A field that becomes a series. */
export type FactField = (typeof factFields)[number];

/** Whether a field becomes a series; the others are parts of a position. */
export const isFactField = (field: FieldName): field is FactField =>
  (factFields as readonly FieldName[]).includes(field);

/** Whether the values of a fact are numbers. */
export const isNumberFact = (field: FactField): boolean =>
  field !== "shutterSeconds" && field !== "captureRate" && field !== "colourMode";

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
  /** Takes a value that neighbouring records state: from the start of the first to the end of the last, held for so long. */
  value(value: T, start: number, end: number, held: number, records: number): void;
  /**
   * Takes, of a fact whose values are numbers, those of neighbouring records that each hold until the next: every value from
   * one bound to the next.
   */
  readonly numbers?: (values: Float64Array, bounds: Float64Array, records: number) => void;
  /** Takes a text that neighbouring records state and that breaks the grammar or the range; `name` names the first. */
  fault(text: string, records: number, name: () => string): void;
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
export const factFold = <T>(title: string, key: (value: T) => string | number): FactFold<T> =>
  foldInto(seriesBuilder<T>(key), title);

/** A fold of numbers; `title` is what a damaged value failed to be. */
export function numberFold(title: string): FactFold<number> {
  const series = new NumberSeriesBuilder();
  return foldInto(series, title, (values, bounds, records) => series.addAll(values, bounds, records));
}

function foldInto<T>(series: SeriesBuilder<T>, title: string, addAll?: NumberSeriesBuilder["addAll"]): FactFold<T> {
  let faults = 0;
  let mentions = 0;
  let firstFault: { text: string; name: string } | undefined;
  const since: FoldedSoFar = { start: 0, place: 0, end: 0, records: 0, held: 0 };
  const fold: FactFold<T> = {
    stated: undefined,
    value(value, start, end, held, records) {
      mentions += records;
      series.addRun(value, start, end, held, records);
    },
    ...(addAll === undefined
      ? {}
      : {
          numbers(values: Float64Array, bounds: Float64Array, records: number) {
            mentions += records;
            addAll(values, bounds, records);
          },
        }),
    fault(text, records, name) {
      mentions += records;
      faults += records;
      firstFault ??= { text, name: name() };
    },
    change(stated, at, nameOf) {
      const before = fold.stated;
      const count = at.records - since.records;
      if (before !== undefined && count > 0) {
        if ("value" in before) fold.value(before.value, since.start, at.end, at.held - since.held, count);
        else fold.fault(before.fault, count, () => nameOf(since.place));
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
