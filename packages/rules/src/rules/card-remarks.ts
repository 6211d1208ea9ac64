import { amount, defineRule, limit } from "../rule.ts";
import { cut } from "../words.ts";

/** Kinds that have a rule of their own. */
const elsewhere = new Set(["name-collision", "number-gap", "orphan-sidecar", "orphan-proxy"]);

export default defineRule({
  id: "card-remarks",
  title: "Other remarks about the card",
  cases: ["J1", "J13"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Whatever the reading of the folder tree found odd and no other rule speaks of.`,
  limits: [{ name: "remarks", default: 0, unit: "", origin: "computed", source: "the folder tree" }],
  remedyOnLocation: "Copy the card with its folders before doing anything to it.",
  remedyInEdit: "Keep the folder tree as it is.",
  sources: ["common practice, no source"],
  check: (_facts, { card }) =>
    card.remarks
      .filter((remark) => !elsewhere.has(remark.kind))
      .map((remark) => ({
        grade: "note" as const,
        says: cut(remark.says, 139),
        measured: amount(remark.paths.length, "files", cut(remark.says, 80)),
        limit: limit(0, "files", "nothing odd", "computed"),
        remedy: "copy the card with its folders first",
        inEdit: "keep the folder tree as it is",
        clips: remark.paths,
      })),
  examples: [
    {
      title: "a recovered fragment",
      card: {
        remarks: [
          { kind: "recovered-fragment", says: "FILE0000.CHK is a fragment of a repair", paths: ["FILE0000.CHK"] },
        ],
      },
      expect: "note",
    },
    { title: "nothing odd", card: { remarks: [] }, expect: "silent" },
  ],
});
