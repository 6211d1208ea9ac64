import { partsPerMillion, rate, rateLabel, type Rate } from "@goodgate/model";
import { amount, defineRule, limit, practice } from "../rule.ts";

/** Must stay below the 999 ppm that part 24 from 23.976. House limit. */
const mostPartsPerMillion = 200;

export default defineRule({
  id: "rate-disagreement",
  title: "Stated against measured rate",
  cases: ["A8"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["frameRate"],
  decides: false,
  explanation: `
The header, a key or the codec may state one rate while the time stamps of the frames say another. The rate in use is the
measured one; both are shown. The usual pair is 24 stated and 23.976 measured, 999 parts per million apart.
`,
  limits: [{ name: "difference", default: mostPartsPerMillion, unit: "ppm", origin: "house limit", source: practice }],
  remedyOnLocation: "Check the camera's rate menu.",
  remedyInEdit: "Set the clip's rate by hand.",
  sources: ["computed"],

  check({ frameRate }, { wants }) {
    if (wants.frameRate?.state !== "read" || wants.frameRate.witnesses === undefined) return undefined;
    let worst: { rate: Rate; off: number } | undefined;
    for (const { value } of wants.frameRate.witnesses) {
      if (value.numerator <= 0n) continue;
      const off = Math.abs(partsPerMillion(value, frameRate));
      if (off > mostPartsPerMillion && (worst === undefined || off > worst.off)) worst = { rate: value, off };
    }
    if (worst === undefined) return "passed";
    const [stated, used, off] = [rateLabel(worst.rate), rateLabel(frameRate), Math.round(worst.off)];
    return {
      grade: "note",
      says: `One source states ${stated} fps, ${used} is in use, ${off} ppm apart (limit ${mostPartsPerMillion}); set ${used} by hand if an edit differs.`,
      measured: amount(off, "ppm", `${off} ppm`),
      limit: limit(mostPartsPerMillion, "ppm", `${mostPartsPerMillion} ppm`, "house limit"),
      remedy: `set ${used} fps by hand`,
      onLocation: "check the camera's rate menu",
      inEdit: `set the clip's rate to ${used} by hand`,
    };
  },

  examples: [
    {
      title: "24 stated, 23.976 measured",
      facts: { frameRate: rate(24000, 1001) },
      contradicted: { frameRate: rate(24) },
      expect: "note",
    },
    {
      title: "23.98 stated, 24000/1001 measured",
      facts: { frameRate: rate(24000, 1001) },
      contradicted: { frameRate: rate(2398, 100) },
      expect: "passed",
    },
    { title: "nobody else speaks of the rate", facts: { frameRate: rate(25) }, expect: "silent" },
    { title: "a clip whose frame rate was not read", facts: {}, expect: "unknown" },
  ],
});
