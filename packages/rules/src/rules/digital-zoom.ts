import { extremes, shareWhere } from "@goodgate/model";
import { steps, stepsEvery } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { shareText, short } from "../words.ts";

const leastShare = 0.02;
const workableZoom = 1.3;

export default defineRule({
  id: "digital-zoom",
  title: "Digital zoom",
  cases: ["G7"],
  scope: "clip",
  needs: [],
  wants: ["digitalZoom", "focalLength35mm", "width"],
  asks: ["digitalZoom"],
  decides: false,
  explanation: `Digital zoom enlarges a part of the picture: the real detail is the width divided by the zoom. A focal length that
changes in the shot is a note.`,
  limits: [
    {
      name: "time with digital zoom",
      default: leastShare,
      unit: "share of the clip",
      origin: "house limit",
      source: practice,
    },
    { name: "needs work above", default: workableZoom, unit: "times", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Fly closer, within the rules.",
  remedyInEdit: "Scale with a good filter; grain hides some of it.",
  sources: [practice],

  check(_facts, { wants }) {
    if (wants.digitalZoom?.state === "read") {
      const zoom = wants.digitalZoom.value;
      const share = shareWhere(zoom, (value) => value > 1 + 1e-9);
      if (share > leastShare) {
        const most = extremes(zoom, (a, b) => a - b).most;
        const real =
          wants.width?.state === "read" ? `: real detail ${short(wants.width.value / most, 0)} pixels wide` : "";
        const lasting = shareWhere(zoom, (value) => value > workableZoom + 1e-9) > leastShare;
        const allowed = lasting ? workableZoom : 1;
        return {
          grade: lasting ? "workable" : "note",
          says: `Digital zoom up to ${short(most, 2)} times (limit ${allowed}) for ${shareText(share)} of the clip${real}; fly closer within the rules.`,
          measured: amount(most, "times", `${short(most, 2)} times`),
          limit: limit(allowed, "times", `${allowed} times`, "house limit"),
          remedy: "no digital zoom",
          onLocation: "fly closer, within the rules",
          inEdit: "scale with a good filter",
        };
      }
    }
    if (wants.focalLength35mm?.state === "read") {
      const { least, most } = extremes(wants.focalLength35mm.value, (a, b) => a - b);
      if (least > 0 && most / least > 1.02) {
        return {
          grade: "note",
          says: `The focal length moved from ${short(least)} to ${short(most)} mm (35 mm equivalent) in the shot; check that it was meant.`,
          measured: amount(most, "mm", `${short(least)} to ${short(most)} mm`),
          limit: limit(least, "mm", "one focal length", "house limit"),
          remedy: "check that it was meant",
          onLocation: "lock the zoom",
          inEdit: "cut around the move",
        };
      }
    }
    return wants.digitalZoom?.state === "read" ? "passed" : undefined;
  },

  examples: [
    { title: "zoom 2 throughout", facts: { digitalZoom: steps(2), width: 3840 }, expect: "workable" },
    { title: "zoom 1.3 throughout", facts: { digitalZoom: steps(1.3) }, expect: "note" },
    {
      title: "zoom 2 for a fiftieth of the time",
      facts: { digitalZoom: stepsEvery(1, ...Array<number>(49).fill(1), 2) },
      expect: "passed",
    },
    { title: "no zoom", facts: { digitalZoom: steps(1) }, expect: "passed" },
    {
      title: "the lens zooms in the shot",
      facts: { digitalZoom: steps(1), focalLength35mm: steps(24, 48) },
      expect: "note",
    },
    { title: "not recorded", facts: {}, expect: "unknown" },
  ],
});
