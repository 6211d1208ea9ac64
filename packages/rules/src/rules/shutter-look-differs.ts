import { type FactValues, compare, rate, toNumber, typicalValue, valueOf, viewedAngle, divide } from "@goodgate/model";
import { oneOver, startedAt } from "../example-facts.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { scenesOf } from "../scenes.ts";
import { angleText, nameText, stopsText } from "../words.ts";

const noteStops = 1;

export default defineRule({
  id: "shutter-look-differs",
  title: "Motion blur from clip to clip",
  cases: ["L5"],
  scope: "card",
  needs: [],
  asks: ["shutterSeconds", "createdAt"],
  decides: false,
  hangsOn: ["timelineRate"],
  explanation: `Real-time clips of one scene whose angles on the timeline are a stop apart look different in motion when cut together.`,
  limits: [{ name: "within a scene", default: noteStops, unit: "stops", origin: "house limit", source: practice }],
  remedyOnLocation: "Equal shutter, light held by ND.",
  remedyInEdit: "Add blur to the crisp one.",
  sources: [practice],

  check(_facts, { clips, usable, brief }) {
    const found: CardFound[] = [];
    for (const scene of scenesOf(clips)) {
      const known = scene.flatMap(({ clip, facts, rates }) => {
        const series = valueOf(facts.shutterSeconds);
        if (series === undefined || rates === undefined || usable.get(clip.name) !== "real time") return [];
        const open = typicalValue(series, compare);
        if (open.numerator <= 0n) return [];
        return [
          {
            name: clip.name,
            angle: toNumber(viewedAngle(rates.capture, open, divide(rates.capture, brief.timelineRate))),
          },
        ];
      });
      known.sort((a, b) => a.angle - b.angle || (a.name < b.name ? -1 : 1));
      const [low, high] = [known[0], known.at(-1)];
      if (low === undefined || high === undefined) continue;
      const apart = Math.log2(high.angle / low.angle);
      if (apart < noteStops - 1e-9) continue;
      found.push({
        grade: "note",
        says: `${nameText(low.name, 20)} (${angleText(low.angle)}) looks crisper in motion than ${nameText(high.name, 20)} (${angleText(high.angle)}), ${stopsText(apart)} apart (limit 1); add blur to it.`,
        measured: amount(Number(apart.toFixed(1)), "stops", stopsText(apart)),
        limit: limit(noteStops, "stops", stopsText(noteStops), "house limit"),
        remedy: "add blur to the crisp one",
        onLocation: "equal shutter, light held by ND",
        inEdit: "add blur to the crisp one",
        clips: known.map(({ name }) => name),
      });
    }
    return found;
  },

  examples: [
    {
      title: "1/50 and 1/100 at 25",
      facts: shot(50, "10:00"),
      others: [{ facts: shot(100, "10:05") }],
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "1/50 and 1/99 at 25",
      facts: shot(50, "10:00"),
      others: [{ facts: shot(99, "10:05") }],
      brief: { timelineRate: rate(25) },
      expect: "silent",
    },
    {
      title: "no shutter recorded",
      facts: { frameRate: rate(25) },
      others: [{ facts: shot(50, "10:05") }],
      brief: { timelineRate: rate(25) },
      expect: "silent",
    },
  ],
});

function shot(inverse: number, time: string): Partial<FactValues> {
  return { frameRate: rate(25), shutterSeconds: oneOver(inverse), createdAt: startedAt(`2024-05-01T${time}:00Z`) };
}
