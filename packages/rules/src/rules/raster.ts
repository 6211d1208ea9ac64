import { displayFacts, displaySize } from "../display.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { short } from "../words.ts";

const noteFrom = 1;
const workableFrom = 1.15;
const visibleFrom = 1.5;

export default defineRule({
  id: "raster",
  title: "Raster against delivery",
  cases: ["G1"],
  scope: "clip",
  needs: ["width", "height"],
  wants: displayFacts,
  decides: false,
  explanation: `A clip smaller than the delivery is enlarged: up to 15 % is hardly seen, more costs detail, half as much again shows.`,
  limits: [
    { name: "enlarged", default: noteFrom, unit: "times", origin: "house limit", source: practice },
    { name: "needs work above", default: workableFrom, unit: "times", origin: "house limit", source: practice },
    { name: "visible above", default: visibleFrom, unit: "times", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Set a mode with a larger raster; fast modes often have a smaller one.",
  remedyInEdit: "Scale with a good filter, or use it as an inset.",
  sources: ["computed", practice],
  // A picture turned by its flag has another shape for that reason alone.
  causedBy: ["rotation"],
  applies: ({ brief }) => brief.raster !== undefined,

  check({ width, height }, { wants, brief }) {
    if (brief.raster === undefined) return undefined;
    const shown = displaySize(width, height, wants);
    const enlarged = brief.raster.width / shown.width;
    if (enlarged <= noteFrom + 1e-9) return "passed";
    const [clip, edit] = [
      `${short(shown.width, 0)}x${short(shown.height, 0)}`,
      `${brief.raster.width}x${brief.raster.height}`,
    ];
    return {
      grade: enlarged > workableFrom + 1e-9 ? "workable" : "note",
      says: `${clip} in an edit of ${edit}: enlarged to ${short(enlarged * 100, 0)} %${enlarged > visibleFrom ? ", visibly" : ""}; scale with a good filter.`,
      measured: amount(clip, "pixels", clip),
      limit: limit(edit, "pixels", edit, "brief"),
      remedy: "scale with a good filter",
      onLocation: "set a mode with a larger raster",
      inEdit: "scale with a good filter, or use it as an inset",
    };
  },

  examples: [
    {
      title: "1920x1080 in a 3840x2160 edit",
      facts: { width: 1920, height: 1080 },
      brief: { raster: { width: 3840, height: 2160 } },
      expect: "workable",
    },
    {
      title: "2704x1520 in a 2720x1530 edit",
      facts: { width: 2704, height: 1520 },
      brief: { raster: { width: 2720, height: 1530 } },
      expect: "note",
    },
    {
      title: "3840x2160 in a 1920x1080 edit",
      facts: { width: 3840, height: 2160 },
      brief: { raster: { width: 1920, height: 1080 } },
      expect: "passed",
    },
    { title: "no raster in the brief", facts: { width: 1280, height: 720 }, expect: "silent" },
    { title: "the width was not read", facts: {}, brief: { raster: { width: 1920, height: 1080 } }, expect: "unknown" },
  ],
});
