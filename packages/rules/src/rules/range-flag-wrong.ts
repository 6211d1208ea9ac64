import { type MeasuredCodes, valueOf } from "@goodgate/model";
import { levels, seen } from "../example-facts.ts";
import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { shareText } from "../words.ts";

/** Share of the picture that may lie outside: EBU R 103. */
const outsideShare = 0.01;
/** A picture that ends this near to black and white of narrow range, in 8 bit codes, was made for it. House limit. */
const nearCodes = 8;

export default defineRule({
  id: "range-flag-wrong",
  title: "Range flag against the picture",
  cases: ["F7"],
  scope: "clip",
  needs: [],
  wants: ["pictureLevels", "fullRange", "lookedAt"],
  asks: ["pictureLevels"],
  decides: false,
  explanation: `
Luma code values as they are stored. A clip flagged full range whose codes end where narrow range does (16 and 235 in 8
bit), or one of narrow range with more than 1 % of the picture beyond what EBU R 103 lets pass (5 to 246, 20 to 984 in 10
bit), wears the wrong flag: programs will show it flat or cut its ends off. A dull picture flagged full range that reaches
neither end fits both. Asked with --measure only.
`,
  limits: [
    {
      name: "outside the tolerated codes",
      default: outsideShare,
      unit: "share of the picture",
      origin: "standard",
      source: "EBU R 103",
    },
    { name: "ends within", default: nearCodes, unit: "codes of 16 and 235", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Nothing to set: it is how the camera writes its files.",
  remedyInEdit: "Set the data levels of the clip by hand.",
  sources: ["EBU R 103: 5 to 246 in 8 bit, 20 to 984 in 10 bit, 1 % of the picture"],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const codes = valueOf(wants.pictureLevels)?.codes;
    if (codes === undefined) return undefined;
    const looked = lookedText(wants.lookedAt);
    const full = valueOf(wants.fullRange);
    const step = 2 ** (codes.bitDepth - 8);
    const used = `${codes.least} to ${codes.most}`;
    const base = {
      grade: "workable",
      measured: amount(used, "codes", `codes ${used}, ${looked}`),
      remedy: "set the levels by hand",
    } as const;
    if (full === true) {
      if (codes.least < 16 * step || codes.most > 235 * step) return "passed";
      const near = codes.least <= (16 + nearCodes) * step && codes.most >= (235 - nearCodes) * step;
      if (!near) {
        return cannotTell(
          `Range flag not judged: codes ${used} fit full and narrow range alike.`,
          ["pictureLevels"],
          "a picture with deep black and bright white in it",
          true,
        );
      }
      return {
        ...base,
        says: `Flagged full range, but the picture uses codes ${used} only, narrow range; set the levels by hand (${looked}).`,
        limit: limit("full range", "", "full range", "house limit"),
        inEdit: "set the levels to narrow (video) by hand",
      };
    }
    if (codes.outsideToleratedShare <= outsideShare) return "passed";
    const flag = full === undefined ? "No range flag" : "Flagged narrow range";
    const share = shareText(codes.outsideToleratedShare);
    return {
      ...base,
      says: `${flag}, but ${share} of the picture (limit 1 %) lies beyond it, codes ${used}: set levels by hand (${looked}).`,
      limit: limit(outsideShare, "share of the picture", shareText(outsideShare), "standard"),
      inEdit: "set the levels to full by hand, and see whether highlights return",
    };
  },

  examples: [
    {
      title: "flagged full, codes 16 to 235",
      facts: seen({ fullRange: true, pictureLevels: levels({ codes: codesOf(16, 235) }) }),
      expect: "workable",
    },
    {
      title: "flagged narrow, 4 % beyond it",
      facts: seen({ fullRange: false, pictureLevels: levels({ codes: codesOf(0, 255, 0.04) }) }),
      expect: "workable",
    },
    {
      title: "no flag, 4 % beyond narrow range in 10 bit",
      facts: seen({ pictureLevels: levels({ codes: { ...codesOf(0, 1023, 0.04), bitDepth: 10 } }) }),
      expect: "workable",
    },
    {
      title: "flagged full, codes 0 to 255",
      facts: seen({ fullRange: true, pictureLevels: levels({ codes: codesOf(0, 255, 0.04) }) }),
      expect: "passed",
    },
    {
      title: "flagged narrow, 1 % beyond it",
      facts: seen({ fullRange: false, pictureLevels: levels({ codes: codesOf(3, 250, 0.01) }) }),
      expect: "passed",
    },
    {
      title: "flagged full, a dull picture",
      facts: seen({ fullRange: true, pictureLevels: levels({ codes: codesOf(60, 180) }) }),
      expect: "unknown",
    },
    {
      title: "no picture was decoded",
      facts: seen({ fullRange: true }),
      absent: { pictureLevels: "cannot tell: no picture was decoded" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { fullRange: true }, expect: "silent" },
  ],
});

function codesOf(least: number, most: number, outsideToleratedShare = 0): MeasuredCodes {
  return { bitDepth: 8, least, most, belowNarrowShare: 0, aboveNarrowShare: 0, outsideToleratedShare };
}
