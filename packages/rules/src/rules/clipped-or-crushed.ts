import { valueOf } from "@goodgate/model";
import { levels, seen, words } from "../example-facts.ts";
import { isLogMode } from "../log-mode.ts";
import { amount, cannotTell, defineRule, type Found, limit, practice } from "../rule.ts";
import { atBlack, lookedText, picturesAsked } from "../seen.ts";
import { secondsText, shareText } from "../words.ts";

/** Share of the picture that may clip: the sun and its glints are less. First step of EBU R 103. */
const noteShare = 0.01;
const workableShare = 0.05;
/** Share of the picture that may be black. House limit. */
const blackShare = 0.1;

export default defineRule({
  id: "clipped-or-crushed",
  title: "Clipped or crushed picture",
  cases: ["M4"],
  scope: "clip",
  needs: [],
  wants: ["pictureLevels", "stillness", "colourMode", "transfer", "lookedAt"],
  asks: ["pictureLevels"],
  decides: false,
  // Clipping is reckoned from the range that is declared.
  causedBy: ["range-flag-wrong"],
  explanation: `
The share of the picture at 98.5 % of the declared signal range or above, where nothing is left to grade, and the share at
1 % or below. The worst moment counts for a note; it needs work when the mean of what was looked at clips as well. Whether
sky or subject is lost only a look can say, so it is never more than workable. Log and PQ end below the top of the code
range, each at its own place, and are not judged. Asked with --measure only.
`,
  limits: [
    { name: "clipped", default: noteShare, unit: "share of the picture", origin: "house limit", source: practice },
    {
      name: "needs work from",
      default: workableShare,
      unit: "share of the picture",
      origin: "house limit",
      source: practice,
    },
    { name: "crushed", default: blackShare, unit: "share of the picture", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Expose a stop lower, by ND rather than by the shutter.",
  remedyInEdit: "A soft roll-off of the highlights; what is clipped is gone.",
  sources: [practice, "1 % of the picture as the first step: EBU R 103"],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const levels = valueOf(wants.pictureLevels);
    if (levels === undefined) return undefined;
    const { mostClipped, clippedShare, mostCrushed } = levels;
    const looked = lookedText(wants.lookedAt);
    const found: Found[] = [];
    const mode = valueOf(wants.colourMode)?.values.some(isLogMode) === true ? "log" : valueOf(wants.transfer);
    if (mode === "log" || mode === "smpte2084") {
      return cannotTell(
        `Clipping not judged: ${mode === "log" ? "log" : "PQ"} ends below the top of the code range, at a place of its own.`,
        ["pictureLevels"],
        "a look at the picture with the transform of its profile",
        true,
      );
    }
    if (mostClipped.share > noteShare) {
      const work = mostClipped.share > workableShare && clippedShare > noteShare;
      const bound = work ? workableShare : noteShare;
      found.push({
        grade: work ? "workable" : "note",
        says: `Up to ${shareText(mostClipped.share)} of the picture is clipped (limit ${shareText(bound)}), most at ${secondsText(mostClipped.atSeconds)}; a stop less light (${looked}).`,
        measured: amount(
          Number(mostClipped.share.toFixed(4)),
          "share of the picture",
          `${shareText(mostClipped.share)} at most, ${looked}`,
        ),
        limit: limit(bound, "share of the picture", shareText(bound), "house limit"),
        remedy: "expose a stop lower",
        onLocation: "expose a stop lower, by ND",
        inEdit: "roll the highlights off; what is clipped is gone",
        atSeconds: [mostClipped.atSeconds],
      });
    }
    if (mostCrushed.share > blackShare && !atBlack(wants.stillness, mostCrushed.atSeconds)) {
      found.push({
        grade: "note",
        says: `Up to ${shareText(mostCrushed.share)} of the picture is black (limit 10 %), most at ${secondsText(mostCrushed.atSeconds)}; more light in the shadows (${looked}).`,
        measured: amount(
          Number(mostCrushed.share.toFixed(4)),
          "share of the picture",
          `${shareText(mostCrushed.share)} at most, ${looked}`,
        ),
        limit: limit(blackShare, "share of the picture", shareText(blackShare), "house limit"),
        remedy: "expose higher where the shadows matter",
        onLocation: "expose higher where the shadows matter",
        inEdit: "what is black is gone; lift the shadows above it",
        atSeconds: [mostCrushed.atSeconds],
      });
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    { title: "12 % clipped", facts: seen({ pictureLevels: levelsOf({ clipped: 0.12 }) }), expect: "workable" },
    { title: "1.1 % clipped", facts: seen({ pictureLevels: levelsOf({ clipped: 0.011 }) }), expect: "note" },
    {
      title: "12 % clipped in one moment only",
      facts: seen({ pictureLevels: { ...levelsOf({ clipped: 0.12 }), clippedShare: 0.004 } }),
      expect: "note",
    },
    { title: "0.9 % clipped", facts: seen({ pictureLevels: levelsOf({ clipped: 0.009 }) }), expect: "passed" },
    { title: "11 % black", facts: seen({ pictureLevels: levelsOf({ crushed: 0.11 }) }), expect: "note" },
    {
      title: "log",
      facts: seen({ pictureLevels: levelsOf({ clipped: 0.12 }), colourMode: words("x-log") }),
      expect: "unknown",
    },
    {
      title: "no picture was decoded",
      facts: seen({}),
      absent: { pictureLevels: "cannot tell: no picture was decoded" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: {}, expect: "silent" },
  ],
});

function levelsOf({ clipped = 0, crushed = 0 }: { readonly clipped?: number; readonly crushed?: number }) {
  return levels({
    clippedShare: clipped,
    crushedShare: crushed,
    mostClipped: { atSeconds: 12.5, share: clipped },
    mostCrushed: { atSeconds: 12.5, share: crushed },
  });
}
