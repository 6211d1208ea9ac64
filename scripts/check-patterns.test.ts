import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { cacheFolder } from "../fixtures/places.ts";
import { packagePatterns, type Pattern, patternsIn, type PatternWork, workOf } from "./check-patterns.ts";

/** Patterns that take longer than their text is long, with the longest text that reaches them and why. */
const bounded: Readonly<Record<string, { readonly longest: number; readonly why: string }>> = {
  "probe/src/dialects/colon-settings.ts": { longest: 65_536, why: "one cue" },
  "rules/src/clock-text.ts": { longest: 100, why: "longestClock" },
  "probe/src/sidecars/creation-time.ts": { longest: 100, why: "longestTime" },
  "probe/src/card/places.ts": { longest: 1024, why: "a file name; file systems end at 255 characters" },
  "probe/src/card/join-spans.ts": { longest: 1024, why: "a file name; file systems end at 255 characters" },
  "rules/src/explain.ts": { longest: 4096, why: "our own explanations" },
};
/** A pattern run on its worst text of the longest length takes no longer. */
const mostMilliseconds = 100;
/** Patterns made at run time, from our own pieces; each was read by a person. */
const madeAtRunTime = ["packages/probe/src/dialects/slash-line.ts", "packages/report/src/printed-text.ts"];

test("no pattern is slow on a text that can reach it", { timeout: 900_000 }, () => {
  const { literals, made } = packagePatterns();
  expect(literals.length).toBeGreaterThan(100);
  const wrong: string[] = [];
  for (const pattern of literals) {
    if (isKnownLinear(pattern)) continue;
    const { growth, worst } = workOf(pattern);
    if (growth === "linear") {
      rememberLinear(pattern);
      continue;
    }
    const place = `${pattern.path}:${pattern.line} /${pattern.source}/${pattern.flags}`;
    const bound = bounded[pattern.path.replace("packages/", "")];
    if (growth !== "polynomial" || bound === undefined || worst === undefined) wrong.push(`${place}: ${growth} time`);
    else if (millisecondsOf(pattern, worst(bound.longest)) > mostMilliseconds)
      wrong.push(`${place}: slow on ${bound.why}`);
  }
  keepKnown();
  expect(wrong).toEqual([]);
  expect([...new Set(made.map(({ path }) => path))].sort()).toEqual(madeAtRunTime);
});

test("the check finds what it is there for", () => {
  const [loop, trailing, plain] = patternsIn(
    "const a = /(a+)+$/; b.replace(/\\s+$/, ''); /^[a-z]{1,9}$/i.test(c)",
    "x.ts",
  );
  expect([loop, trailing, plain].map((each) => each && workOf(each).growth)).toEqual([
    "exponential",
    "polynomial",
    "linear",
  ]);
  const slow = workOf(loop as Pattern) as Required<PatternWork>;
  // Twenty-five characters of the attack it found: two to the power of that many steps.
  expect(millisecondsOf(loop as Pattern, slow.worst(25))).toBeGreaterThan(50);
  expect(patternsIn("new RegExp(text)", "x.ts")).toMatchObject([{ source: "" }]);
});

function millisecondsOf({ source, flags }: Pattern, text: string): number {
  const pattern = new RegExp(source, flags);
  const began = process.cpuUsage();
  text.replace(pattern, "");
  const { user, system } = process.cpuUsage(began);
  return (user + system) / 1000;
}

// The search takes half a minute for all patterns and gives the same each time: what was found linear is kept.
const keptFile = join(cacheFolder, "linear-patterns.json");
const known = new Set<string>(existsSync(keptFile) ? (JSON.parse(readFileSync(keptFile, "utf8")) as string[]) : []);
const nameOf = ({ source, flags }: Pattern): string => `/${source}/${flags}`;
const isKnownLinear = (pattern: Pattern): boolean => known.has(nameOf(pattern));
const rememberLinear = (pattern: Pattern): void => void known.add(nameOf(pattern));
function keepKnown(): void {
  mkdirSync(cacheFolder, { recursive: true });
  writeFileSync(keptFile, JSON.stringify([...known].sort()));
}
