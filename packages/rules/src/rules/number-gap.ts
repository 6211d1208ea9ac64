import { amount, defineRule, limit } from "../rule.ts";
import { remarksOf, remarkText } from "../remarks.ts";

export default defineRule({
  id: "number-gap",
  title: "Running numbers",
  cases: ["J3"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `A number missing between the first and the last means a clip that was deleted, or lies on another card or in the
camera's internal memory.`,
  limits: [{ name: "missing numbers", default: 0, unit: "", origin: "computed", source: "the file names" }],
  remedyOnLocation: "Look in the internal memory before packing.",
  remedyInEdit: "Ask the operator.",
  sources: ["common practice, no source"],
  check: (_facts, { card }) =>
    remarksOf(card, ["number-gap", "number-jump"], "whether numbers are missing", (remark) => ({
      grade: "note",
      says: `${remarkText(remark, 92)}; look in the internal memory before packing.`,
      measured: amount(remark.says, "", remarkText(remark, 80)),
      limit: limit(0, "numbers", "no number missing", "computed"),
      remedy: "look in the internal memory",
      onLocation: "look in the internal memory before packing",
      inEdit: "ask the operator",
      clips: remark.paths,
    })),
  examples: [
    {
      title: "a number missing",
      card: {
        remarks: [
          { kind: "number-gap", says: "0003 is missing between 0002 and 0004", paths: ["A0002.MP4", "A0004.MP4"] },
        ],
      },
      expect: "note",
    },
    { title: "no gap", card: { remarks: [] }, expect: "passed" },
    {
      title: "a folder nobody could list",
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
  ],
});
