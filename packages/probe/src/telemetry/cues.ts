import { assCues } from "./ass-cues.ts";
import { type CueList, emptyCueList, mostCues } from "./cue-list.ts";
import { parseCueTime } from "./cue-time.ts";

/** Characters looked at for deciding what kind of subtitle file a text is. */
const headCharacters = 8192;

/** Splits a text into cues by what it contains, never by its name. A text without cues gives an empty list. */
export function splitCues(decoded: string): CueList {
  const text = decoded.includes("\n") || !decoded.includes("\r") ? decoded : decoded.replaceAll("\r", "\n");
  const head = text.slice(0, headCharacters);
  if (/^\s*\[Script Info\]/i.test(head) || /(?:^|\n)Dialogue:/i.test(head)) return assCues(text);
  return arrowCues(text, /^\s*WEBVTT/.test(head) ? "vtt" : "srt");
}

/** Cues headed by `time --> time`, as in SubRip and WebVTT. */
function arrowCues(text: string, format: "srt" | "vtt"): CueList {
  const cues = emptyCueList(format, text);
  let bodyFrom = -1;
  let start = 0;
  let end = 0;
  for (let arrow = text.indexOf("-->"); arrow >= 0; arrow = text.indexOf("-->", arrow + 3)) {
    const heading = readHeading(text, arrow);
    if (heading === undefined) continue;
    if (bodyFrom >= 0) pushCue(cues, start, end, bodyFrom, endOfBody(text, bodyFrom, heading.lineFrom));
    if (cues.starts.length >= mostCues) {
      cues.overflow = true;
      return cues;
    }
    const lineEnd = text.indexOf("\n", arrow);
    bodyFrom = lineEnd < 0 ? text.length : lineEnd + 1;
    start = heading.start;
    end = heading.end;
  }
  if (bodyFrom < 0) return cues;
  const bodyTo = firstBlankLine(text, bodyFrom, text.length);
  cues.brokenHeading = format === "srt" && text.slice(bodyTo).trim() !== "";
  pushCue(cues, start, end, bodyFrom, bodyTo);
  return cues;
}

function pushCue(cues: CueList, start: number, end: number, from: number, to: number): void {
  cues.starts.push(start);
  cues.ends.push(end);
  cues.from.push(from);
  cues.to.push(cues.format === "vtt" ? firstBlankLine(cues.text, from, to) : to);
}

/** Longest time text, `000:00:00,000000`, with room for spaces. */
const mostHeadingCharacters = 24;

/** The times around an arrow, when they stand at the beginning of a line. */
function readHeading(text: string, arrow: number): { lineFrom: number; start: number; end: number } | undefined {
  const least = Math.max(0, arrow - mostHeadingCharacters);
  let to = arrow;
  while (to > least && text.charCodeAt(to - 1) === 32) to -= 1;
  let from = to;
  while (from > least && isTimeCode(text.charCodeAt(from - 1))) from -= 1;
  let lineFrom = from;
  while (lineFrom > least && text.charCodeAt(lineFrom - 1) === 32) lineFrom -= 1;
  if (lineFrom > 0 && text.charCodeAt(lineFrom - 1) !== 10) return undefined;
  const start = parseCueTime(text, from, to);
  if (start < 0) return undefined;
  const most = Math.min(text.length, arrow + 3 + mostHeadingCharacters);
  from = arrow + 3;
  while (from < most && text.charCodeAt(from) === 32) from += 1;
  to = from;
  while (to < most && isTimeCode(text.charCodeAt(to))) to += 1;
  const end = parseCueTime(text, from, to);
  return end < 0 ? undefined : { lineFrom, start, end };
}

const isTimeCode = (code: number): boolean => (code >= 48 && code <= 58) || code === 44 || code === 46;

/** Where a cue ends before the next heading: blank lines and the next cue's number are taken off. */
function endOfBody(text: string, from: number, nextHeading: number): number {
  const to = withoutSpace(text, from, nextHeading);
  let digits = to;
  while (digits > from && isDigit(text.charCodeAt(digits - 1))) digits -= 1;
  const isNumberLine = digits < to && (digits === from || text.charCodeAt(digits - 1) === 10);
  return isNumberLine ? withoutSpace(text, from, digits) : to;
}

function withoutSpace(text: string, from: number, to: number): number {
  let end = to;
  while (end > from && text.charCodeAt(end - 1) <= 32) end -= 1;
  return end;
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57;

/** Place of the first blank line, or the end. */
function firstBlankLine(text: string, from: number, to: number): number {
  let at = from;
  while (at < to) {
    // A search bounded by slicing: without a bound a file without line breaks would be walked once per cue.
    const line = text.slice(at, to).indexOf("\n");
    const lineEnd = line < 0 ? to : at + line;
    if (withoutSpace(text, at, lineEnd) === at) return at;
    at = lineEnd + 1;
  }
  return to;
}
