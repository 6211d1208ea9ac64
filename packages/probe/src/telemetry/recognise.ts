import { dialects } from "../dialects/dialects.ts";
import type { Dialect } from "../dialects/dialect.ts";
import { plainText } from "../dialects/plain-text.ts";

/** Cues looked at from each of the beginning, the middle and the end. */
const lookedAtPerPlace = 5;
/** Share of them that must be of one dialect. */
const leastShare = 0.8;
/** Longest cue that is read: dialects write under 700 characters. */
export const mostCueCharacters = 8192;

/** The places to look at in a list of `count` cues: five from the beginning, the middle and the end. */
export function placesToLookAt(count: number): readonly number[] {
  if (count <= 3 * lookedAtPerPlace) return Array.from({ length: count }, (_, place) => place);
  const middle = (count - lookedAtPerPlace) >> 1;
  const run = (from: number): number[] => Array.from({ length: lookedAtPerPlace }, (_, place) => from + place);
  return [...run(0), ...run(middle), ...run(count - lookedAtPerPlace)];
}

/** The dialect at least four fifths of the non-empty cues are written in. */
export function recognise(cues: readonly string[]): Dialect | undefined {
  const filled = cues.filter((cue) => cue.trim() !== "" && cue.length <= mostCueCharacters);
  if (filled.length === 0) return undefined;
  return dialects.find((dialect) => {
    const own = filled.filter((cue) => dialect.recognises(cue)).length;
    return own / filled.length >= leastShare;
  });
}

/** What text that is no known telemetry seems to be: a line full of numbers is somebody's vocabulary, the rest speech. */
export function guessContent(cues: readonly string[]): "speech" | "unknown vocabulary" | "nothing" {
  const text = cues.map((cue) => plainText(cue.slice(0, mostCueCharacters))).join("\n");
  let digits = 0;
  let letters = 0;
  for (let at = 0; at < text.length; at += 1) {
    const code = text.charCodeAt(at);
    if (code >= 48 && code <= 57) digits += 1;
    else if (code > 127 || ((code | 32) >= 97 && (code | 32) <= 122)) letters += 1;
  }
  if (digits + letters === 0) return "nothing";
  return digits > letters / 2 ? "unknown vocabulary" : "speech";
}
