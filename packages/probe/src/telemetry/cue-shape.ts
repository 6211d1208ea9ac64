import type { Stated, TelemetryRecord } from "./record.ts";

/** Field of a record that a stretch of text fills. */
export type FieldName = Exclude<keyof TelemetryRecord, "clock" | "axesByOrder">;

/** How latitude and longitude of a cue were told apart, which decides what other numbers in their places would mean. */
export type AxisOrder = "stated" | "longitude first" | "latitude first";

/** Reads the text of one value, as often as it changes; undefined means the text says "not set". */
export type TextReader = (text: string) => Stated<unknown> | undefined;

/** One stretch of a cue whose text may change without the rest meaning anything else. Places are of the cue's text. */
export interface ShapePart {
  readonly from: number;
  readonly to: number;
  readonly says:
    /** A number between two bounds, written plainly; `negative` for one that is south or west by its letter. */
    | {
        readonly kind: "number";
        readonly field: FieldName;
        readonly range: readonly [number, number];
        /** Most digits before and behind the mark. */
        readonly digits: readonly [number, number];
        readonly negative: boolean;
      }
    /** What `read` makes of it; a text that is not of this `form` makes another cue of it. */
    | { readonly kind: "value"; readonly field: FieldName; readonly read: TextReader; readonly form?: RegExp }
    | { readonly kind: "clock" }
    /** Nothing: a number of any size, or any digits within the stretch. */
    | { readonly kind: "nothing" };
  /** Whether a comma between digits belongs to the number. */
  readonly commaDecimal: boolean;
}

/**
 * Takes down, while a dialect reads a cue carefully, where in it the values stand: everything else must stay as it is for
 * a later cue to mean the same. A dialect that is not sure calls `irregular`.
 */
export interface CueShape {
  number(
    from: number,
    to: number,
    field: FieldName,
    range: readonly [number, number],
    more?: {
      readonly negative?: boolean;
      readonly digits?: readonly [number, number];
      readonly commaDecimal?: boolean;
    },
  ): void;
  value(
    from: number,
    to: number,
    field: FieldName,
    read: TextReader,
    more?: { readonly form?: RegExp; readonly commaDecimal?: boolean },
  ): void;
  clock(from: number, to: number): void;
  /** A stretch that says nothing: digits in it may change. */
  nothing(from: number, to: number): void;
  axes(order: AxisOrder): void;
  /** Says that the next cue must be read carefully, too. */
  irregular(): void;
}

/** A shape as taken down. */
export interface NotedShape extends CueShape {
  readonly parts: readonly ShapePart[];
  readonly order: AxisOrder;
  readonly usable: boolean;
}

const mostDigits = [9, 9] as const;

/** An empty shape. */
export function noteShape(): NotedShape {
  const parts: ShapePart[] = [];
  let order: AxisOrder = "stated";
  let usable = true;
  return {
    number(from, to, field, range, { negative = false, digits = mostDigits, commaDecimal = true } = {}) {
      parts.push({ from, to, says: { kind: "number", field, range, digits, negative }, commaDecimal });
    },
    value(from, to, field, read, { form, commaDecimal = true } = {}) {
      const says = { kind: "value", field, read, ...(form === undefined ? {} : { form }) } as const;
      parts.push({ from, to, says, commaDecimal });
    },
    clock(from, to) {
      parts.push({ from, to, says: { kind: "clock" }, commaDecimal: false });
    },
    nothing(from, to) {
      parts.push({ from, to, says: { kind: "nothing" }, commaDecimal: false });
    },
    axes(stated) {
      order = stated;
    },
    irregular() {
      usable = false;
    },
    parts,
    get order() {
      return order;
    },
    get usable() {
      return usable;
    },
  };
}
