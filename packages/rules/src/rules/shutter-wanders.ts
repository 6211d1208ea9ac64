import { compare, constantSeries, extremes, rate, shutterLabel, toNumber } from "@goodgate/model";
import { oneOver } from "../example-facts.ts";
import { exposureOverTime, stepTimes } from "../exposure.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { stopsText } from "../words.ts";

const noteStops = 0.5;
const workableStops = 1;
/** One camera step inside half a second is seen as a jump. Common practice, no source. */
const jumpStops = 1 / 3;
const jumpSeconds = 0.5;

export default defineRule({
  id: "shutter-wanders",
  title: "Steady shutter",
  cases: ["C6"],
  scope: "clip",
  needs: ["shutterSeconds"],
  decides: false,
  explanation: `
An automatic shutter changes the motion blur within a shot: the look drifts from smooth to stepped. Locked, the light is
held by a filter instead.
`,
  limits: [
    { name: "worth a note from", default: noteStops, unit: "stops", origin: "house limit", source: practice },
    { name: "needs work from", default: workableStops, unit: "stops", origin: "house limit", source: practice },
    {
      name: "visible step",
      default: jumpStops,
      unit: "stops in half a second",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Lock the shutter and hold the light by ND.",
  remedyInEdit: "Cut inside the steady part.",
  sources: [practice],

  check({ shutterSeconds }, { brief }) {
    const { least, most } = extremes(shutterSeconds, compare);
    if (least.numerator <= 0n) return undefined;
    if (least === most) return "passed";
    const range = Math.log2(toNumber(most) / toNumber(least));
    if (range < noteStops - 1e-9) return "passed";
    const points = exposureOverTime({ shutterSeconds, iso: constantSeries(100, shutterSeconds.endMicroseconds) });
    const jumps = stepTimes(points, jumpStops, jumpSeconds);
    const jump = jumps.length > 0 ? ", in visible steps" : "";
    const allowed = range >= workableStops - 1e-9 ? workableStops : noteStops;
    const work = allowed === workableStops && brief.motionLook === "natural";
    return {
      grade: work ? "workable" : "note",
      says: `The shutter changed between ${shutterLabel(most)} and ${shutterLabel(least)} in the shot (${stopsText(range)}, limit ${allowed})${jump}; lock it, use ND for the light.`,
      measured: amount(Number(range.toFixed(2)), "stops", stopsText(range)),
      limit: limit(allowed, "stops", stopsText(allowed), "house limit"),
      remedy: "lock the shutter",
      onLocation: "lock the shutter, hold the light by ND",
      inEdit: "cut inside the steady part",
      ...(jumps.length > 0 ? { atSeconds: jumps } : {}),
    };
  },

  examples: [
    {
      title: "1/50 to 1/100",
      facts: { shutterSeconds: oneOver(50, 100) },
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    { title: "1/50 to 1/99", facts: { shutterSeconds: oneOver(50, 99) }, expect: "note" },
    { title: "1/50 to 1/70", facts: { shutterSeconds: oneOver(50, 70) }, expect: "passed" },
    { title: "a locked shutter", facts: { shutterSeconds: oneOver(50) }, expect: "passed" },
    { title: "no shutter recorded", facts: {}, expect: "unknown" },
  ],
});
