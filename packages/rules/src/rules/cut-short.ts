import { compare, divide, type FactValues, rate, type Seconds, seconds, toNumber, valueOf } from "@goodgate/model";
import { amount, cannotTell, defineRule, limit, practice } from "../rule.ts";
import { fitted, secondsText, shareText, sizeText } from "../words.ts";

const usableShare = 0.9;

export default defineRule({
  id: "cut-short",
  title: "Data whole",
  cases: ["I2", "I3"],
  scope: "clip",
  needs: [],
  wants: ["structure", "frameRate", "fileBytes", "dataExtent", "durationSeconds", "mediaSeconds", "usableSeconds"],
  decides: true,
  root: true,
  explanation: `
A file whose index stands in front still opens when its end is missing, and plays to where the data stops. The index says
where the last sample ends; the file must be at least as long. Programs that only look at the header call it whole.
`,
  limits: [
    { name: "usable part", default: usableShare, unit: "share of the data", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Copy again and compare with the card; if the card's own file is short, fly the shot again.",
  remedyInEdit: "Use it up to where the data ends.",
  sources: ["computed: last sample of the index against the file size"],
  causedBy: ["unclosed-recording"],

  check(_facts, { wants }) {
    if (wants.structure?.state === "read") return "passed";
    if (wants.structure?.state !== "damaged" || wants.frameRate?.state !== "read") return undefined;
    const extent = valueOf(wants.dataExtent);
    const bytes = valueOf(wants.fileBytes);
    const share = usableShareOf(valueOf(wants.usableSeconds), valueOf(wants.mediaSeconds), extent, bytes);
    if (share === undefined) {
      return cannotTell(
        fitted(`The file is damaged and how much is lost is not known: ${wants.structure.why}`),
        ["structure"],
        "another copy of the file, or a look at the whole clip",
      );
    }
    const shown = valueOf(wants.durationSeconds);
    const length = shown === undefined ? undefined : toNumber(shown);
    const missing =
      extent === undefined || bytes === undefined || extent.endByte <= bytes
        ? ""
        : `, ${sizeText(extent.endByte - bytes)} missing`;
    const until = length === undefined ? "" : `, about ${secondsText(length * share)} of ${secondsText(length)}`;
    const failed = share < usableShare;
    const least = failed ? usableShare : 1;
    return {
      case: "I2",
      grade: failed ? "reshoot" : "workable",
      says: `The data ends early: ${shareText(share)} usable${until} (limit ${shareText(least)})${missing}; copy again and compare with the card.`,
      measured: amount(Number(share.toFixed(4)), "share of the data", `${shareText(share)} of the data`),
      limit: limit(least, "share of the data", shareText(least), failed ? "house limit" : "computed"),
      remedy: "copy again and compare",
      onLocation: "copy again and compare with the card; if the card's own file is short, fly the shot again",
      inEdit: `use it up to ${length === undefined ? shareText(share) : secondsText(length * share)}`,
    };
  },

  examples: [
    {
      title: "half of the data",
      facts: {
        frameRate: rate(25),
        durationSeconds: seconds(10),
        fileBytes: 500,
        dataExtent: { firstByte: 0, endByte: 1000 },
      },
      damaged: { structure: "data ends early" },
      expect: "reshoot",
    },
    {
      title: "89.9 % of the data",
      facts: { frameRate: rate(25), fileBytes: 899, dataExtent: { firstByte: 0, endByte: 1000 } },
      damaged: { structure: "data ends early" },
      expect: "reshoot",
    },
    {
      title: "90 % of the data",
      facts: { frameRate: rate(25), fileBytes: 900, dataExtent: { firstByte: 0, endByte: 1000 } },
      damaged: { structure: "data ends early" },
      expect: "workable",
    },
    {
      title: "the index lists ten seconds, nine lie inside the file",
      facts: { frameRate: rate(25), mediaSeconds: seconds(10), usableSeconds: seconds(9) },
      damaged: { structure: "data ends early" },
      expect: "workable",
    },
    {
      title: "damage of unknown size",
      facts: { frameRate: rate(25), fileBytes: 1000, dataExtent: { firstByte: 0, endByte: 1000 } },
      damaged: { structure: "a box of impossible size" },
      expect: "unknown",
    },
    { title: "a whole file", facts: { frameRate: rate(25), structure: "whole" }, expect: "passed" },
    { title: "structure not looked at", facts: { frameRate: rate(25) }, expect: "silent" },
  ],
});

/** Share of the clip whose data lies inside the file: by the times of its samples, else by their bytes. */
function usableShareOf(
  usable: Seconds | undefined,
  media: Seconds | undefined,
  extent: FactValues["dataExtent"] | undefined,
  bytes: number | undefined,
): number | undefined {
  if (usable !== undefined && media !== undefined && media.numerator > 0n && compare(usable, media) < 0) {
    return toNumber(divide(usable, media));
  }
  if (extent === undefined || bytes === undefined || extent.endByte <= bytes || extent.endByte <= extent.firstByte) {
    return undefined;
  }
  return Math.max(0, (bytes - extent.firstByte) / (extent.endByte - extent.firstByte));
}
