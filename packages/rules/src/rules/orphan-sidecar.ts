import { amount, defineRule, limit } from "../rule.ts";
import { remarksOf, remarkText } from "../remarks.ts";

export default defineRule({
  id: "orphan-sidecar",
  title: "Sidecars with their clips",
  cases: ["J6"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `A sidecar without a clip of its name: the clip was deleted, renamed, or not copied.`,
  limits: [{ name: "sidecars alone", default: 0, unit: "", origin: "computed", source: "the folder tree" }],
  remedyOnLocation: "Look for the clip on the card.",
  remedyInEdit: "Keep the sidecar; ask for the clip.",
  sources: ["common practice, no source"],
  check: (_facts, { card }) =>
    remarksOf(card, ["orphan-sidecar", "lone-sound"], "whether sidecars lie alone", (remark) => ({
      grade: "note",
      says: `${remarkText(remark, 90)}; look for the clip before wiping the card.`,
      measured: amount(remark.paths.length, "files", remarkText(remark, 80)),
      limit: limit(0, "files", "a clip for every sidecar", "computed"),
      remedy: "look for the clip",
      onLocation: "look for the clip before wiping the card",
      inEdit: "keep the sidecar; ask for the clip",
      clips: remark.paths,
    })),
  examples: [
    {
      title: "a sidecar alone",
      card: { remarks: [{ kind: "orphan-sidecar", says: "A0003.SRT lies beside no clip", paths: ["A0003.SRT"] }] },
      expect: "note",
    },
    { title: "none alone", card: { remarks: [] }, expect: "passed" },
    {
      title: "a folder nobody could list",
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
  ],
});
