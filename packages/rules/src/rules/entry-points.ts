import { amount, defineRule, limit, practice } from "../rule.ts";
import { rate } from "@goodgate/model";
import { secondsText } from "../words.ts";

const longestGapSeconds = 10;

export default defineRule({
  id: "entry-points",
  title: "Frames that decode alone",
  cases: ["H9"],
  scope: "clip",
  needs: [],
  wants: ["syncSamples", "frameRate"],
  asks: ["syncSamples"],
  decides: false,
  explanation: `Playback can begin only at a frame that decodes alone. A clip that does not begin with one, or has one only every ten
seconds and more, is slow to scrub and may show broken pictures at the start.`,
  limits: [
    { name: "between two of them", default: longestGapSeconds, unit: "s", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Trim from the first clean entry; make an edit copy for scrubbing.",
  sources: [practice],

  check(_facts, { wants }) {
    if (wants.syncSamples?.state !== "read") return undefined;
    const { firstFrame, longestGapSeconds: gap } = wants.syncSamples.value;
    const plays =
      wants.frameRate?.state === "read"
        ? Number(wants.frameRate.value.numerator) / Number(wants.frameRate.value.denominator)
        : undefined;
    if (firstFrame > 0) {
      const at = plays === undefined ? `frame ${firstFrame}` : secondsText(firstFrame / plays);
      return {
        grade: "note",
        says: `Frame ${firstFrame} is the first that decodes alone (limit frame 0): players start in a blur; trim from ${at}.`,
        measured: amount(firstFrame, "frames", `frame ${firstFrame}`),
        limit: limit(0, "frames", "frame 0", "house limit"),
        remedy: `trim from ${at}`,
        inEdit: `trim from ${at}`,
      };
    }
    if (gap <= longestGapSeconds) return "passed";
    return {
      grade: "note",
      says: `Up to ${secondsText(gap)} between frames that decode alone (limit ${longestGapSeconds} s); make an edit copy for scrubbing.`,
      measured: amount(Number(gap.toFixed(2)), "s", secondsText(gap)),
      limit: limit(longestGapSeconds, "s", `${longestGapSeconds} s`, "house limit"),
      remedy: "make an edit copy",
      inEdit: "make an edit copy for scrubbing",
    };
  },

  examples: [
    {
      title: "the first one is frame 12",
      facts: { frameRate: rate(25), syncSamples: { count: 9, firstFrame: 12, longestGapSeconds: 1 } },
      expect: "note",
    },
    {
      title: "eleven seconds between two",
      facts: { syncSamples: { count: 2, firstFrame: 0, longestGapSeconds: 11 } },
      expect: "note",
    },
    {
      title: "ten seconds between two",
      facts: { syncSamples: { count: 2, firstFrame: 0, longestGapSeconds: 10 } },
      expect: "passed",
    },
    { title: "not read", facts: {}, expect: "unknown" },
  ],
});
