import type { UnknownKeys } from "../telemetry/unknown-keys.ts";
import type { KnownKey } from "./bracketed-keys.ts";

/** One pair: a key as it is known, and where its value stands. */
export interface BracketedPair {
  readonly value: string;
  readonly from: number;
  readonly to: number;
  /** Undefined for a key nobody knows. */
  readonly key: KnownKey | undefined;
}

/**
 * Reads the pairs of a bracket `[key : value, key: value] …` that opens at `open`, before the next one at `end`. Undefined
 * when it never closes.
 */
export function readStretch(
  cue: string,
  open: number,
  end: number,
  keys: ReadonlyMap<string, KnownKey>,
  rest: UnknownKeys,
): readonly BracketedPair[] | undefined {
  const text = cue.slice(open, end);
  const close = text.indexOf("]");
  if (close < 0) return undefined;
  const pairs: BracketedPair[] = [];
  let colon = nextPairColon(text, 1, close);
  while (colon >= 0) {
    const next = nextPairColon(text, colon + 1, close);
    const name = text.slice(startOfKey(text, colon), colon).trimEnd().toLowerCase();
    let from = colon + 1;
    let to = next < 0 ? close : startOfKey(text, next);
    while (from < to && text.charCodeAt(from) <= 32) from += 1;
    while (to > from && (text.charCodeAt(to - 1) <= 32 || text.charCodeAt(to - 1) === 44)) to -= 1;
    const key = keys.get(name);
    const value = text.slice(from, to);
    if (key?.field === undefined) rest.add(name, value);
    pairs.push({ value, from: open + from, to: open + to, key });
    colon = next;
  }
  return pairs;
}

/** The next colon that follows a key; one after digits only, as in a time of day, belongs to a value. */
function nextPairColon(text: string, from: number, to: number): number {
  for (let colon = text.indexOf(":", from); colon >= 0 && colon < to; colon = text.indexOf(":", colon + 1)) {
    for (let at = startOfKey(text, colon); at < colon; at += 1) if (isLetter(text.charCodeAt(at))) return colon;
  }
  return -1;
}

/** Longest key looked back for. */
const mostKeyCharacters = 40;

/** Start of the word before a colon, spaces between them skipped. */
function startOfKey(text: string, colon: number): number {
  const least = Math.max(1, colon - mostKeyCharacters);
  let at = colon;
  while (at > least && text.charCodeAt(at - 1) === 32) at -= 1;
  while (at > least && isWordCode(text.charCodeAt(at - 1))) at -= 1;
  return at;
}

const isLetter = (code: number): boolean => (code | 32) >= 97 && (code | 32) <= 122;
const isWordCode = (code: number): boolean =>
  (code >= 48 && code <= 57) || isLetter(code) || code === 95 || code === 46 || code === 45;
