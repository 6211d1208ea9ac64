// usage: tsx scripts/check-patterns.ts
// Prints every regular expression of the packages whose time can grow faster than the text it reads.
import { pathToFileURL } from "node:url";
import { checkSync } from "recheck";
import { parseAst } from "vitest/node";
import { projectFiles, projectText } from "./check-files.ts";

/** A regular expression as written in a source. */
export interface Pattern {
  readonly path: string;
  readonly line: number;
  readonly source: string;
  readonly flags: string;
}

/** What a hostile text can make of a pattern. */
export interface PatternWork {
  /** `linear` time is fine; `polynomial` and `exponential` time grow faster than the text; `unknown` is never a pass. */
  readonly growth: "linear" | "polynomial" | "exponential" | "unknown";
  /** A text of about so many characters that makes it slow. */
  readonly worst?: (length: number) => string;
}

/** Every regular expression literal of the packages' own sources, tests left out, and every one made at run time. */
export function packagePatterns(): { readonly literals: readonly Pattern[]; readonly made: readonly Pattern[] } {
  const literals: Pattern[] = [];
  const made: Pattern[] = [];
  for (const path of projectFiles()) {
    if (!/^packages\/[^/]+\/src\/.*\.(ts|js)$/.test(path) || path.endsWith(".test.ts")) continue;
    const text = projectText(path);
    for (const found of patternsIn(text, path)) {
      (found.source === "" ? made : literals).push(found);
    }
  }
  return { literals, made };
}

/** The regular expressions in one source; one that is made at run time has an empty source. */
export function patternsIn(text: string, path: string): readonly Pattern[] {
  const found: Pattern[] = [];
  const lineOf = (offset: number): number => text.slice(0, offset).split("\n").length;
  const visit = (node: unknown): void => {
    if (typeof node !== "object" || node === null) return;
    if (Array.isArray(node)) return node.forEach(visit);
    const { type, regex, callee, start } = node as {
      readonly type?: string;
      readonly regex?: { readonly pattern: string; readonly flags: string };
      readonly callee?: { readonly name?: string };
      readonly start?: number;
    };
    const line = lineOf(start ?? 0);
    if (type === "Literal" && regex !== undefined) {
      found.push({ path, line, source: regex.pattern, flags: regex.flags });
    } else if ((type === "NewExpression" || type === "CallExpression") && callee?.name === "RegExp") {
      found.push({ path, line, source: "", flags: "" });
    }
    Object.values(node).forEach(visit);
  };
  visit(parseAst(text, { lang: path.endsWith(".ts") ? "ts" : "js" }));
  return found;
}

/** Time for one pattern before it counts as unknown, in milliseconds. */
const timeout = 100_000;

/** Asks recheck, which searches for a text that makes the pattern slow and proves there is none when it can. */
export function workOf({ source, flags }: Pick<Pattern, "source" | "flags">): PatternWork {
  // Its other engines want Java or a program of their own.
  process.env["RECHECK_BACKEND"] = "pure";
  const found = checkSync(source, flags, { timeout });
  if (found.status === "safe") return { growth: "linear" };
  if (found.status === "unknown") return { growth: "unknown" };
  const { pumps, suffix } = found.attack;
  return {
    growth: found.complexity.type,
    worst: (length) =>
      pumps.map(({ prefix, pump }) => prefix + repeated(pump, length / pumps.length)).join("") + suffix,
  };
}

const repeated = (text: string, length: number): string =>
  text === "" ? "" : text.repeat(Math.max(1, Math.floor(length / text.length)));

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const { literals, made } = packagePatterns();
  for (const pattern of literals) {
    const { growth } = workOf(pattern);
    if (growth !== "linear")
      console.log(`${growth}  ${pattern.path}:${pattern.line}  /${pattern.source}/${pattern.flags}`);
  }
  for (const { path, line } of made) console.log(`made at run time  ${path}:${line}`);
  console.log(`${literals.length} patterns`);
}
