import { miredApart, typicalValue, valueOf } from "@goodgate/model";
import { startedAt, steps } from "../example-facts.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { scenesOf } from "../scenes.ts";
import { nameText, short } from "../words.ts";

const workableMired = 15;

export default defineRule({
  id: "white-balance-differs",
  title: "White balance from clip to clip",
  cases: ["L3"],
  scope: "card",
  needs: [],
  asks: ["whiteBalanceKelvin", "createdAt"],
  decides: false,
  explanation: `Clips of one scene whose colour temperatures are 15 mired apart need matching in the grade.`,
  limits: [{ name: "within a scene", default: workableMired, unit: "mired", origin: "house limit", source: practice }],
  remedyOnLocation: "Fix the white balance by hand.",
  remedyInEdit: "Match the temperatures.",
  sources: [practice],

  check(_facts, { clips }) {
    const found: CardFound[] = [];
    let asked = false;
    for (const scene of scenesOf(clips)) {
      const known = scene.flatMap(({ clip, facts }) => {
        const series = valueOf(facts.whiteBalanceKelvin);
        const kelvin = series === undefined ? 0 : typicalValue(series, (a, b) => a - b);
        return kelvin > 0 ? [{ name: clip.name, kelvin }] : [];
      });
      if (known.length < 2) continue;
      asked = true;
      known.sort((a, b) => a.kelvin - b.kelvin || (a.name < b.name ? -1 : 1));
      const [low, high] = [known[0], known.at(-1)];
      if (low === undefined || high === undefined) continue;
      const apart = miredApart(low.kelvin, high.kelvin);
      if (apart < workableMired - 1e-9) continue;
      found.push({
        grade: "workable",
        says: `${nameText(low.name, 20)} at ${low.kelvin} K and ${nameText(high.name, 20)} at ${high.kelvin} K: ${short(apart, 0)} mired in one scene (limit 15); match them.`,
        measured: amount(Number(apart.toFixed(1)), "mired", `${short(apart, 0)} mired`),
        limit: limit(workableMired, "mired", `${workableMired} mired`, "house limit"),
        remedy: "match the temperatures",
        onLocation: "fix the white balance by hand",
        inEdit: "match the temperatures",
        clips: known.map(({ name }) => name),
      });
    }
    return found.length === 0 ? (asked ? "passed" : undefined) : found;
  },

  examples: [
    {
      title: "5000 and 5500 K",
      facts: { whiteBalanceKelvin: steps(5000), createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { whiteBalanceKelvin: steps(5500), createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      expect: "workable",
    },
    {
      title: "5000 and 5300 K",
      facts: { whiteBalanceKelvin: steps(5000), createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { whiteBalanceKelvin: steps(5300), createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      expect: "passed",
    },
    { title: "not recorded", facts: {}, expect: "unknown" },
  ],
});
