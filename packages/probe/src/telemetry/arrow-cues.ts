import type { CueBytes } from "./cue-bytes.ts";
import { copyHeading, type CueHeading, type CueSplitter, noHeading } from "./cue-splitter.ts";
import { parseCueTime } from "./cue-time.ts";

/** Cuts a text into cues headed by `time --> time`, as in SubRip and WebVTT; undefined when it holds none. */
export function arrowCues(text: CueBytes, format: "srt" | "vtt"): CueSplitter | undefined {
  const { bytes } = text;
  const open = noHeading();
  const next = noHeading();
  if (!findHeading(bytes, 0, open)) return undefined;
  return {
    ...text,
    format,
    open,
    next,
    bodyTo: 0,
    close() {
      if (!findHeading(bytes, open.bodyFrom, next)) return false;
      const to = endOfBody(bytes, open.bodyFrom, next.lineFrom);
      this.bodyTo = format === "vtt" ? firstBlankLine(bytes, open.bodyFrom, to) : to;
      return true;
    },
    advance: () => copyHeading(next, open),
    closeLast() {
      this.bodyTo = firstBlankLine(bytes, open.bodyFrom, bytes.length);
      return format === "srt" && text.text(this.bodyTo, bytes.length).trim() !== "";
    },
  };
}

/** Finds the next heading; false when there is none. */
function findHeading(bytes: Uint8Array, from: number, heading: CueHeading): boolean {
  for (let arrow = nextArrow(bytes, from); arrow >= 0; arrow = nextArrow(bytes, arrow + 3)) {
    if (!readHeading(bytes, arrow, heading)) continue;
    heading.bodyFrom = afterLine(bytes, arrow);
    return true;
  }
  return false;
}

/** Place of the next `-->`, or -1. Looks at every third byte where none can be. */
export function nextArrow(bytes: Uint8Array, from: number): number {
  const length = bytes.length;
  let at = from + 2;
  while (at < length) {
    const code = bytes[at];
    if (code === 62) {
      if (bytes[at - 1] === 45 && bytes[at - 2] === 45) return at - 2;
      at += 3;
    } else if (code === 45) at += 1;
    else at += 3;
  }
  return -1;
}

/** Longest time text, `000:00:00,000000`, with room for spaces. */
const mostHeadingBytes = 24;

/** The times around an arrow, when they stand at the beginning of a line. */
function readHeading(bytes: Uint8Array, arrow: number, heading: CueHeading): boolean {
  const least = Math.max(0, arrow - mostHeadingBytes);
  let startTo = arrow;
  while (startTo > least && bytes[startTo - 1] === 32) startTo -= 1;
  let startFrom = startTo;
  while (startFrom > least && isTimeCode(bytes[startFrom - 1] as number)) startFrom -= 1;
  let lineFrom = startFrom;
  while (lineFrom > least && bytes[lineFrom - 1] === 32) lineFrom -= 1;
  if (lineFrom > 0 && bytes[lineFrom - 1] !== 10) return false;
  const start = parseCueTime(bytes, startFrom, startTo);
  if (start < 0) return false;
  const most = Math.min(bytes.length, arrow + 3 + mostHeadingBytes);
  let endFrom = arrow + 3;
  while (endFrom < most && bytes[endFrom] === 32) endFrom += 1;
  let endTo = endFrom;
  while (endTo < most && isTimeCode(bytes[endTo] as number)) endTo += 1;
  const end = parseCueTime(bytes, endFrom, endTo);
  if (end < 0) return false;
  heading.lineFrom = lineFrom;
  heading.startFrom = startFrom;
  heading.startTo = startTo;
  heading.endFrom = endFrom;
  heading.endTo = endTo;
  heading.times[0] = start;
  heading.times[1] = end;
  return true;
}

const isTimeCode = (code: number): boolean => (code >= 48 && code <= 58) || code === 44 || code === 46;

function afterLine(bytes: Uint8Array, from: number): number {
  let at = from;
  while (at < bytes.length && bytes[at] !== 10) at += 1;
  return Math.min(at + 1, bytes.length);
}

/** Where a cue ends before the next heading: blank lines and the next cue's number are taken off. */
function endOfBody(bytes: Uint8Array, from: number, nextHeading: number): number {
  const to = withoutSpace(bytes, from, nextHeading);
  let digits = to;
  while (digits > from && isDigit(bytes[digits - 1] as number)) digits -= 1;
  const isNumberLine = digits < to && (digits === from || bytes[digits - 1] === 10);
  return isNumberLine ? withoutSpace(bytes, from, digits) : to;
}

function withoutSpace(bytes: Uint8Array, from: number, to: number): number {
  let end = to;
  while (end > from && (bytes[end - 1] as number) <= 32) end -= 1;
  return end;
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57;

/** Place of the first blank line, or the end. */
function firstBlankLine(bytes: Uint8Array, from: number, to: number): number {
  let lineFrom = from;
  let blank = true;
  for (let at = from; at < to; at += 1) {
    const code = bytes[at] as number;
    if (code > 32) blank = false;
    else if (code === 10) {
      if (blank) return lineFrom;
      lineFrom = at + 1;
      blank = true;
    }
  }
  return blank && lineFrom < to ? lineFrom : to;
}
