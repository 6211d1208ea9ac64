import type { Finding } from "@goodgate/model";
import { longestSentence } from "./words.ts";

/**
 * What a finding lacks of its form: one sentence under 140 characters with the measured value, the limit and a remedy,
 * and the same as data. A value without a number counts as named when one of its words stands in the sentence.
 */
export function formFaults(finding: Finding): readonly string[] {
  const { says, measured, limit } = finding;
  const faults: string[] = [];
  if (says.length > longestSentence) faults.push(`is ${says.length} characters long`);
  // Inside a name the sign stands for its middle; at the end of a word it would be a sentence broken off.
  if (/undefined|NaN|Infinity|\bnull\b|\n|…(?![\w.-])/.test(says)) faults.push("holds no plain words");
  const left = numbersIn(says);
  if (!names(says, left, measured.text)) faults.push(`does not name what was measured: ${measured.text}`);
  if (!names(says, left, limit.text)) faults.push(`does not name the limit: ${limit.text}`);
  const remedies = [finding.remedy, finding.onLocation ?? "", finding.inEdit ?? ""];
  const last = says.slice(Math.max(says.lastIndexOf(";"), says.lastIndexOf(":"), 0));
  if (!remedies.some((remedy) => shares(last, remedy))) faults.push(`does not name the remedy: ${finding.remedy}`);
  for (const amount of [measured, limit]) {
    if (typeof amount.value === "number" ? !Number.isFinite(amount.value) : amount.value === "") {
      faults.push(`carries no value for: ${amount.text}`);
    }
  }
  return faults;
}

const numbersIn = (text: string): string[] => text.match(/\d+(?:\.\d+)?/g) ?? [];
const small = new Set(
  "a an and at be by for if in into is it its of on one or that the them then to was were with".split(" "),
);
/** Words by their first letters, so that `interpolate` is found in `interpolating`. */
const wordsIn = (text: string): readonly string[] =>
  (text.toLowerCase().match(/[a-z]{2,}/g) ?? [])
    .filter((word) => !small.has(word))
    .map((word) => word.slice(0, 5).replace(/s$/, ""));

/** Whether a sentence says all numbers of a text, each once more than those already taken; without one, any word of it. */
function names(says: string, left: string[], text: string): boolean {
  const numbers = numbersIn(text);
  if (numbers.length === 0) return shares(says, text);
  return numbers.every((number) => {
    const at = left.indexOf(number);
    if (at >= 0) left.splice(at, 1);
    return at >= 0;
  });
}

const shares = (says: string, text: string): boolean => {
  const said = new Set([...wordsIn(says), ...numbersIn(says)]);
  return [...wordsIn(text), ...numbersIn(text)].some((word) => said.has(word));
};
