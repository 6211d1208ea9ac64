import { rate, rateLabel, toNumber, typicalValue } from "@goodgate/model";
import { steps, stepsEvery } from "../example-facts.ts";
import { amount, defineRule, limit } from "../rule.ts";
import { fastestTurn } from "../turning.ts";
import { secondsText, short } from "../words.ts";

/** One picture width in seven seconds at 24 frames a second. */
const widthSeconds = 7;
const referenceRate = 24;

export default defineRule({
  id: "pan-speed",
  title: "Pan speed",
  cases: ["C7"],
  scope: "use",
  needs: ["frameRate"],
  wants: ["yawDegrees", "focalLength35mm"],
  asks: ["yawDegrees", "focalLength35mm"],
  decides: false,
  causedBy: ["capture-rate-unproven"],
  hangsOn: ["timelineRate", "treatment"],
  explanation: `
A pan that crosses the picture too fast breaks into single pictures. The rule of thumb is one picture width in seven
seconds at 24 frames a second, more on faster timelines in proportion. The heading is the record's, the width of view
comes from the focal length (35 mm equivalent), both in the telemetry. Slow motion stretches the time.
`,
  limits: [
    {
      name: "one picture width in",
      default: widthSeconds,
      unit: "s at 24 fps",
      origin: "house limit",
      source: "camera makers' teaching pages on panning",
    },
  ],
  remedyOnLocation: "Turn more slowly.",
  remedyInEdit: "Slow it if it was captured fast enough, or use it as a whip pan.",
  sources: [
    "one picture width in seven seconds: camera makers' teaching pages",
    "scaling with the timeline rate: common practice, no source",
  ],
  // Motion measured in the pictures speaks for itself: pan-measured.
  applies: ({ use, pictures }) => use.use === "real time" && !use.rates.timelapse && pictures?.motion?.state !== "read",

  check(_facts, { wants, use }) {
    if (wants.yawDegrees?.state !== "read" || wants.focalLength35mm?.state !== "read") return undefined;
    const focal = typicalValue(wants.focalLength35mm.value, (a, b) => a - b);
    if (!(focal > 0)) return undefined;
    const viewDegrees = (2 * Math.atan(18 / focal) * 180) / Math.PI;
    const fastest = fastestTurn(wants.yawDegrees.value, 1);
    if (fastest === undefined) return undefined;
    const secondsPerWidth =
      fastest.degreesPerSecond > 0 ? viewDegrees / fastest.degreesPerSecond : Number.POSITIVE_INFINITY;
    const least = (widthSeconds * referenceRate) / toNumber(use.timeline);
    if (secondsPerWidth >= least) return "passed";
    const most = short(viewDegrees / least);
    return {
      grade: secondsPerWidth < least / 2 ? "workable" : "note",
      says: `The pan crosses the picture in ${secondsText(secondsPerWidth)} (guide ${secondsText(least)} on ${rateLabel(use.timeline)}); turn at ${most}°/s at most.`,
      measured: amount(Number(secondsPerWidth.toFixed(2)), "s per picture width", secondsText(secondsPerWidth)),
      limit: limit(Number(least.toFixed(2)), "s per picture width", secondsText(least), "house limit"),
      remedy: `turn at ${most}°/s at most`,
      onLocation: `turn at ${most}°/s at most`,
      inEdit: "slow it if the rate allows, or use it as a whip pan",
      atSeconds: [fastest.atSeconds],
    };
  },

  examples: [
    {
      title: "a third of the width a second",
      facts: { frameRate: rate(24), yawDegrees: stepsEvery(1, 0, 25, 50, 75), focalLength35mm: steps(24) },
      brief: { timelineRate: rate(24) },
      expect: "workable",
    },
    {
      title: "a picture width in six seconds",
      facts: { frameRate: rate(24), yawDegrees: stepsEvery(1, 350, 2.3, 14.6, 26.9), focalLength35mm: steps(24) },
      brief: { timelineRate: rate(24) },
      expect: "note",
    },
    {
      title: "a picture width in eight seconds",
      facts: { frameRate: rate(24), yawDegrees: stepsEvery(1, 0, 9.2, 18.4, 27.6), focalLength35mm: steps(24) },
      brief: { timelineRate: rate(24) },
      expect: "passed",
    },
    {
      title: "no heading recorded",
      facts: { frameRate: rate(24) },
      brief: { timelineRate: rate(24) },
      expect: "unknown",
    },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
