import { amount, defineRule, limit } from "../rule.ts";

const hdr: Readonly<Record<string, string>> = { smpte2084: "PQ", "arib-std-b67": "HLG" };

export default defineRule({
  id: "delivery-range",
  title: "Light range of the delivery",
  cases: ["F3"],
  scope: "clip",
  needs: ["transfer"],
  decides: false,
  hangsOn: ["delivery"],
  explanation: `An HDR clip in an SDR delivery, or the reverse, needs a conversion by a proper transform; without it skies are flat or blown.`,
  limits: [{ name: "light range", default: "the brief's", unit: "", origin: "brief", source: "the brief" }],
  remedyOnLocation: "Set the colour mode of the delivery.",
  remedyInEdit: "Convert with a proper transform, not by a contrast curve.",
  sources: ["ITU-T H.273; ITU-R BT.2100 (public summaries)"],
  applies: ({ brief }) => brief.delivery !== undefined,

  check({ transfer }, { brief }) {
    const range = hdr[transfer] === undefined ? "sdr" : "hdr";
    if (brief.delivery === undefined || range === brief.delivery) return "passed";
    const name = hdr[transfer] ?? "SDR";
    const wanted = brief.delivery.toUpperCase();
    return {
      grade: "workable",
      says: `${name} clip for an ${wanted} delivery: convert it with a proper transform, or skies turn flat or blown.`,
      measured: amount(transfer, "", name),
      limit: limit(brief.delivery, "", wanted, "brief"),
      remedy: "convert with a proper transform",
      onLocation: `set a colour mode for ${wanted}`,
      inEdit: "convert with a proper transform, not by a contrast curve",
    };
  },

  examples: [
    { title: "HLG for SDR", facts: { transfer: "arib-std-b67" }, brief: { delivery: "sdr" }, expect: "workable" },
    { title: "BT.709 for HDR", facts: { transfer: "bt709" }, brief: { delivery: "hdr" }, expect: "workable" },
    { title: "PQ for HDR", facts: { transfer: "smpte2084" }, brief: { delivery: "hdr" }, expect: "passed" },
    { title: "HLG and no delivery stated", facts: { transfer: "arib-std-b67" }, expect: "silent" },
    { title: "no transfer tag", facts: {}, brief: { delivery: "sdr" }, expect: "unknown" },
  ],
});
