import { divide, rate, rateLabel } from "@goodgate/model";
import { startedAt } from "../example-facts.ts";
import { amount, type CardFound, defineRule, limit } from "../rule.ts";
import { pushTo } from "../figures.ts";
import { scenesOf } from "../scenes.ts";
import { knownCadence } from "../uses.ts";
import { listText } from "../words.ts";

export default defineRule({
  id: "rates-mixed",
  title: "Rates within a scene",
  cases: ["L1"],
  scope: "card",
  needs: [],
  asks: ["createdAt"],
  decides: false,
  hangsOn: ["timelineRate"],
  explanation: `Clips of one scene (same camera, starts within ten minutes: inferred) at several rates, some of which do not fit the timeline.`,
  limits: [{ name: "rates that do not fit", default: 0, unit: "", origin: "computed", source: "exact fractions" }],
  remedyOnLocation: "One rate for real time.",
  remedyInEdit: "See timeline-fit of each clip.",
  sources: ["computed"],

  check(_facts, { clips, brief, usable }) {
    const found: CardFound[] = [];
    let asked = false;
    for (const scene of scenesOf(clips)) {
      asked = true;
      const rates = new Map<string, string[]>();
      const misfit: string[] = [];
      for (const { clip, rates: of } of scene) {
        // A clip planned slow has its rate for that.
        if (of === undefined || usable.get(clip.name) === "slow") continue;
        const label = rateLabel(of.capture);
        pushTo(rates, label, clip.name);
        const { kind } = knownCadence(divide(of.capture, brief.timelineRate), brief.timelineRate);
        if (kind === "uneven skip" || kind === "uneven hold") misfit.push(clip.name);
      }
      if (rates.size < 2 || misfit.length === 0) continue;
      const list = listText(
        [...rates.keys()]
          .sort((a, b) => Number(a) - Number(b))
          .map((label) => `${label} (${rates.get(label)?.length ?? 0})`),
        5,
      );
      found.push({
        grade: "note",
        says: `One scene mixes rates: ${list}; ${misfit.length} of ${scene.length} clips do not fit ${rateLabel(brief.timelineRate)} in real time.`,
        measured: amount(rates.size, "rates", list),
        limit: limit(1, "rates", "one rate for real time", "computed"),
        remedy: "one rate for real time",
        onLocation: "set one rate for real time",
        inEdit: "see each clip's own line",
        clips: misfit,
      });
    }
    return found.length === 0 ? (asked ? "passed" : undefined) : found;
  },

  examples: [
    {
      title: "25 and 30 in one scene for 25",
      facts: { frameRate: rate(30), createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { frameRate: rate(25), createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "25 and 50 in one scene for 25",
      facts: { frameRate: rate(50), createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [{ facts: { frameRate: rate(25), createdAt: startedAt("2024-05-01T10:05:00Z") } }],
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "no start times",
      facts: { frameRate: rate(30) },
      others: [{ facts: { frameRate: rate(25) } }],
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
  ],
});
