import { amount, defineRule, limit } from "../rule.ts";
import { remarksOf, remarkText } from "../remarks.ts";

export default defineRule({
  id: "span-part-missing",
  title: "Parts of a split recording",
  cases: ["J5"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `A recording that ends at full size without a shorter last part, or with a hole in its numbers, goes on in a part that is
not on this card.`,
  limits: [
    {
      name: "missing parts",
      default: 0,
      unit: "",
      origin: "computed",
      source: "sizes, numbers and times of the parts",
    },
  ],
  remedyOnLocation: "Search the card and the camera's internal memory.",
  remedyInEdit: "Cut at the hole.",
  sources: ["FAT32 file limit of 4294967295 bytes", "common practice, no source"],
  check: (_facts, { card }) =>
    remarksOf(card, ["span-part-missing"], "whether parts are missing", (remark) => ({
      grade: "workable",
      says: `${remarkText(remark, 60)}: part missing; search the card and the internal memory, or cut there.`,
      measured: amount(remark.paths.length, "files", remarkText(remark, 60)),
      limit: limit(0, "parts", "no part missing", "computed"),
      remedy: "search the card and the internal memory",
      onLocation: "search the card and the camera's internal memory",
      inEdit: "cut at the hole",
      clips: remark.paths,
    })),
  examples: [
    {
      title: "a recording that ends at full size",
      card: { remarks: [{ kind: "span-part-missing", says: "A0003.MP4 ends at full size", paths: ["A0003.MP4"] }] },
      expect: "workable",
    },
    { title: "no part missing", card: { remarks: [] }, expect: "passed" },
    {
      title: "a folder nobody could list",
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
  ],
});
