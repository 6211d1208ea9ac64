import { typicalValue } from "@goodgate/model";
import { steps } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { stopsText } from "../words.ts";

const noteStops = 3;

export default defineRule({
  id: "iso-high-for-card",
  title: "ISO against the rest of the card",
  cases: ["D2"],
  scope: "clip",
  needs: ["iso"],
  decides: false,
  explanation: `
Three stops over the lowest ISO the same camera used on this card is worth a look at the shadows. What noise it makes
depends on the sensor; --measure asks the pictures.
`,
  limits: [
    { name: "over the lowest of the card", default: noteStops, unit: "stops", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Less ND, a longer shutter, or fewer frames a second.",
  remedyInEdit: "Look at the shadows.",
  sources: [practice],
  causedBy: ["iso-ceiling"],

  check({ iso }, { figures, place, pictures }) {
    const lowest = figures.lowestIso.get(place.camera);
    if (lowest === undefined) return undefined;
    const typical = typicalValue(iso, (a, b) => a - b);
    const over = Math.log2(typical / lowest);
    if (over < noteStops - 1e-9) return "passed";
    return {
      grade: "note",
      says: `ISO ${typical}, ${stopsText(over)} above ISO ${lowest}, the card's lowest (limit ISO ${lowest * 2 ** noteStops}); ${pictures === undefined ? "noise not measured: look" : "look"} at the shadows.`,
      measured: amount(typical, "ISO", `ISO ${typical}`),
      limit: limit(lowest * 2 ** noteStops, "ISO", `ISO ${lowest * 2 ** noteStops}`, "house limit"),
      remedy: "look at the shadows",
      onLocation: "less ND, a longer shutter, or fewer fps",
      inEdit: "look at the shadows; noise reduction",
    };
  },

  examples: [
    {
      title: "ISO 800 beside a clip at ISO 100",
      facts: { iso: steps(800) },
      others: [{ facts: { iso: steps(100) } }],
      expect: "note",
    },
    {
      title: "ISO 640 beside a clip at ISO 100",
      facts: { iso: steps(640) },
      others: [{ facts: { iso: steps(100) } }],
      expect: "passed",
    },
    { title: "ISO 6400 in every clip", facts: { iso: steps(6400) }, expect: "passed" },
    {
      title: "ISO 800 beside another camera's clip at ISO 100",
      facts: { iso: steps(800) },
      others: [{ facts: { iso: steps(100), cameraModel: "another" } }],
      expect: "passed",
    },
    { title: "no ISO recorded", facts: {}, expect: "unknown" },
  ],
});
