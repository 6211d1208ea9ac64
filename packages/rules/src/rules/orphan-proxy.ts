import { amount, defineRule, limit } from "../rule.ts";
import { remarksOf, remarkText } from "../remarks.ts";

export default defineRule({
  id: "orphan-proxy",
  title: "Proxies with their originals",
  cases: ["J9"],
  scope: "card",
  needs: [],
  decides: false,
  explanation: `A proxy without its original means that the original is missing: nothing may be wiped before it is found.`,
  limits: [{ name: "proxies alone", default: 0, unit: "", origin: "computed", source: "the folder tree" }],
  remedyOnLocation: "Find the original before anything is wiped.",
  remedyInEdit: "A proxy stands in for nothing but a rough cut.",
  sources: ["common practice, no source"],
  check: (_facts, { card }) =>
    remarksOf(card, ["orphan-proxy"], "whether proxies lack their originals", (remark) => ({
      grade: "reshoot",
      says: `${remarkText(remark, 80)}: the original is missing; find it before anything is wiped.`,
      measured: amount(remark.paths.length, "files", remarkText(remark, 80)),
      limit: limit(0, "files", "an original for every proxy", "computed"),
      remedy: "find the original",
      onLocation: "find the original before anything is wiped; else fly the shot again",
      inEdit: "the proxy for a rough cut, nothing more",
      clips: remark.paths,
    })),
  examples: [
    {
      title: "a proxy alone",
      card: { remarks: [{ kind: "orphan-proxy", says: "A0003.LRF has no original", paths: ["A0003.LRF"] }] },
      expect: "reshoot",
    },
    { title: "none alone", card: { remarks: [] }, expect: "passed" },
    {
      title: "a folder nobody could list",
      card: { skipped: [{ path: "DCIM/101", why: "folder cannot be listed", unread: true }] },
      expect: "unknown",
    },
  ],
});
