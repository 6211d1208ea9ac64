import { rate, valueOf } from "@goodgate/model";
import { oneOver, seen, steps } from "../example-facts.ts";
import { exposureOverTime, spread, stepTimes } from "../exposure.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { lookedText } from "../seen.ts";
import { secondsText, stopsText } from "../words.ts";

const noteStops = 0.33;
const workableStops = 1;
/** From here on the rule about a steady shutter speaks. */
const shutterRuleStops = 0.5;
const pumpingSeconds = 0.5;
const steadyPicture = { changeStops: 0.1, fromSeconds: 0, toSeconds: 2, ribbon: [] };

export default defineRule({
  id: "exposure-drift",
  title: "Steady exposure",
  cases: ["D3"],
  scope: "clip",
  needs: ["shutterSeconds", "iso"],
  wants: ["fNumber", "pictureLevels", "exposureDrift", "lookedAt"],
  decides: false,
  explanation: `
Shutter, ISO and f-number together, in stops. When they move within a shot, an automatic was on. It may have held the
picture steady while the sun went behind a cloud, so the settings alone do not say that the picture pumps; with --measure the
picture says whether it held.
`,
  limits: [
    {
      name: "worth a note from",
      default: noteStops,
      unit: "stops",
      origin: "house limit",
      source: "one camera step; common practice, no source",
    },
    { name: "needs work from", default: workableStops, unit: "stops", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Lock the exposure on the main subject.",
  remedyInEdit: "Keyframe the gain the other way, or cut at the times named.",
  sources: [practice],

  check({ shutterSeconds, iso }, { wants, brief }) {
    const fNumber = wants.fNumber?.state === "read" ? wants.fNumber.value : undefined;
    // Settings that never change are most of all clips.
    if ([shutterSeconds, iso, fNumber].every((series) => (series?.values.length ?? 1) === 1)) return "passed";
    const points = exposureOverTime({ shutterSeconds, iso, ...(fNumber === undefined ? {} : { fNumber }) });
    const ends = spread(points);
    if (ends === undefined) return undefined;
    const range = ends.most.stops - ends.least.stops;
    if (range < noteStops) return "passed";
    // A shutter that alone moved so far is told by its own rule.
    const still = iso.values.length === 1 && (fNumber === undefined || fNumber.values.length === 1);
    if (still && range >= shutterRuleStops && brief.motionLook === "natural") return undefined;
    const allowed = range >= workableStops - 1e-9 ? workableStops : noteStops;
    const jumps = stepTimes(points, noteStops, pumpingSeconds);
    // Whether the picture moved with the settings is seen where the pictures were asked.
    const drift = valueOf(wants.exposureDrift);
    const jumped = (valueOf(wants.pictureLevels)?.jumps.length ?? 0) > 0;
    const steady = drift !== undefined && !jumped && Math.abs(drift.changeStops) < noteStops;
    const held = steady ? `; the picture held steady (${lookedText(wants.lookedAt)})` : "";
    const [from, to] = [ends.least.seconds, ends.most.seconds].sort((a, b) => a - b) as [number, number];
    return {
      grade: allowed === workableStops && !steady ? "workable" : "note",
      says: `Automatic exposure changed by ${stopsText(range)} (limit ${allowed}) from ${secondsText(from)} to ${secondsText(to)}${jumps.length > 0 ? ", in steps" : ""}${held === "" ? "; lock it, or level it in the edit" : `${held}; lock it`}.`,
      measured: amount(Number(range.toFixed(2)), "stops", stopsText(range)),
      limit: limit(allowed, "stops", `${allowed} stops`, "house limit"),
      remedy: "lock the exposure",
      onLocation: "lock the exposure on the main subject",
      inEdit: "keyframe the gain the other way, or cut at the times named",
      atSeconds: jumps.length > 0 ? jumps : [from, to],
    };
  },

  examples: [
    {
      title: "ISO doubles in the shot",
      facts: { shutterSeconds: oneOver(50), iso: steps(100, 200) },
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "ISO doubles and the picture holds steady",
      facts: seen({ shutterSeconds: oneOver(50), iso: steps(100, 200), exposureDrift: steadyPicture }),
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    { title: "ISO goes from 100 to 160", facts: { shutterSeconds: oneOver(50), iso: steps(100, 160) }, expect: "note" },
    {
      title: "ISO goes from 100 to 125",
      facts: { shutterSeconds: oneOver(50), iso: steps(100, 125) },
      expect: "passed",
    },
    {
      title: "a shorter shutter is made up by the f-number",
      facts: { shutterSeconds: oneOver(50, 100), iso: steps(100, 100), fNumber: steps(4, 2.8284) },
      expect: "passed",
    },
    { title: "all locked", facts: { shutterSeconds: oneOver(50), iso: steps(100) }, expect: "passed" },
    {
      title: "only the shutter moved, as its own rule says",
      facts: { shutterSeconds: oneOver(50, 100), iso: steps(100) },
      expect: "silent",
    },
    { title: "no ISO recorded", facts: { shutterSeconds: oneOver(50) }, expect: "unknown" },
  ],
});
