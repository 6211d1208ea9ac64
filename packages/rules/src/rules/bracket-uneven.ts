import type { StillSet } from "@goodgate/model";
import { exampleStill } from "../example-stills.ts";
import { timelessStills } from "../timeless-stills.ts";
import { amount, cannotTell, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { short } from "../words.ts";

const mostStops = 0.34;

export default defineRule({
  id: "bracket-uneven",
  title: "Bracket steps",
  cases: ["K4"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Steps of a bracket that differ by more than a third of a stop: the automatic moved between the frames.`,
  limits: [
    {
      name: "steps apart",
      default: mostStops,
      unit: "stops",
      origin: "house limit",
      source: "one third stop; common practice, no source",
    },
  ],
  remedyOnLocation: "Bracket by time only.",
  remedyInEdit: "Merge by the recorded exposure.",
  sources: [practice],

  check(_facts, { sets, stills }) {
    const found: CardFound[] = [];
    let asked = false;
    let unexposed = false;
    for (const set of sets) {
      if (set.kind !== "bracket" || set.names.length < 3) continue;
      if (set.exposureStops === undefined || set.exposureStops.length < 3) {
        unexposed = true;
        continue;
      }
      asked = true;
      const sorted = [...set.exposureStops].sort((a, b) => a - b);
      const steps = sorted.slice(1).map((stops, place) => stops - (sorted[place] ?? stops));
      const apart = Math.max(...steps) - Math.min(...steps);
      if (apart <= mostStops) continue;
      const list = steps
        .slice(0, 6)
        .map((step) => short(step))
        .join(", ");
      found.push({
        grade: "note",
        says: `Bracket steps of ${list} stops (${set.id}), ${short(apart)} apart (limit a third): merge by the recorded exposure.`,
        measured: amount(Number(apart.toFixed(2)), "stops", `${short(apart)} stops`),
        limit: limit(mostStops, "stops", "a third of a stop", "house limit"),
        remedy: "merge by the recorded exposure",
        onLocation: "bracket by time only",
        inEdit: "merge by the recorded exposure",
        stills: set.names,
      });
    }
    if (found.length > 0) return found;
    if (unexposed) {
      return cannotTell(
        "Whether the steps of a bracket are even is not known: its frames do not record their exposure.",
        ["shutterSeconds", "iso", "fNumber"],
        "stills with their exposure data, as the camera wrote them",
        true,
      );
    }
    return asked ? "passed" : timelessStills(stills, "brackets");
  },

  examples: [
    { title: "steps of 1 and 1.5", sets: [bracket([0, -1, 1.5])], expect: "note" },
    { title: "steps of 1 and 1.33", sets: [bracket([0, -1, 1.33])], expect: "passed" },
    {
      title: "exposures not recorded",
      sets: [{ id: "bracket 1", kind: "bracket", names: ["A", "B", "C"], missingNumbers: [] }],
      expect: "unknown",
    },
    {
      title: "stills that do not say when they were taken",
      stills: [exampleStill("A.JPG", {}), exampleStill("B.JPG", {})],
      sets: [],
      expect: "unknown",
    },
  ],
});

function bracket(exposureStops: readonly number[]): StillSet {
  return {
    id: "bracket 1",
    kind: "bracket",
    names: exposureStops.map((_, place) => `A${place}.JPG`),
    exposureStops,
    missingNumbers: [],
  };
}
