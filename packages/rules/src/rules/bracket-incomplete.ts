import type { StillSet } from "@goodgate/model";
import { exampleStill } from "../example-stills.ts";
import { timelessStills } from "../timeless-stills.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";

export default defineRule({
  id: "bracket-incomplete",
  title: "Brackets complete",
  cases: ["K3"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `A bracket with fewer frames than the card's usual one (inferred) was interrupted.`,
  limits: [
    { name: "frames", default: "the usual count of the card", unit: "", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Repeat the bracket.",
  remedyInEdit: "Merge what is there, push the raw.",
  sources: [practice],

  check(_facts, { sets, stills }) {
    const brackets = sets.filter((set) => set.kind === "bracket");
    if (brackets.length === 0) return timelessStills(stills, "brackets");
    const counts = new Map<number, number>();
    for (const { names } of brackets) counts.set(names.length, (counts.get(names.length) ?? 0) + 1);
    // The most common size; of equally common ones the larger, because an interruption only ever loses frames.
    const usual = [...counts].sort((a, b) => b[1] - a[1] || b[0] - a[0])[0]?.[0] ?? 0;
    const found: CardFound[] = brackets
      .filter(({ names }) => names.length < usual)
      .map((set) => ({
        grade: "workable" as const,
        says: `Bracket of ${set.names.length} frames, ${usual} expected (${set.id}): repeat it, or merge what is there.`,
        measured: amount(set.names.length, "frames", `${set.names.length} frames`),
        limit: limit(usual, "frames", `${usual} frames`, "house limit"),
        remedy: "merge what is there",
        onLocation: "repeat the bracket",
        inEdit: "merge what is there, push the raw",
        stills: set.names,
      }));
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "one of two among brackets of three",
      sets: [setOf("bracket 1", 3), setOf("bracket 2", 3), setOf("bracket 3", 2)],
      expect: "workable",
    },
    { title: "all of three", sets: [setOf("bracket 1", 3), setOf("bracket 2", 3)], expect: "passed" },
    { title: "no brackets", sets: [], expect: "silent" },
    {
      title: "stills that do not say when they were taken",
      stills: [exampleStill("A.JPG", {}), exampleStill("B.JPG", {})],
      sets: [],
      expect: "unknown",
    },
  ],
});

function setOf(id: string, count: number): StillSet {
  return {
    id,
    kind: "bracket",
    names: Array.from({ length: count }, (_, place) => `${id}-${place}.JPG`),
    missingNumbers: [],
  };
}
