import { amount, defineRule, limit } from "../rule.ts";

export default defineRule({
  id: "rotation",
  title: "Rotation flag",
  cases: ["G3"],
  scope: "clip",
  needs: [],
  wants: ["rotationDegrees", "mirrored"],
  asks: ["rotationDegrees"],
  decides: false,
  explanation: `The file asks players to turn the picture. Some programs ignore it. Upright is a fault unless the brief wants portrait.`,
  limits: [{ name: "rotation", default: 0, unit: "degrees", origin: "default", source: "the track's matrix" }],
  remedyOnLocation: "Reset the gimbal or the portrait mode.",
  remedyInEdit: "Turn the clip by hand and check an edge.",
  sources: ["computed from the matrix of the track header"],

  check(_facts, { wants, brief }) {
    if (wants.rotationDegrees?.state !== "read") return undefined;
    const degrees = wants.rotationDegrees.value;
    const mirrored = wants.mirrored?.state === "read" && wants.mirrored.value;
    if (degrees === 0 && !mirrored) return "passed";
    const upright = degrees === 90 || degrees === 270;
    const plain = degrees === 180 || (upright && brief.portrait);
    return {
      grade: plain && !mirrored ? "note" : "workable",
      says: mirrored
        ? `The file mirrors the picture and turns it ${degrees}° (no mirror expected): some programs ignore it; check an edge with writing.`
        : `Rotation flag of ${degrees}° (${brief.portrait ? "0, 90 or 270" : "0"}° expected): some programs ignore it; turn the clip by hand and check an edge.`,
      measured: amount(degrees, "degrees", `${degrees} degrees${mirrored ? ", mirrored" : ""}`),
      limit: mirrored
        ? limit("no mirror", "", "no mirror", "default")
        : limit(
            0,
            "degrees",
            brief.portrait ? "0, 90 or 270 degrees" : "0 degrees",
            brief.portrait ? "brief" : "default",
          ),
      remedy: mirrored ? "check an edge with writing" : "turn it by hand",
      onLocation: "reset the gimbal or the portrait mode",
      inEdit: "turn it by hand and check an edge",
    };
  },

  examples: [
    { title: "turned by 90", facts: { rotationDegrees: 90 }, expect: "workable" },
    {
      title: "turned by 90 for a portrait edit",
      facts: { rotationDegrees: 90 },
      brief: { portrait: true },
      expect: "note",
    },
    { title: "turned by 180", facts: { rotationDegrees: 180 }, expect: "note" },
    { title: "mirrored", facts: { rotationDegrees: 0, mirrored: true }, expect: "workable" },
    { title: "not turned", facts: { rotationDegrees: 0 }, expect: "passed" },
    { title: "not read", facts: {}, expect: "unknown" },
  ],
});
