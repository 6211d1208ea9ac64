import { mostCommon } from "../figures.ts";
import { startedAt } from "../example-facts.ts";
import { amount, cannotTell, defineRule, type CardFound, limit, practice } from "../rule.ts";
import { counted, listText, nameText } from "../words.ts";
import { valueOf } from "@goodgate/model";

export default defineRule({
  id: "foreign-files",
  title: "Clips of another camera or day",
  cases: ["J14"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Clips of another camera or another day than most of the card may be left over, or be somebody else's only copy.`,
  limits: [{ name: "majority", default: 0.5, unit: "share of clips", origin: "house limit", source: practice }],
  remedyOnLocation: "Do not wipe them unseen.",
  remedyInEdit: "Sort them out first.",
  sources: [practice],

  check(_facts, { clips }) {
    const found: CardFound[] = [];
    const cameras = clips.map(({ place }) => (place.camera === "" ? undefined : place.camera));
    const days = clips.map(({ facts }) => {
      const at = valueOf(facts.createdAt);
      return at === undefined || at.suspect !== undefined ? undefined : at.text.slice(0, 10);
    });
    const silent = [...cameras, ...days].every((value) => value === undefined);
    if (silent && clips.length > 0) {
      return cannotTell(
        "Whether all clips are of one camera and day is not known: no clip names its camera or has a clock.",
        ["cameraModel", "createdAt"],
        "files whose header states them",
        true,
      );
    }
    for (const [what, values] of [
      ["camera", cameras],
      ["day", days],
    ] as const) {
      const usual = mostCommon(values);
      if (usual === undefined) continue;
      const others = clips.filter((_, place) => values[place] !== undefined && values[place] !== usual);
      if (others.length === 0) continue;
      const names = others.map(({ clip }) => clip.name);
      found.push({
        grade: "note",
        says: `${counted(others.length, "clip")} of another ${what} (${listText(
          names.slice(0, 2).map((name) => nameText(name, 20)),
          2,
        )}): do not wipe unseen.`,
        measured: amount(others.length, "clips", `${counted(others.length, "clip")} of another ${what}`),
        limit: limit(0, "clips", `one ${what}`, "house limit"),
        remedy: "look before wiping",
        onLocation: "do not wipe them unseen",
        inEdit: "sort them out first",
        clips: names,
      });
    }
    return found.length === 0 ? (clips.length === 0 ? undefined : "passed") : found;
  },

  examples: [
    {
      title: "one clip of the day before",
      facts: { createdAt: startedAt("2024-05-01T10:00:00Z") },
      others: [
        { facts: { createdAt: startedAt("2024-05-02T10:00:00Z") } },
        { facts: { createdAt: startedAt("2024-05-02T11:00:00Z") } },
      ],
      expect: "note",
    },
    {
      title: "one clip of another camera",
      facts: { cameraModel: "another" },
      others: [{ facts: { cameraModel: "one" } }, { facts: { cameraModel: "one" } }],
      expect: "note",
    },
    { title: "neither camera nor clock recorded", facts: {}, expect: "unknown" },
    {
      title: "one day and one camera",
      facts: { createdAt: startedAt("2024-05-02T10:00:00Z") },
      others: [{ facts: { createdAt: startedAt("2024-05-02T11:00:00Z") } }],
      expect: "passed",
    },
  ],
});
