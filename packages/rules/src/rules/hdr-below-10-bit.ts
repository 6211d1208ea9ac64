import { amount, defineRule, limit } from "../rule.ts";

const leastBits = 10;

export default defineRule({
  id: "hdr-below-10-bit",
  title: "Bits for HDR",
  cases: ["F4"],
  scope: "clip",
  needs: [],
  wants: ["transfer", "bitDepth"],
  decides: false,
  explanation: `PQ and HLG are made for 10 and 12 bits. With 8 bits skies band as soon as they are graded, and often before.`,
  limits: [
    {
      name: "bit depth",
      default: leastBits,
      unit: "bits",
      origin: "standard",
      source: "ITU-R BT.2100 gives 10 and 12 bits only (public summaries)",
    },
  ],
  remedyOnLocation: "Set a 10-bit mode.",
  remedyInEdit: "Dither with light noise; grade little.",
  sources: ["ITU-R BT.2100 (public summaries)"],

  check(_facts, { wants }) {
    if (wants.transfer?.state !== "read") return undefined;
    const name =
      wants.transfer.value === "smpte2084" ? "PQ" : wants.transfer.value === "arib-std-b67" ? "HLG" : undefined;
    if (name === undefined) return undefined;
    if (wants.bitDepth?.state !== "read") {
      return {
        unsure: `${name}, but the bit depth was not read: banding not judged.`,
        missing: ["bitDepth"],
        supply: "a file whose header states it",
      };
    }
    const bits = wants.bitDepth.value;
    if (bits >= leastBits) return "passed";
    return {
      grade: "workable",
      says: `${name} with ${bits} bits (${leastBits} needed): skies are likely to band; dither with light noise and grade little.`,
      measured: amount(bits, "bits", `${bits} bits`),
      limit: limit(leastBits, "bits", `${leastBits} bits`, "standard"),
      remedy: "a 10-bit mode",
      onLocation: "set a 10-bit mode",
      inEdit: "dither with light noise; grade little",
    };
  },

  examples: [
    { title: "HLG with 8 bits", facts: { transfer: "arib-std-b67", bitDepth: 8 }, expect: "workable" },
    { title: "PQ with 10 bits", facts: { transfer: "smpte2084", bitDepth: 10 }, expect: "passed" },
    { title: "BT.709 with 8 bits", facts: { transfer: "bt709", bitDepth: 8 }, expect: "silent" },
    { title: "HLG and no bit depth", facts: { transfer: "arib-std-b67" }, expect: "unknown" },
  ],
});
