import { valueOf } from "@goodgate/model";
import { amount, cannotTell, defineRule, limit } from "../rule.ts";
import { fitted } from "../words.ts";

const hdr = new Set(["smpte2084", "arib-std-b67"]);

export default defineRule({
  id: "colour-tags-disagree",
  title: "Colour tags agree",
  cases: ["F2"],
  scope: "clip",
  needs: [],
  wants: ["primaries", "transfer", "matrix", "fullRange", "chroma"],
  decides: false,
  explanation: `
The container and the stream may carry different colour tags, and some sets cannot belong together: BT.2020 primaries with
a BT.709 matrix, an HDR transfer on BT.709 primaries, an RGB matrix on subsampled pictures. Programs choose differently.
`,
  limits: [
    { name: "tags", default: "one set that belongs together", unit: "", origin: "standard", source: "ITU-T H.273" },
  ],
  remedyOnLocation: "Nothing.",
  remedyInEdit: "Set the input colour by hand after a look.",
  sources: ["ITU-T H.273"],

  check(_facts, { wants }) {
    const base = {
      grade: "workable" as const,
      remedy: "set the input colour by hand",
      inEdit: "set the input colour by hand after a look",
    };
    for (const name of ["transfer", "primaries", "matrix", "fullRange"] as const) {
      const reading = wants[name];
      if (reading?.state !== "read") continue;
      const other = reading.witnesses?.find((witness) => !witness.agrees);
      if (other === undefined) continue;
      const [used, stated] = [String(reading.value), String(other.value)];
      return {
        ...base,
        says: fitted(
          `${label[name]}: ${used} in one place of the file, ${stated} in another; programs will differ, set it by hand after a look.`,
        ),
        measured: amount(`${stated} (${other.origin.place})`, "", stated),
        limit: limit(`${used} (${reading.origin.place})`, "", used, "standard"),
      };
    }
    const [primaries, transfer, matrix, chroma] = [
      valueOf(wants.primaries),
      valueOf(wants.transfer),
      valueOf(wants.matrix),
      valueOf(wants.chroma),
    ];
    if (primaries === undefined && transfer === undefined && matrix === undefined) {
      return cannotTell(
        "Whether the colour tags agree is not known: the file has none.",
        ["primaries", "transfer", "matrix"],
        "a file whose header states them",
        true,
      );
    }
    const impossible =
      (primaries === "bt2020" && matrix === "bt709") ||
      (transfer !== undefined && hdr.has(transfer) && primaries === "bt709") ||
      (matrix === "gbr" && chroma !== undefined && chroma !== "4:4:4" && chroma !== "4:0:0");
    if (!impossible) return "passed";
    const set = [primaries ?? "none", transfer ?? "none", matrix ?? "none"].join(" / ");
    return {
      ...base,
      says: `Colour tags ${set} (primaries, transfer, matrix) do not belong together; set the input colour by hand after a look.`,
      measured: amount(set, "", set),
      limit: limit("a set that belongs together", "", "a set that belongs together", "standard"),
    };
  },

  examples: [
    {
      title: "BT.709 in the container, HLG in the stream",
      facts: { transfer: "bt709" },
      contradicted: { transfer: "arib-std-b67" },
      expect: "workable",
    },
    {
      title: "PQ on BT.709 primaries",
      facts: { primaries: "bt709", transfer: "smpte2084", matrix: "bt709" },
      expect: "workable",
    },
    {
      title: "HLG on P3 primaries exists",
      facts: { primaries: "smpte432", transfer: "arib-std-b67", matrix: "bt2020nc" },
      expect: "passed",
    },
    { title: "BT.709 throughout", facts: { primaries: "bt709", transfer: "bt709", matrix: "bt709" }, expect: "passed" },
    { title: "no tags", facts: {}, expect: "unknown" },
  ],
});

const label = { transfer: "Transfer", primaries: "Primaries", matrix: "Matrix", fullRange: "Full range" } as const;
