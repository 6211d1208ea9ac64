import { assCues } from "./ass-cues.ts";
import type { CueBytes } from "./cue-bytes.ts";
import { type CueList, emptyCueList, pushCue } from "./cue-list.ts";
import { parseCueTime } from "./cue-time.ts";

/** Bytes looked at for deciding what kind of subtitle file a text is. */
const headBytes = 8192;

/** Splits a text into cues by what it contains, never by its name. A text without cues gives an empty list. */
export function splitCues(text: CueBytes): CueList {
  const head = text.text(0, Math.min(headBytes, text.bytes.length));
  if (/^\s*\[Script Info\]/i.test(head) || /(?:^|\n)Dialogue:/i.test(head)) return assCues(text);
  return arrowCues(text, /^\s*WEBVTT/.test(head) ? "vtt" : "srt");
}

/** The times around an arrow, when they stand at the beginning of a line. One for all: a cue in two is read from here. */
interface Heading {
  lineFrom: number;
  start: number;
  end: number;
}

/** Cues headed by `time --> time`, as in SubRip and WebVTT. */
function arrowCues(text: CueBytes, format: "srt" | "vtt"): CueList {
  const { bytes } = text;
  const cues = emptyCueList(format, text);
  const heading: Heading = { lineFrom: 0, start: 0, end: 0 };
  let bodyFrom = -1;
  let start = 0;
  let end = 0;
  for (let arrow = nextArrow(bytes, 0); arrow >= 0; arrow = nextArrow(bytes, arrow + 3)) {
    if (!readHeading(bytes, arrow, heading)) continue;
    if (bodyFrom >= 0) {
      const bodyTo = endOfBody(bytes, bodyFrom, heading.lineFrom);
      const to = format === "vtt" ? firstBlankLine(bytes, bodyFrom, bodyTo) : bodyTo;
      if (!pushCue(cues, start, end, bodyFrom, to)) return cues;
    }
    bodyFrom = afterLine(bytes, arrow);
    start = heading.start;
    end = heading.end;
  }
  if (bodyFrom < 0) return cues;
  const bodyTo = firstBlankLine(bytes, bodyFrom, bytes.length);
  if (!pushCue(cues, start, end, bodyFrom, bodyTo)) return cues;
  cues.brokenHeading = format === "srt" && text.text(bodyTo, bytes.length).trim() !== "";
  return cues;
}

/** Place of the next `-->`, or -1. Looks at every third byte where none can be. */
function nextArrow(bytes: Uint8Array, from: number): number {
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

function readHeading(bytes: Uint8Array, arrow: number, heading: Heading): boolean {
  const least = Math.max(0, arrow - mostHeadingBytes);
  let to = arrow;
  while (to > least && bytes[to - 1] === 32) to -= 1;
  let from = to;
  while (from > least && isTimeCode(bytes[from - 1] as number)) from -= 1;
  let lineFrom = from;
  while (lineFrom > least && bytes[lineFrom - 1] === 32) lineFrom -= 1;
  if (lineFrom > 0 && bytes[lineFrom - 1] !== 10) return false;
  const start = parseCueTime(bytes, from, to);
  if (start < 0) return false;
  const most = Math.min(bytes.length, arrow + 3 + mostHeadingBytes);
  from = arrow + 3;
  while (from < most && bytes[from] === 32) from += 1;
  to = from;
  while (to < most && isTimeCode(bytes[to] as number)) to += 1;
  const end = parseCueTime(bytes, from, to);
  if (end < 0) return false;
  heading.lineFrom = lineFrom;
  heading.start = start;
  heading.end = end;
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
