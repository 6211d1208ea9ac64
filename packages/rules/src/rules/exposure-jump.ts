import { type FactValues, rate, rateLabel, typicalValue, valueOf } from "@goodgate/model";
import { oneOver, startedAt, steps } from "../example-facts.ts";
import { typicalExposure } from "../exposure.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { scenesOf } from "../scenes.ts";
import { nameText, stopsText } from "../words.ts";

const noteStops = 0.67;

export default defineRule({
  id: "exposure-jump",
  title: "Exposure from clip to clip",
  cases: ["L2"],
  scope: "card",
  needs: [],
  asks: ["shutterSeconds", "iso", "createdAt"],
  decides: false,
  explanation: `
Neighbours of one scene whose settings are two thirds of a stop apart. The light may have changed with them, so settings
alone are never more than a note.
`,
  limits: [{ name: "between neighbours", default: noteStops, unit: "stops", origin: "house limit", source: practice }],
  remedyOnLocation: "Keep the exposure through a scene.",
  remedyInEdit: "Match in the grade.",
  sources: [practice],

  check(_facts, { clips }) {
    const found: CardFound[] = [];
    for (const scene of scenesOf(clips)) {
      const known = scene.flatMap(({ clip, facts, rates }) => {
        const [shutter, iso] = [valueOf(facts.shutterSeconds), valueOf(facts.iso)];
        if (shutter === undefined || iso === undefined) return [];
        const exposure = typicalExposure(shutter, iso, valueOf(facts.fNumber) ?? steps(1), valueOf(facts.ndStops));
        if (exposure === undefined) return [];
        const open = Number(exposure.shutterSeconds.numerator) / Number(exposure.shutterSeconds.denominator);
        const nd = valueOf(facts.ndStops);
        const dark = nd === undefined ? 0 : typicalValue(nd, (a, b) => a - b);
        const capture = rates === undefined ? "" : rateLabel(rates.capture);
        return [{ name: clip.name, capture, stops: Math.log2((open * exposure.iso) / exposure.fNumber ** 2) - dark }];
      });
      for (let place = 1; place < known.length; place += 1) {
        const [a, b] = [known[place - 1], known[place]];
        // Another rate has another shutter and another filter.
        if (a === undefined || b === undefined || a.capture !== b.capture) continue;
        const jump = Math.abs(a.stops - b.stops);
        if (jump < noteStops) continue;
        found.push({
          grade: "note",
          says: `${nameText(a.name, 24)} to ${nameText(b.name, 24)}: settings ${stopsText(jump)} apart (limit ${noteStops}), picture not measured; match in the grade.`,
          measured: amount(Number(jump.toFixed(2)), "stops", stopsText(jump)),
          limit: limit(noteStops, "stops", `${noteStops} stops`, "house limit"),
          remedy: "match in the grade",
          onLocation: "keep the exposure through a scene",
          inEdit: "match in the grade",
          clips: [a.name, b.name],
        });
      }
    }
    return found;
  },

  examples: [
    {
      title: "ISO 100, then ISO 200",
      facts: shot(100, "10:00"),
      others: [{ facts: shot(200, "10:05") }],
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "ISO 100, then ISO 125",
      facts: shot(100, "10:00"),
      others: [{ facts: shot(125, "10:05") }],
      brief: { timelineRate: rate(25) },
      expect: "silent",
    },
    {
      title: "no ISO recorded",
      facts: { shutterSeconds: oneOver(50) },
      others: [{ facts: shot(200, "10:05") }],
      expect: "silent",
    },
  ],
});

function shot(iso: number, time: string): Partial<FactValues> {
  return { shutterSeconds: oneOver(50), iso: steps(iso), createdAt: startedAt(`2024-05-01T${time}:00Z`) };
}
