import type { CueShape } from "../telemetry/cue-shape.ts";
import type { RecordClock } from "../telemetry/record.ts";

/** Longest stretch before the clock that is searched; heads of known dialects have under 120 characters. */
const mostSearched = 400;

/** Something like a day and a time, whatever its numbers. */
const clockLike = /\d([-./])\d{1,9}\1\d{1,9}[ T] {0,40}\d{1,9}:\d{1,9}:\d/;

/**
 * Finds the first clock in a text: `2031-04-05 08:07:08,123,456`, `2031.4.5 8:07:08`, with `.` or `,` before milliseconds
 * and microseconds, month, day and hour with or without padding. Undefined when there is none. Remembers the last day
 * so that a clock per frame costs no calendar arithmetic. Its place goes into `shape`; a text in which other numbers would
 * make another clock has no shape.
 */
export function clockReader(): (text: string, from: number, to: number, shape?: CueShape) => RecordClock | undefined {
  let lastDay = -1;
  let lastDayMicroseconds = 0;
  let at = 0;
  let source = "";
  let end = 0;

  const isDigit = (): boolean => {
    if (at >= end) return false;
    const code = source.charCodeAt(at);
    return code >= 48 && code <= 57;
  };
  /** Reads 1 to `most` digits at `at`; -1 when there is none. */
  const whole = (most: number): number => {
    let value = 0;
    let digits = 0;
    while (digits < most && isDigit()) {
      value = value * 10 + (source.charCodeAt(at) - 48);
      at += 1;
      digits += 1;
    }
    return digits === 0 ? -1 : value;
  };
  const skip = (code: number): boolean => {
    if (at >= end || source.charCodeAt(at) !== code) return false;
    at += 1;
    return true;
  };

  let lastMinute = "-";
  let lastMinuteMicroseconds = 0;

  /** Reads a clock that begins exactly at `start`. */
  const readAt = (start: number): RecordClock | undefined => {
    // Clocks of neighbouring cues share everything up to the minute.
    if (source.startsWith(lastMinute, start) && start + lastMinute.length < end) {
      at = start + lastMinute.length;
      return readSeconds(start, lastMinuteMicroseconds);
    }
    at = start;
    const year = whole(4);
    if (at - start !== 4 || at >= end) return undefined;
    const mark = source.charCodeAt(at);
    if (mark !== 45 && mark !== 46 && mark !== 47) return undefined;
    at += 1;
    const month = whole(2);
    if (!skip(mark)) return undefined;
    const day = whole(2);
    if (!skip(32) && !skip(84)) return undefined;
    while (skip(32));
    const hour = whole(2);
    if (!skip(58)) return undefined;
    const minute = whole(2);
    if (!skip(58)) return undefined;
    const secondsFrom = at;
    if (month < 1 || month > 12 || day < 1 || day > 31 || hour < 0 || hour > 23) return undefined;
    if (minute < 0 || minute > 59) return undefined;
    const dayKey = (year * 16 + month) * 32 + day;
    if (dayKey !== lastDay) {
      const midnight = new Date(Date.UTC(2000, month - 1, day));
      midnight.setUTCFullYear(year);
      // 31 April would roll into May: no such day, no clock.
      if (midnight.getUTCMonth() !== month - 1 || midnight.getUTCDate() !== day) return undefined;
      lastDay = dayKey;
      lastDayMicroseconds = midnight.getTime() * 1000;
    }
    lastMinute = source.slice(start, secondsFrom);
    lastMinuteMicroseconds = lastDayMicroseconds + (hour * 60 + minute) * 60_000_000;
    return readSeconds(start, lastMinuteMicroseconds);
  };

  /** Reads seconds and what follows them at `at`, of a clock that began at `start`. */
  const readSeconds = (start: number, minuteMicroseconds: number): RecordClock | undefined => {
    const second = whole(2);
    if (second < 0 || second > 60) return undefined;
    let fraction = 0;
    let step = 1_000_000;
    for (let group = 0; group < 2; group += 1) {
      const before = at;
      if (!skip(46) && !skip(44)) break;
      const began = at;
      const digits = whole(6);
      const length = at - began;
      // A second group is microseconds and has three digits; a first one has one to six.
      if (length === 0 || (group === 1 && length !== 3)) {
        at = before;
        break;
      }
      const unit = group === 1 ? 1 : 10 ** (6 - length);
      fraction += digits * unit;
      step = unit;
      if (length > 3) break;
    }
    const microseconds = minuteMicroseconds + second * 1_000_000 + fraction;
    return { text: source.slice(start, at), microseconds, stepMicroseconds: step };
  };

  const find = (text: string, from: number, to: number): RecordClock | undefined => {
    source = text;
    end = Math.min(to, from + mostSearched);
    let run = 0;
    for (let place = from; place < end; place += 1) {
      const code = text.charCodeAt(place);
      if (code >= 48 && code <= 57) {
        run += 1;
        continue;
      }
      if (run === 4 && (code === 45 || code === 46 || code === 47)) {
        const clock = readAt(place - 4);
        if (clock !== undefined) return clock;
      }
      run = 0;
    }
    return undefined;
  };

  return (text, from, to, shape) => {
    const clock = find(text, from, to);
    if (shape === undefined) return clock;
    const clockTo = clock === undefined ? from : at;
    const clockFrom = clockTo - (clock?.text.length ?? 0);
    if (clock !== undefined) shape.clock(clockFrom, clockTo);
    // Digits behind it could become its own, with another count of them.
    if (clock !== undefined && /^[.,]?\d/.test(text.slice(clockTo, to))) shape.irregular();
    if (clockLike.test(text.slice(from, clockFrom)) || clockLike.test(text.slice(clockTo, to))) shape.irregular();
    return clock;
  };
}
