import { clockReader } from "../dialects/clock.ts";
import { written } from "./number-bytes.ts";
import type { RecordClock } from "./record.ts";

/** How the clock of a cue is written, so that one written alike is read by place. */
export interface ClockForm {
  /** Changed from cue to cue; its text is that of the bytes as last read. */
  readonly record: { microseconds: number } & RecordClock;
  /** Bytes from the clock's first to its seconds, and the count of digits those have. */
  readonly secondsAt: number;
  readonly secondsDigits: number;
  /** The digits behind the seconds: where they begin, how many, and the microseconds of their last; up to two groups. */
  readonly groups: readonly { readonly at: number; readonly digits: number; readonly unit: number }[];
  /** Furthest the clock may end from the start of the cue; careful reading searches no further. */
  readonly mostFromStart: number;
  /** Microseconds of the minute in which the clock last was, and of the one in which the cue at hand is. */
  readonly minute: { kept: number; next: number };
}

const mostFromStart = 400;
const form = /^\d{4}([-./])\d{1,2}\1\d{1,2}[ T] *\d{1,2}:\d{1,2}:(\d{1,2})(?:[.,](\d{1,6}))?(?:[.,](\d{3}))?$/;

/** The form of a clock that was read from these bytes, which the caller changes as clocks go by. */
export function clockForm(clock: RecordClock, bytes: Uint8Array, length: number): ClockForm | undefined {
  const match = form.exec(clock.text);
  if (match === null) return undefined;
  const [whole, , seconds = "", first = "", second = ""] = match;
  const secondsAt = whole.lastIndexOf(":") + 1;
  const groups: { at: number; digits: number; unit: number }[] = [];
  const firstAt = secondsAt + seconds.length + 1;
  if (first !== "") groups.push({ at: firstAt, digits: first.length, unit: 10 ** (6 - first.length) });
  if (second !== "") groups.push({ at: firstAt + first.length + 1, digits: 3, unit: 1 });
  const places = { secondsAt, secondsDigits: seconds.length, groups };
  return {
    ...places,
    record: {
      microseconds: clock.microseconds,
      stepMicroseconds: clock.stepMicroseconds,
      get text() {
        return written(bytes, 0, length);
      },
    },
    mostFromStart,
    minute: { kept: clock.microseconds - secondsOf(places, bytes, 0), next: 0 },
  };
}

/**
 * Microseconds of a clock written in a form, or -1 when it is none (13th month, 61st second). `known` from `base` on holds
 * the clock read before.
 */
export function readClockForm(
  clock: ClockForm,
  bytes: Uint8Array,
  from: number,
  to: number,
  known: Uint8Array,
  base: number,
): number {
  const { secondsAt, minute } = clock;
  minute.next = minute.kept;
  for (let place = 0; place < secondsAt; place += 1) {
    if (bytes[from + place] === known[base + place]) continue;
    // Another minute: about one cue in a thousand.
    const text = written(bytes, from, to);
    const careful = clockReader()(text, 0, text.length);
    if (careful === undefined || careful.text !== text) return -1;
    minute.next = careful.microseconds - secondsOf(clock, bytes, from);
    break;
  }
  const seconds = digitsAt(bytes, from + secondsAt, clock.secondsDigits);
  return seconds > 60 ? -1 : minute.next + secondsOf(clock, bytes, from);
}

/** Takes the clock read last as the one the next is compared with. */
export function keepClock({ record, minute }: ClockForm, microseconds: number): void {
  record.microseconds = microseconds;
  minute.kept = minute.next;
}

type SecondsPlaces = Pick<ClockForm, "secondsAt" | "secondsDigits" | "groups">;

function secondsOf({ secondsAt, secondsDigits, groups }: SecondsPlaces, bytes: Uint8Array, from: number): number {
  let past = digitsAt(bytes, from + secondsAt, secondsDigits) * 1_000_000;
  for (const { at, digits, unit } of groups) past += digitsAt(bytes, from + at, digits) * unit;
  return past;
}

function digitsAt(bytes: Uint8Array, from: number, count: number): number {
  let value = 0;
  for (let at = from; at < from + count; at += 1) value = value * 10 + ((bytes[at] as number) - 48);
  return value;
}
