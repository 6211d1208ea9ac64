import { extremes, isoCeilingOf, shareWhere } from "@goodgate/model";
import { partly, steps } from "../example-facts.ts";
import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { shareText, stopsText } from "../words.ts";

/** Less time than this over the ceiling is a glance of the automatic. House limit. */
const leastShare = 0.05;
/** Records must speak for this share of the clip before it passes. House limit. */
const leastCoverage = 0.9;

export default defineRule({
  id: "iso-ceiling",
  title: "ISO ceiling",
  cases: ["D1"],
  scope: "clip",
  needs: ["iso"],
  decides: true,
  explanation: `
The brief may state a highest ISO for all clips or for some. A clip is over it when more than 5 % of its time is: up to
one stop over is a note, more needs noise reduction, more than two stops cannot be saved for the stated use.
`,
  limits: [
    {
      name: "time over the ceiling",
      default: leastShare,
      unit: "share of the clip",
      origin: "house limit",
      source: practice,
    },
    {
      name: "records cover at least",
      default: leastCoverage,
      unit: "share of the clip",
      origin: "house limit",
      source: practice,
    },
    { name: "needs work from", default: 1, unit: "stops over", origin: "house limit", source: practice },
    { name: "reshoot from", default: 2, unit: "stops over", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Take ND off, open the shutter towards 180 degrees, or capture fewer frames a second.",
  remedyInEdit: "Noise reduction before grading.",
  sources: ["the ceiling is the brief's", practice],
  applies: ({ brief, clip }) => isoCeilingOf(brief, clip.name) !== undefined,

  check({ iso }, { brief, clip }) {
    const ceiling = isoCeilingOf(brief, clip.name);
    if (ceiling === undefined) return undefined;
    const share = shareWhere(iso, (value) => value > ceiling);
    if (share <= leastShare) {
      if (iso.coverage >= leastCoverage) return "passed";
      return cannotTell(
        `ISO ceiling not judged: the records speak for ${shareText(iso.coverage)} of the clip only (90 % needed).`,
        ["iso"],
        "a telemetry track or sidecar that covers the whole clip",
      );
    }
    const most = extremes(iso, (a, b) => a - b).most;
    const over = Math.log2(most / ceiling);
    const lasting = (stops: number): boolean =>
      shareWhere(iso, (value) => Math.log2(value / ceiling) > stops + 1e-9) > leastShare;
    return {
      grade: lasting(2) ? "reshoot" : lasting(1) ? "workable" : "note",
      says: `ISO ${most}, ${stopsText(over)} over the ceiling of ${ceiling}, over it for ${shareText(share)} of the clip; less ND or fewer fps.`,
      measured: amount(most, "ISO", `ISO ${most}`),
      limit: limit(ceiling, "ISO", `ISO ${ceiling}`, "brief"),
      remedy: "less ND, a longer shutter, or fewer fps",
      onLocation: `take ${stopsText(over)} of ND off, or open the shutter towards 180 degrees, or capture fewer fps`,
      inEdit: "noise reduction before grading; look at the shadows first",
    };
  },

  examples: [
    {
      title: "ISO 3200 under a ceiling of 800",
      facts: { iso: steps(3200) },
      brief: { isoCeiling: 800 },
      expect: "workable",
    },
    {
      title: "ISO 3201 under a ceiling of 800: over two stops",
      facts: { iso: steps(3201) },
      brief: { isoCeiling: 800 },
      expect: "reshoot",
    },
    {
      title: "ISO 1600 under a ceiling of 800: one stop",
      facts: { iso: steps(1600) },
      brief: { isoCeiling: 800 },
      expect: "note",
    },
    {
      title: "ISO 800 under a ceiling of 800",
      facts: { iso: steps(800) },
      brief: { isoCeiling: 800 },
      expect: "passed",
    },
    {
      title: "over it for a twentieth of the time",
      facts: { iso: steps(...Array<number>(19).fill(100), 6400) },
      brief: { isoCeiling: 800 },
      expect: "passed",
    },
    {
      title: "records for 89 % of the clip, all under the ceiling",
      facts: { iso: partly(steps(100), 0.89) },
      brief: { isoCeiling: 800 },
      expect: "unknown",
    },
    {
      title: "records for half of the clip, all over the ceiling",
      facts: { iso: partly(steps(6400), 0.5) },
      brief: { isoCeiling: 800 },
      expect: "reshoot",
    },
    { title: "no ceiling given", facts: { iso: steps(6400) }, expect: "silent" },
    {
      title: "a ceiling for another folder",
      name: "day/A.MP4",
      facts: { iso: steps(6400) },
      brief: { isoCeilings: [{ pattern: "night", ceiling: 800 }] },
      expect: "silent",
    },
    { title: "a ceiling and no ISO recorded", facts: {}, brief: { isoCeiling: 800 }, expect: "unknown" },
  ],
});
