import { rate } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";

export default defineRule({
  id: "colour-untagged",
  title: "Colour tags",
  cases: ["F1"],
  scope: "clip",
  needs: [],
  wants: ["transfer", "frameRate", "colourMode"],
  decides: false,
  explanation: `Without a transfer tag players assume BT.709. A log or HDR recording without a tag then looks flat or wrong.`,
  limits: [
    {
      name: "transfer tag",
      default: "present",
      unit: "",
      origin: "standard",
      source: "ITU-T H.273: 2 means unspecified",
    },
  ],
  remedyOnLocation: "Note the camera's colour mode.",
  remedyInEdit: "Set the input colour by hand.",
  sources: ["ITU-T H.273"],

  check(_facts, { wants }) {
    if (wants.frameRate?.state !== "read") return undefined;
    if (wants.transfer?.state === "read") return "passed";
    if (wants.transfer?.state !== "absent") return undefined;
    return {
      grade: "note",
      says: "No transfer tag: players assume BT.709; check for a log or HLG profile and set the input colour by hand.",
      measured: amount("none", "", "no transfer tag"),
      limit: limit("present", "", "a transfer tag", "standard"),
      remedy: "set the input colour by hand",
      onLocation: "note the camera's colour mode",
      inEdit: "set the input colour by hand",
    };
  },

  examples: [
    { title: "no tag", facts: { frameRate: rate(25) }, expect: "note" },
    { title: "BT.709", facts: { frameRate: rate(25), transfer: "bt709" }, expect: "passed" },
    { title: "a clip that was not read", facts: {}, expect: "silent" },
  ],
});
