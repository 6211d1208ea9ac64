import { factWords } from "../fact-words.ts";
import { type FactName, rate } from "@goodgate/model";
import { amount, defineRule, type Found, limit } from "../rule.ts";
import { fitted } from "../words.ts";

const watched = [
  "captureRate",
  "timecode",
  "createdAt",
  "sound",
  "editList",
  "rotationDegrees",
  "pixelAspect",
  "telemetry",
  "fNumber",
  "exposureBias",
  "whiteBalanceKelvin",
  "ndStops",
  "digitalZoom",
  "colourMode",
  "location",
  "path",
  "bitDepth",
] as const satisfies readonly FactName[];

function finding(name: FactName, where: string, why: string): Found {
  const reason = fitted(why, 62);
  return {
    grade: "note",
    says: `The ${factWords(name)}${where} is damaged: ${reason}; do not trust this field in other programs.`,
    measured: amount(name, "", reason),
    limit: limit("whole", "", "no damaged field", "computed"),
    remedy: "do not trust this field",
    inEdit: "do not trust this field in other programs",
  };
}

export default defineRule({
  id: "damaged-facts",
  title: "Fields that break their grammar",
  cases: ["I4"],
  scope: "clip",
  needs: [],
  wants: watched,
  decides: false,
  explanation: `A field whose bytes are there and cannot be a value is set aside, never guessed, and named here.`,
  limits: [
    {
      name: "damaged fields",
      default: 0,
      unit: "",
      origin: "computed",
      source: "the field's own grammar and plausible range",
    },
  ],
  remedyOnLocation: "Look at the clip on the camera.",
  remedyInEdit: "Do not trust this field in other programs.",
  sources: ["honesty rule: never a wrong number"],
  causedBy: ["unclosed-recording", "cut-short"],

  check(_facts, { wants }) {
    const found: Found[] = [];
    const told = new Set<string>();
    for (const name of watched) {
      const reading = wants[name];
      // Of a fact that another source gave, the broken one is named all the same; a broken file breaks several at once.
      const broken = reading?.state === "read" ? (reading.broken ?? []) : [];
      for (const { why, origin } of reading?.state === "damaged" ? [reading] : broken) {
        if (reading?.state === "read" && told.has(`${origin.file}\n${why}`)) continue;
        told.add(`${origin.file}\n${why}`);
        const where = reading?.state === "read" ? ` in ${origin.file.slice(origin.file.lastIndexOf("/") + 1)}` : "";
        found.push(finding(name, where, why));
      }
    }
    return found;
  },

  examples: [
    {
      title: "a timecode of 25:61",
      facts: { frameRate: rate(25) },
      damaged: { timecode: "25:61:00:00 is no time" },
      expect: "note",
    },
    { title: "nothing damaged", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});
