import {
  type FactValues,
  compare,
  rate,
  rateCostStops,
  rateLabel,
  toNumber,
  typicalValue,
  valueOf,
} from "@goodgate/model";
import { startedAt, steps } from "../example-facts.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { scenesOf } from "../scenes.ts";
import { short, stopsText } from "../words.ts";

const noteStops = 1;

export default defineRule({
  id: "light-cost-of-rate",
  title: "What a faster rate cost in ISO",
  cases: ["B7"],
  scope: "card",
  needs: [],
  asks: ["iso", "createdAt"],
  decides: false,
  explanation: `
Twice the rate at an equal angle costs one stop. When ISO rose by a stop more than that between clips of one scene, the
filter could have come off first.
`,
  limits: [
    {
      name: "ISO above what the rate explains",
      default: noteStops,
      unit: "stops",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Take ND off before raising ISO.",
  remedyInEdit: "Noise reduction on the slow clips.",
  sources: ["computed: log2 of the rates"],

  check(_facts, { clips }) {
    const found: CardFound[] = [];
    for (const scene of scenesOf(clips)) {
      const known = scene.flatMap(({ clip, facts, rates }) => {
        const iso = valueOf(facts.iso);
        return iso === undefined || rates === undefined
          ? []
          : [{ name: clip.name, capture: rates.capture, iso: typicalValue(iso, (a, b) => a - b) }];
      });
      const slowest = known.toSorted((a, b) => compare(a.capture, b.capture) || a.iso - b.iso)[0];
      const fastest = known.toSorted((a, b) => compare(b.capture, a.capture) || b.iso - a.iso)[0];
      if (slowest === undefined || fastest === undefined || compare(slowest.capture, fastest.capture) === 0) continue;
      const cost = rateCostStops(toNumber(slowest.capture), toNumber(fastest.capture));
      const rose = Math.log2(fastest.iso / slowest.iso);
      if (rose - cost < noteStops - 1e-9) continue;
      found.push({
        grade: "note",
        says: `${rateLabel(fastest.capture)} fps costs ${stopsText(cost)} against ${rateLabel(slowest.capture)}; ISO rose ${stopsText(rose)}, ${slowest.iso} to ${fastest.iso} (limit ${short(cost + noteStops)}): take ND off first.`,
        measured: amount(Number(rose.toFixed(1)), "stops", stopsText(rose)),
        limit: limit(Number((cost + noteStops).toFixed(1)), "stops", stopsText(cost + noteStops), "computed"),
        remedy: "take ND off before raising ISO",
        onLocation: `take ${stopsText(rose)} of ND off before raising ISO`,
        inEdit: "noise reduction on the slow clips",
        clips: [slowest.name, fastest.name],
      });
    }
    return found;
  },

  examples: [
    {
      title: "25 to 50 and ISO 100 to 400",
      facts: at(50, 400, "10:00"),
      others: [{ facts: at(25, 100, "10:05") }],
      expect: "note",
    },
    {
      title: "25 to 50 and ISO 100 to 320",
      facts: at(50, 320, "10:00"),
      others: [{ facts: at(25, 100, "10:05") }],
      expect: "silent",
    },
    {
      title: "another scene, an hour later",
      facts: at(50, 400, "10:00"),
      others: [{ facts: at(25, 100, "11:05") }],
      expect: "silent",
    },
  ],
});

function at(frames: number, iso: number, time: string): Partial<FactValues> {
  return { frameRate: rate(frames), iso: steps(iso), createdAt: startedAt(`2024-05-01T${time}:00Z`) };
}
