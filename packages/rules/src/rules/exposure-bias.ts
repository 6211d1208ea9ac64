import { extremes } from "@goodgate/model";
import { steps } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { short } from "../words.ts";

const noteStops = 0.33;

export default defineRule({
  id: "exposure-bias",
  title: "Exposure bias",
  cases: ["D8"],
  scope: "clip",
  needs: [],
  wants: ["exposureBias"],
  asks: ["exposureBias"],
  decides: false,
  explanation: `A bias left on from an earlier flight darkens or brightens everything the automatic exposes.`,
  limits: [{ name: "worth a note from", default: noteStops, unit: "stops", origin: "house limit", source: practice }],
  remedyOnLocation: "Set the bias back if it was not meant.",
  remedyInEdit: "Expect the picture to be off by as much.",
  sources: [practice],

  check(_facts, { wants }) {
    if (wants.exposureBias?.state !== "read") return undefined;
    const { least, most } = extremes(wants.exposureBias.value, (a, b) => a - b);
    const bias = Math.abs(least) > Math.abs(most) ? least : most;
    if (Math.abs(bias) < noteStops) return "passed";
    const text = `${bias > 0 ? "+" : "−"}${short(Math.abs(bias), 2)}`;
    return {
      grade: "note",
      says: `An exposure bias of ${text} stops was on (limit ${short(noteStops, 2)}); set it to 0 if it was not meant.`,
      measured: amount(bias, "stops", `${text} stops`),
      limit: limit(noteStops, "stops", `${short(noteStops, 2)} stops`, "house limit"),
      remedy: "set the bias to 0",
      onLocation: "set the bias to 0 if it was not meant",
      inEdit: `expect ${text} stops`,
    };
  },

  examples: [
    { title: "minus 0.7", facts: { exposureBias: steps(-0.7) }, expect: "note" },
    { title: "a third of a stop as cameras write it", facts: { exposureBias: steps(0.33) }, expect: "note" },
    { title: "plus 0.3", facts: { exposureBias: steps(0.3) }, expect: "passed" },
    { title: "zero", facts: { exposureBias: steps(0) }, expect: "passed" },
    { title: "no bias recorded", facts: {}, expect: "unknown" },
  ],
});
