import { decimalText, partsPerMillion, percentLabel, rate, rateLabel, ratioText, toNumber } from "@goodgate/model";
import { amount, briefOrigin, defineRule, limit } from "../rule.ts";
import { retimedStep } from "../uses.ts";
import { secondsText } from "../words.ts";

export default defineRule({
  id: "near-miss-rate",
  title: "Rate a thousandth off",
  cases: ["A4"],
  scope: "use",
  needs: ["frameRate"],
  decides: false,
  causedBy: ["capture-rate-unproven"],
  hangsOn: ["timelineRate", "treatment"],
  explanation: `
24 and 23.976, 30 and 29.97, 60 and 59.94 differ by one part in 1001. A clip of one on a timeline of the other repeats or
drops one frame every so many seconds. Setting the file's speed to 1000/1001 (99.9 %) or 1001/1000 (100.1 %) makes it
exact. It is no fault of the picture; sound shifts by 1.7 cents and must be resampled with it.
`,
  limits: [
    {
      name: "near miss",
      default: 1500,
      unit: "ppm",
      origin: "computed",
      source: "the pairs are 999 or 1000 ppm apart",
    },
  ],
  remedyOnLocation: "Set the timeline's exact rate next time.",
  remedyInEdit: "Interpret the file at the exact rate: speed 99.9 % or 100.1 %.",
  sources: ["computed"],
  applies: ({ use }) => use.cadence.kind === "near",

  check(_facts, { use, brief }) {
    const { cadence, timeline, rates } = use;
    const off = Math.round(Math.abs(partsPerMillion(cadence.step, retimedStep(cadence))));
    const every = cadence.eventSeconds === undefined ? "" : secondsText(toNumber(cadence.eventSeconds));
    const speed = use.fileSpeed;
    const [clip, edit] = [rateLabel(rates.capture), rateLabel(timeline)];
    return {
      case: "A4",
      grade: brief.soundWanted && use.use === "real time" ? "workable" : "note",
      says: `${clip} fps is a thousandth off ${edit} (${off} ppm, limit 0): a hitch every ${every}; set the speed to ${percentLabel(speed)} % (${ratioText(speed)}).`,
      measured: amount(off, "ppm", `${off} ppm`),
      limit: limit(0, "ppm", "0 ppm", briefOrigin(brief, "timelineRate")),
      remedy: `speed ${percentLabel(speed)} %`,
      onLocation: `set ${edit} fps exactly next time`,
      inEdit: `set the file's speed to ${decimalText(speed, 6)}; resample the sound (1.7 cents)`,
    };
  },

  examples: [
    {
      title: "24 on 23.976",
      facts: { frameRate: rate(24) },
      brief: { timelineRate: rate(24000, 1001) },
      expect: "note",
    },
    {
      title: "59.94 on 30 in real time",
      facts: { frameRate: rate(60000, 1001) },
      brief: { timelineRate: rate(30), treatment: "real" },
      expect: "note",
    },
    {
      title: "24 on 23.976 when the sound must stay in step",
      facts: { frameRate: rate(24) },
      brief: { timelineRate: rate(24000, 1001), soundWanted: true },
      expect: "workable",
    },
    { title: "24 on 24", facts: { frameRate: rate(24) }, brief: { timelineRate: rate(24) }, expect: "silent" },
    {
      title: "24 on 25 is more than a thousandth off",
      facts: { frameRate: rate(24) },
      brief: { timelineRate: rate(25) },
      expect: "silent",
    },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
