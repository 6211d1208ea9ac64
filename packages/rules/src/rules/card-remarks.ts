import { remarkText, unseenPlaces } from "../remarks.ts";
import { midSentence } from "../words.ts";
import { amount, defineRule, limit } from "../rule.ts";

/** Kinds that have a rule of their own. */
const elsewhere = new Set([
  "name-collision",
  "case-collision",
  "number-gap",
  "number-jump",
  "orphan-sidecar",
  "lone-sound",
  "orphan-proxy",
  "span-part-missing",
]);
/** Kinds that mean a card that failed: it has to be copied before anything else. */
const failing = new Set(["recovered-fragments", "medium-fails"]);

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
  check(_facts, { card }) {
    const found = card.remarks
      .filter((remark) => !elsewhere.has(remark.kind))
      .map((remark) => ({
        grade: failing.has(remark.kind) ? ("workable" as const) : ("note" as const),
        says: `Odd: ${midSentence(remarkText(remark, 92))}; copy the card with its folders first.`,
        measured: amount(remark.paths.length, "files", remarkText(remark, 92)),
        limit: limit(0, "files", "nothing odd", "computed"),
        remedy: "copy the card with its folders first",
        inEdit: "keep the folder tree as it is",
        clips: remark.paths,
      }));
    return found.length === 0 ? unseenPlaces(card, "what else is odd") : found;
  },
  examples: [
    {
      title: "a recovered fragment",
      card: {
        remarks: [
          { kind: "recovered-fragments", says: "FILE0000.CHK is a fragment of a repair", paths: ["FILE0000.CHK"] },
        ],
      },
      expect: "workable",
    },
    {
      title: "a tree too large to list",
      card: { remarks: [{ kind: "too-many-entries", says: "only the first entries were listed", paths: [] }] },
      expect: "note",
    },
    { title: "nothing odd", card: { remarks: [] }, expect: "silent" },
    {
      title: "a folder nobody could list",
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
  ],
});
