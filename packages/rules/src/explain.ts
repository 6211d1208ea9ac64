import type { Rule } from "./rule.ts";
import { rules } from "./rule-list.ts";

/** A rule as text, for `explain` and for the documentation pages. */
export interface Explanation {
  readonly id: string;
  readonly title: string;
  readonly cases: readonly string[];
  readonly scope: string;
  /** Facts without which the answer is unknown. */
  readonly needs: readonly string[];
  /** Facts that sharpen the answer. */
  readonly wants: readonly string[];
  /** `yes`, `no`, or `depends on the brief`. */
  readonly decides: string;
  readonly explanation: string;
  readonly limits: Rule["limits"];
  readonly remedyOnLocation: string;
  readonly remedyInEdit: string;
  readonly sources: readonly string[];
  /** What the examples show, with the answer each one gets. */
  readonly examples: readonly { readonly title: string; readonly answer: string }[];
}

/** Everything to print of one rule; undefined when there is no rule of that id. */
export function explain(id: string): Explanation | undefined {
  const rule = rules.find((one) => one.id === id);
  if (rule === undefined) return undefined;
  return {
    id: rule.id,
    title: rule.title,
    cases: rule.cases,
    scope: rule.scope,
    needs: rule.needs,
    wants: rule.wants ?? [],
    decides: typeof rule.decides === "function" ? "depends on the brief" : rule.decides ? "yes" : "no",
    explanation: rule.explanation.trim().replace(/\s*\n\s*/g, " "),
    limits: rule.limits,
    remedyOnLocation: rule.remedyOnLocation,
    remedyInEdit: rule.remedyInEdit,
    sources: rule.sources,
    examples: rule.examples.map(({ title, expect }) => ({ title, answer: expect })),
  };
}
