import stringWidth from "string-width";
import { visible } from "./visible.ts";

/** Characters of one column each that join with no other: ASCII, the letters and signs of Latin 1, the ellipsis. */
const plain = /^[\x20-\x7E\xA1-\xAC\xAE-\xFF\u2026]*$/;

/** Columns a text takes on a terminal; plain text is counted without looking at it twice. */
export const width = (text: string): number => (plain.test(text) ? text.length : stringWidth(text));

let graphemes: Intl.Segmenter | undefined;
const characters = (text: string): readonly string[] => {
  if (plain.test(text)) return [...text];
  graphemes ??= new Intl.Segmenter("en", { granularity: "grapheme" });
  return Array.from(graphemes.segment(text), ({ segment }) => segment);
};

/** Marks stacked on one letter past this many are dropped: they take no column and would paint over other lines. */
const mostMarks = 4;
const stacked = new RegExp(`(\\p{M}{${mostMarks}})\\p{M}+`, "gu");

/** Printable text on one line, cut to `columns` with `…` where it was longer. */
export function fitted(text: string, columns: number): string {
  const line = cleaned(text, columns);
  if (width(line) <= columns) return line;
  return `${head(line, columns - 1)}…`;
}

/** Printable text cut at its start: for paths, whose end tells more. */
export function fittedEnd(text: string, columns: number): string {
  // Kept from the end, so the raw text may be cut at the front before anything else is done to it.
  const line = cleaned(text.slice(-8 * columns), columns);
  if (text.length <= 8 * columns && width(line) <= columns) return line;
  return `…${tail(line, columns - 1)}`;
}

/** A hostile text is cut before it is measured: no character takes more than 16 code units of use to a reader. */
const cleaned = (text: string, columns: number): string =>
  visible(text.slice(0, 16 * Math.max(1, columns))).replace(stacked, "$1");

function head(text: string, columns: number): string {
  let kept = "";
  let used = 0;
  for (const character of characters(text)) {
    used += width(character);
    if (used > columns) break;
    kept += character;
  }
  return kept;
}

function tail(text: string, columns: number): string {
  let kept = "";
  let used = 0;
  for (const character of [...characters(text)].toReversed()) {
    used += width(character);
    if (used > columns) break;
    kept = character + kept;
  }
  return kept;
}

/** Text filled with spaces to `columns`. */
export const padded = (text: string, columns: number): string => text + " ".repeat(Math.max(0, columns - width(text)));

/** Longest text that is wrapped; what a rule says is under 140 characters, the rest is hostile. */
const longestWrapped = 2000;

/**
 * Printable text in lines of at most `columns`, broken at spaces, a word too long for a line broken anywhere. Lines
 * after the first start with `indent` spaces. Past `mostLines` the last line ends in `…`.
 */
export function wrapped(text: string, columns: number, indent = 0, mostLines = Number.POSITIVE_INFINITY): string[] {
  const cut = text.length > longestWrapped;
  const words = visible(text.slice(0, longestWrapped))
    .replace(stacked, "$1")
    .split(" ")
    .filter((word) => word !== "");
  const lines: string[] = [];
  const margin = " ".repeat(indent);
  let line = "";
  const room = (): number => columns - (lines.length === 0 ? 0 : indent);
  const close = (): void => {
    lines.push((lines.length === 0 ? "" : margin) + line);
    line = "";
  };
  for (let word of words) {
    if (line !== "" && width(line) + 1 + width(word) <= room()) {
      line += ` ${word}`;
      continue;
    }
    if (line !== "") close();
    while (width(word) > room()) {
      line = head(word, room());
      // A character wider than the line would never fit.
      if (line === "") break;
      word = word.slice(line.length);
      close();
    }
    if (width(word) <= room()) line = word;
  }
  if (line !== "" || lines.length === 0) close();
  if (lines.length <= mostLines && !cut) return lines;
  const kept = lines.slice(0, mostLines);
  const last = kept.pop() ?? "";
  return [...kept, `${head(last, columns - 1)}…`];
}

/** Texts as sentences one after another: a full stop between, a capital letter after it. */
export function sentences(...texts: readonly string[]): string {
  const filled = texts.map((text) => text.trim()).filter((text) => text !== "");
  return filled
    .map((text, place) => {
      const stopped = place === filled.length - 1 || /[.!?…]$/.test(text) ? text : `${text}.`;
      return place === 0 ? stopped : stopped.charAt(0).toUpperCase() + stopped.slice(1);
    })
    .join(" ");
}
