import { amount, defineRule, limit } from "../rule.ts";
import { remarksOf } from "../remarks.ts";
import { nameText } from "../words.ts";

export default defineRule({
  id: "name-collision",
  title: "Names of their own",
  cases: ["J2"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `Files of one name in two folders (letter case does not count) overwrite each other in a flat copy.`,
  limits: [{ name: "files of one name", default: 1, unit: "", origin: "computed", source: "the folder tree" }],
  remedyOnLocation: "Copy with folders.",
  remedyInEdit: "Relink by start time or content.",
  sources: ["computed"],
  check: (_facts, { card }) =>
    remarksOf(card, ["name-collision", "case-collision"], "whether names collide", (remark) => ({
      grade: "workable",
      says: `${remark.paths.length} files of one name, ${nameText(remark.paths[0] ?? "", 32)} (letter case apart): a flat copy would overwrite; copy with folders.`,
      measured: amount(remark.paths.length, "files", `${remark.paths.length} files of one name`),
      limit: limit(1, "files", "one file of a name", "computed"),
      remedy: "copy with folders",
      onLocation: "copy with folders",
      inEdit: "relink by start time or content",
      clips: remark.paths,
    })),
  examples: [
    {
      title: "one name in two folders",
      card: { remarks: [{ kind: "name-collision", says: "A.MP4 exists twice", paths: ["1/A.MP4", "2/A.MP4"] }] },
      expect: "workable",
    },
    { title: "names of their own", card: { remarks: [] }, expect: "passed" },
    {
      title: "a folder nobody could list",
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
  ],
});
