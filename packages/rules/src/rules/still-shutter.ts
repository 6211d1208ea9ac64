import { rate, toNumber, valueOf } from "@goodgate/model";
import { exampleStill } from "../example-stills.ts";
import { amount, cannotTell, type CardFound, defineRule, limit, practice } from "../rule.ts";
import { nameText, shutterText } from "../words.ts";

export default defineRule({
  id: "still-shutter",
  title: "Shutter of stills",
  cases: ["K1"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Longer than one over the focal length (35 mm equivalent) a still may be soft. The rule comes from holding a camera by
hand and is weak for a gimbal, so it is a note.`,
  limits: [{ name: "longest time", default: "1/focal length", unit: "s", origin: "house limit", source: practice }],
  remedyOnLocation: "A shorter time and a higher ISO.",
  remedyInEdit: "Pick another frame.",
  sources: [practice],

  check(_facts, { stills }) {
    if (stills.length === 0) return undefined;
    const known = stills.some(
      (still) => still.shutterSeconds.state === "read" && still.focalLength35mm.state === "read",
    );
    if (!known) {
      return cannotTell(
        "Whether stills are sharp enough by their shutter is not known: no still records shutter and focal length.",
        ["shutterSeconds", "focalLength35mm"],
        "stills with their exposure data, as the camera wrote them",
        true,
      );
    }
    const found: CardFound[] = [];
    for (const still of stills) {
      const [open, focal] = [valueOf(still.shutterSeconds), valueOf(still.focalLength35mm)];
      if (open === undefined || focal === undefined || !(focal > 0)) continue;
      if (toNumber(open) * focal <= 1 + 1e-9) continue;
      found.push({
        grade: "note",
        says: `${nameText(still.name)}: ${shutterText(open)} at ${focal} mm (guide 1/${focal} s) may be soft; look at it large, pick another frame.`,
        measured: amount(Number(toNumber(open).toFixed(4)), "s", shutterText(open)),
        limit: limit(Number((1 / focal).toFixed(4)), "s", `1/${focal} s`, "house limit"),
        remedy: "look at it large",
        onLocation: "a shorter time and a higher ISO",
        inEdit: "pick another frame",
        stills: [still.name],
      });
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    { title: "1/20 at 24 mm", stills: [exampleStill("A.JPG", { shutter: 20, focal: 24 })], expect: "note" },
    { title: "1/24 at 24 mm", stills: [exampleStill("A.JPG", { shutter: 24, focal: 24 })], expect: "passed" },
    { title: "a still without exposure data", stills: [exampleStill("A.JPG", {})], expect: "unknown" },
    { title: "no stills", brief: { timelineRate: rate(25) }, expect: "silent" },
  ],
});
