import { extremes, miredApart } from "@goodgate/model";
import { steps } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { short } from "../words.ts";

const noteMired = 10;
const workableMired = 25;

export default defineRule({
  id: "white-balance-drift",
  title: "Steady white balance",
  cases: ["F9"],
  scope: "clip",
  needs: [],
  wants: ["whiteBalanceKelvin"],
  asks: ["whiteBalanceKelvin"],
  decides: false,
  explanation: `
Colour temperatures are compared in mired (a million over kelvin), because the eye sees equal steps of it as equal: 10
mired at 5600 K are about 300 K.
`,
  limits: [
    { name: "worth a note from", default: noteMired, unit: "mired", origin: "house limit", source: practice },
    { name: "needs work from", default: workableMired, unit: "mired", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Fix the white balance by hand.",
  remedyInEdit: "Keyframe the temperature.",
  sources: [practice],

  check(_facts, { wants }) {
    if (wants.whiteBalanceKelvin?.state !== "read") return undefined;
    const { least, most } = extremes(wants.whiteBalanceKelvin.value, (a, b) => a - b);
    if (!(least > 0)) return undefined;
    const apart = miredApart(least, most);
    if (apart < noteMired - 1e-9) return "passed";
    const allowed = apart >= workableMired - 1e-9 ? workableMired : noteMired;
    return {
      grade: allowed === workableMired ? "workable" : "note",
      says: `White balance drifted between ${least} and ${most} K (${short(apart, 0)} mired, limit ${allowed}); fix it by hand.`,
      measured: amount(Number(apart.toFixed(1)), "mired", `${short(apart, 0)} mired`),
      limit: limit(allowed, "mired", `${allowed} mired`, "house limit"),
      remedy: "fix the white balance by hand",
      onLocation: "fix the white balance by hand",
      inEdit: "keyframe the temperature",
    };
  },

  examples: [
    { title: "5000 to 5714 K: 25 mired", facts: { whiteBalanceKelvin: steps(5000, 5715) }, expect: "workable" },
    { title: "5000 to 5300 K", facts: { whiteBalanceKelvin: steps(5000, 5300) }, expect: "note" },
    { title: "5000 to 5200 K", facts: { whiteBalanceKelvin: steps(5000, 5200) }, expect: "passed" },
    { title: "no white balance recorded", facts: {}, expect: "unknown" },
  ],
});
