import { displayFacts, displaySize } from "../display.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { shareText, short } from "../words.ts";

const mostOff = 0.01;
/** A picture this much narrower than wide screen (4:3 is 1.33) loses a quarter of its height. */
const narrowAspect = 1.4;

export default defineRule({
  id: "aspect",
  title: "Aspect against delivery",
  cases: ["G2"],
  scope: "clip",
  needs: ["width", "height"],
  wants: displayFacts,
  decides: false,
  explanation: `A picture of another shape than the delivery is cropped or gets bars. A 17:9 picture in a 16:9 delivery loses 6 % of its
width; a 4:3 or upright one needs a decision for each shot.`,
  limits: [{ name: "aspect off", default: mostOff, unit: "share", origin: "house limit", source: practice }],
  remedyOnLocation: "Set the delivery's aspect.",
  remedyInEdit: "Choose the crop for each shot, or use bars.",
  sources: ["computed"],
  // A picture turned by its flag has another shape for that reason alone.
  causedBy: ["rotation"],
  applies: ({ brief }) => brief.raster !== undefined,

  check({ width, height }, { wants, brief }) {
    if (brief.raster === undefined) return undefined;
    const shown = displaySize(width, height, wants);
    const clip = shown.width / shown.height;
    const edit = brief.raster.width / brief.raster.height;
    if (Math.abs(clip / edit - 1) <= mostOff) return "passed";
    const lost = clip > edit ? 1 - edit / clip : 1 - clip / edit;
    const side = clip > edit ? "width" : "height";
    return {
      grade: clip < narrowAspect && edit >= narrowAspect ? "workable" : "note",
      says: `Picture ${short(clip, 2)}:1 in a ${short(edit, 2)}:1 edit: filling it loses ${shareText(lost)} of the ${side}; choose the crop or bars.`,
      measured: amount(Number(clip.toFixed(3)), ":1", `${short(clip, 2)}:1`),
      limit: limit(Number(edit.toFixed(3)), ":1", `${short(edit, 2)}:1`, "brief"),
      remedy: "choose the crop",
      onLocation: "set the delivery's aspect",
      inEdit: "choose the crop for each shot, or use bars",
    };
  },

  examples: [
    {
      title: "4:3 in 16:9",
      facts: { width: 4000, height: 3000 },
      brief: { raster: { width: 3840, height: 2160 } },
      expect: "workable",
    },
    {
      title: "4096x2160 in 3840x2160",
      facts: { width: 4096, height: 2160 },
      brief: { raster: { width: 3840, height: 2160 } },
      expect: "note",
    },
    {
      title: "1920x1088 in 1920x1080",
      facts: { width: 1920, height: 1088 },
      brief: { raster: { width: 1920, height: 1080 } },
      expect: "passed",
    },
    {
      title: "upright by its rotation flag",
      facts: { width: 1920, height: 1080, rotationDegrees: 90 },
      brief: { raster: { width: 1920, height: 1080 } },
      expect: "workable",
    },
    { title: "no raster in the brief", facts: { width: 4000, height: 3000 }, expect: "silent" },
    {
      title: "the height was not read",
      facts: { width: 4000 },
      brief: { raster: { width: 1920, height: 1080 } },
      expect: "unknown",
    },
  ],
});
