import { amount, defineRule, limit } from "../rule.ts";

export default defineRule({
  id: "interlaced",
  title: "Progressive pictures",
  cases: ["G5"],
  scope: "clip",
  needs: [],
  wants: ["scan"],
  asks: ["scan"],
  decides: false,
  // A flag that the pictures contradict says nothing of them.
  causedBy: ["scan-flag-wrong"],
  explanation: `Interlaced pictures hold two moments in alternate lines; moves comb when they are slowed or scaled.`,
  limits: [{ name: "scan", default: "progressive", unit: "", origin: "default", source: "common practice, no source" }],
  remedyOnLocation: "Set a progressive mode.",
  remedyInEdit: "Deinterlace to double rate first.",
  sources: ["common practice, no source"],

  check(_facts, { wants }) {
    if (wants.scan?.state !== "read") return undefined;
    const scan = wants.scan.value;
    if (scan === "progressive") return "passed";
    return {
      grade: "workable",
      says: `Interlaced (${scan}), not progressive: comb lines on moves when slowed or scaled; deinterlace to double rate first.`,
      measured: amount(scan, "", scan),
      limit: limit("progressive", "", "progressive", "default"),
      remedy: "deinterlace first",
      onLocation: "set a progressive mode",
      inEdit: "deinterlace to double rate first",
    };
  },

  examples: [
    { title: "top field first", facts: { scan: "top field first" }, expect: "workable" },
    { title: "progressive", facts: { scan: "progressive" }, expect: "passed" },
    { title: "not stated", facts: {}, expect: "unknown" },
  ],
});
