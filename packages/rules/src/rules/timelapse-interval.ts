import { valueOf } from "@goodgate/model";
import { exampleStill } from "../example-stills.ts";
import { timelessStills } from "../timeless-stills.ts";
import { amount, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { counted, secondsText } from "../words.ts";

const gapTimes = 1.8;
const jitterShare = 0.05;

export default defineRule({
  id: "timelapse-interval",
  title: "Timelapse interval",
  cases: ["K6"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `
A gap of 1.8 intervals or more, or a number missing in the count, is a frame that was not written. Smaller unevenness is a
note, and can only be seen when the clock is finer than a twentieth of the interval.
`,
  limits: [
    { name: "missing frame from", default: gapTimes, unit: "intervals", origin: "house limit", source: practice },
    {
      name: "unevenness",
      default: jitterShare,
      unit: "share of the interval",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "A longer interval or a faster card.",
  remedyInEdit: "Interpolate single gaps.",
  sources: [practice],

  check(_facts, { sets, stills }) {
    const byName = new Map(stills.map((still) => [still.name, still]));
    const found: CardFound[] = [];
    let asked = false;
    for (const set of sets) {
      if (set.kind === "sequence") {
        asked = true;
        const missing = set.missingNumbers.length;
        if (missing === 0) continue;
        found.push({
          grade: "workable",
          says: `${counted(set.names.length, "numbered picture")} (${set.id}), ${counted(missing, "number")} missing: copy again, or interpolate.`,
          measured: amount(missing, "gaps", counted(missing, "gap")),
          limit: limit(0, "gaps", "no number missing", "house limit"),
          remedy: "copy again, or interpolate single gaps",
          onLocation: "a longer interval or a faster card",
          inEdit: "interpolate single gaps",
          stills: set.names,
        });
        continue;
      }
      if (set.kind !== "timelapse" || set.intervalSeconds === undefined || set.intervalSeconds <= 0) continue;
      asked = true;
      const interval = set.intervalSeconds;
      const times = set.names.flatMap((name) => {
        const still = byName.get(name);
        const taken = still === undefined ? undefined : valueOf(still.takenAt);
        return taken === undefined ? [] : [taken.epochMilliseconds / 1000];
      });
      const steps = times.slice(1).map((time, place) => time - (times[place] ?? time));
      const gaps = steps.filter((step) => step >= gapTimes * interval).length;
      const lost = Math.max(gaps, set.missingNumbers.length);
      const base = { stills: set.names, limit: limit(interval, "s", secondsText(interval), "house limit") };
      if (lost > 0) {
        found.push({
          ...base,
          grade: "workable",
          says: `${counted(set.names.length, "frame")} at ${secondsText(interval)} (${set.id}), ${counted(lost, "gap")}: interpolate single gaps; a faster card next time.`,
          measured: amount(lost, "gaps", counted(lost, "gap")),
          remedy: "interpolate single gaps",
          onLocation: "a longer interval or a faster card",
          inEdit: "interpolate single gaps",
        });
        continue;
      }
      const whole = times.every((time) => Number.isInteger(time));
      const off = Math.max(0, ...steps.map((step) => Math.abs(step - interval)));
      if (off <= jitterShare * interval || (whole && off <= 1)) continue;
      found.push({
        ...base,
        grade: "note",
        says: `Intervals up to ${secondsText(off)} off ${secondsText(interval)} (${set.id}, limit 5 %): motion will be slightly uneven; accept it, or interpolate.`,
        measured: amount(Number(off.toFixed(2)), "s", `${secondsText(off)} off`),
        limit: limit(jitterShare * interval, "s", "5 %", "house limit"),
        remedy: "accept, or interpolate",
        onLocation: "a longer interval or a faster card",
        inEdit: "accept, or interpolate",
      });
    }
    if (found.length > 0) return found;
    return asked ? "passed" : timelessStills(stills, "a timelapse");
  },

  examples: [
    {
      title: "a frame missing in the middle",
      stills: series([0, 2, 4, 8, 10]),
      sets: [{ id: "timelapse 1", kind: "timelapse", names: names(5), intervalSeconds: 2, missingNumbers: [] }],
      expect: "workable",
    },
    {
      title: "a number missing",
      stills: series([0, 2, 4]),
      sets: [{ id: "timelapse 1", kind: "timelapse", names: names(3), intervalSeconds: 2, missingNumbers: [4] }],
      expect: "workable",
    },
    {
      title: "a tenth of the interval off",
      stills: series([0, 2.2, 4, 6]),
      sets: [{ id: "timelapse 1", kind: "timelapse", names: names(4), intervalSeconds: 2, missingNumbers: [] }],
      expect: "note",
    },
    {
      title: "every two seconds",
      stills: series([0, 2, 4, 6]),
      sets: [{ id: "timelapse 1", kind: "timelapse", names: names(4), intervalSeconds: 2, missingNumbers: [] }],
      expect: "passed",
    },
    {
      title: "a whole-second clock cannot tell",
      stills: series([0, 2, 5, 7]),
      sets: [{ id: "timelapse 1", kind: "timelapse", names: names(4), intervalSeconds: 2.3, missingNumbers: [] }],
      expect: "passed",
    },
    {
      title: "a number missing in a sequence without times",
      sets: [{ id: "sequence 1", kind: "sequence", names: names(12), missingNumbers: [4] }],
      expect: "workable",
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

function names(count: number): readonly string[] {
  return Array.from({ length: count }, (_, place) => `T${place}.JPG`);
}
function series(times: readonly number[]): ReturnType<typeof exampleStill>[] {
  return times.map((time, place) => exampleStill(`T${place}.JPG`, { at: time }));
}
