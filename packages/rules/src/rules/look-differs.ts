import { typicalValue, valueOf } from "@goodgate/model";
import { startedAt, words } from "../example-facts.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { pushTo } from "../figures.ts";
import { scenesOf } from "../scenes.ts";
import { listText, shortened } from "../words.ts";

export default defineRule({
  id: "look-differs",
  title: "Colour mode from clip to clip",
  cases: ["L4"],
  scope: "card",
  needs: [],
  asks: ["colourMode", "createdAt"],
  decides: false,
  explanation: `Two colour modes in one scene need separate transforms before they cut together.`,
  limits: [{ name: "modes within a scene", default: 1, unit: "", origin: "house limit", source: practice }],
  remedyOnLocation: "One profile for a scene.",
  remedyInEdit: "Separate transforms.",
  sources: [practice],

  check(_facts, { clips }) {
    const found: CardFound[] = [];
    let asked = false;
    for (const scene of scenesOf(clips)) {
      const modes = new Map<string, string[]>();
      for (const { clip, facts } of scene) {
        const series = valueOf(facts.colourMode);
        if (series === undefined) continue;
        const mode = typicalValue(series, (a, b) => (a < b ? -1 : a > b ? 1 : 0));
        pushTo(modes, mode, clip.name);
      }
      if (modes.size > 0) asked = true;
      if (modes.size < 2) continue;
      const list = listText(
        [...modes.keys()].sort().map((mode) => `${shortened(mode, 20)} (${modes.get(mode)?.length ?? 0})`),
      );
      found.push({
        grade: "workable",
        says: `One scene in ${modes.size} colour modes: ${list}; give each its own transform before matching.`,
        measured: amount(modes.size, "modes", list),
        limit: limit(1, "modes", "one mode", "house limit"),
        remedy: "a transform for each mode",
        onLocation: "one profile for a scene",
        inEdit: "separate transforms before matching",
        clips: [...modes.values()].flat().sort(),
      });
    }
    return found.length === 0 ? (asked ? "passed" : undefined) : found;
  },

  examples: [
    {
      title: "log and normal",
      facts: { colourMode: words("x_log"), createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { colourMode: words("normal"), createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      expect: "workable",
    },
    {
      title: "one mode",
      facts: { colourMode: words("normal"), createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { colourMode: words("normal"), createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      expect: "passed",
    },
    { title: "not recorded", facts: {}, expect: "unknown" },
  ],
});
