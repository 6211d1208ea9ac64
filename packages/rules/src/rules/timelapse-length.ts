import { rate, rateLabel, toNumber, valueOf } from "@goodgate/model";
import { exampleStill } from "../example-stills.ts";
import { timelessStills } from "../timeless-stills.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { secondsText, short } from "../words.ts";

const leastSeconds = 4;

export default defineRule({
  id: "timelapse-length",
  title: "Timelapse length",
  cases: ["K7"],
  scope: "card",
  needs: [],
  decides: false,
  hangsOn: ["timelineRate"],
  explanation: `A timelapse runs as many frames as it has, one for each timeline frame: 100 frames are four seconds at 25. The 180 degree
look asks for a shutter of half the interval. Numbered pictures without times are counted the same way: no still states a rate.`,
  limits: [
    { name: "shortest", default: leastSeconds, unit: "s on the timeline", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "A longer run.",
  remedyInEdit: "Slow it by interpolation.",
  sources: ["computed", practice],

  check(_facts, { sets, stills, brief }) {
    const byName = new Map(stills.map((still) => [still.name, still]));
    const found: CardFound[] = [];
    let asked = false;
    for (const set of sets) {
      if (set.kind !== "timelapse" && set.kind !== "sequence") continue;
      asked = true;
      const length = set.names.length / toNumber(brief.timelineRate);
      if (length >= leastSeconds - 1e-9) continue;
      const first = byName.get(set.names[0] ?? "");
      const open = first === undefined ? undefined : valueOf(first.shutterSeconds);
      const angle =
        open === undefined || set.intervalSeconds === undefined
          ? ""
          : `; shutter angle ${short((360 * toNumber(open)) / set.intervalSeconds, 0)}°`;
      found.push({
        grade: "note",
        says: `${set.names.length} frames (${set.id}) are ${secondsText(length)} at ${rateLabel(brief.timelineRate)} (guide ${leastSeconds} s)${angle}; fly a longer run.`,
        measured: amount(Number(length.toFixed(2)), "s", secondsText(length)),
        limit: limit(leastSeconds, "s", `${leastSeconds} s`, "house limit"),
        remedy: "slow it by interpolation",
        onLocation: "a longer run",
        inEdit: "slow it by interpolation",
        stills: set.names,
      });
    }
    if (found.length > 0) return found;
    return asked ? "passed" : timelessStills(stills, "a timelapse");
  },

  examples: [
    {
      title: "99 frames at 25",
      stills: [exampleStill("T0.JPG", { shutter: 50 })],
      sets: [
        {
          id: "timelapse 1",
          kind: "timelapse",
          names: Array.from({ length: 99 }, (_, place) => `T${place}.JPG`),
          intervalSeconds: 2,
          missingNumbers: [],
        },
      ],
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "100 frames at 25",
      sets: [
        {
          id: "timelapse 1",
          kind: "timelapse",
          names: Array.from({ length: 100 }, (_, place) => `T${place}.JPG`),
          missingNumbers: [],
        },
      ],
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "50 numbered pictures without times at 25",
      sets: [
        {
          id: "sequence 1",
          kind: "sequence",
          names: Array.from({ length: 50 }, (_, place) => `F${place}.PNG`),
          missingNumbers: [],
        },
      ],
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    { title: "no timelapse", sets: [], expect: "silent" },
    {
      title: "stills that do not say when they were taken",
      stills: [exampleStill("A.JPG", {}), exampleStill("B.JPG", {})],
      sets: [],
      expect: "unknown",
    },
  ],
});
