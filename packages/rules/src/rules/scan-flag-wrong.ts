import { type MeasuredCombing, valueOf } from "@goodgate/model";
import { seen } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { shareText } from "../words.ts";

/** More combed frames than this are no accident of the scene; fewer than that are none. House limits. */
const combedShare = 0.1;
const cleanShare = 0.01;

export default defineRule({
  id: "scan-flag-wrong",
  title: "Scan flag against the picture",
  cases: ["G6"],
  scope: "clip",
  needs: [],
  wants: ["combing", "scan", "lookedAt"],
  asks: ["combing"],
  decides: false,
  explanation: `
Frames that move show whether they were woven from two moments: the rows comb. More than a tenth of them combed in a clip
that is not flagged interlaced, or next to none in one that is: the flag is wrong, and programs will weave or unweave what
they should leave. A still picture cannot tell. Asked with --measure only.
`,
  limits: [
    {
      name: "combed without a flag",
      default: combedShare,
      unit: "share of moving frames",
      origin: "house limit",
      source: practice,
    },
    {
      name: "combed with a flag, at least",
      default: cleanShare,
      unit: "share of moving frames",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Set a progressive mode.",
  remedyInEdit: "Set the scan of the clip by hand.",
  sources: [practice],
  applies: picturesAsked,

  check(_facts, { wants }) {
    const combing = valueOf(wants.combing);
    if (combing === undefined) return undefined;
    const scan = valueOf(wants.scan);
    const woven = scan !== undefined && scan !== "progressive";
    const wrong = woven ? combing.combedShare < cleanShare : combing.combedShare > combedShare;
    if (!wrong) return "passed";
    const flag = scan === undefined ? "No scan flag" : `Flagged ${scan}`;
    const share = shareText(combing.combedShare);
    const looked = lookedText(wants.lookedAt);
    const rows = woven || combing.firstField === undefined ? "" : `, ${combing.firstField} rows first`;
    return {
      grade: "workable",
      says: `${flag}, but ${share} of moving pictures comb${rows} (limit ${woven ? 1 : 10} %): set the scan by hand (${looked}).`,
      measured: amount(Number(combing.combedShare.toFixed(3)), "share of moving frames", `${share} combed, ${looked}`),
      limit: woven
        ? limit(cleanShare, "share of moving frames", shareText(cleanShare), "house limit")
        : limit(combedShare, "share of moving frames", shareText(combedShare), "house limit"),
      remedy: "set the scan by hand",
      onLocation: "set a progressive mode",
      inEdit: woven ? "set it to progressive by hand" : "set the field order by hand and deinterlace first",
    };
  },

  examples: [
    {
      title: "combed and flagged progressive",
      facts: seen({ scan: "progressive", combing: combed(0.9) }),
      expect: "workable",
    },
    { title: "combed and not flagged", facts: seen({ combing: combed(0.2) }), expect: "workable" },
    {
      title: "flagged interlaced and nothing combs",
      facts: seen({ scan: "bottom field first", combing: combed(0) }),
      expect: "workable",
    },
    {
      title: "flagged interlaced and combed",
      facts: seen({ scan: "top field first", combing: combed(0.9) }),
      expect: "passed",
    },
    {
      title: "a tenth combed and flagged progressive",
      facts: seen({ scan: "progressive", combing: combed(0.1) }),
      expect: "passed",
    },
    {
      title: "a still picture",
      facts: seen({ scan: "progressive" }),
      absent: { combing: "cannot tell: too few frames move: a still picture shows no combing" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { scan: "progressive" }, expect: "silent" },
  ],
});

function combed(share: number): MeasuredCombing {
  return { combedShare: share, judgedFrames: 200, ...(share > 0 ? { firstField: "bottom" as const } : {}) };
}
