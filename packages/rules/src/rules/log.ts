import { words } from "../example-facts.ts";
import { isLogMode } from "../log-mode.ts";
import { amount, defineRule, type Found, limit, practice } from "../rule.ts";
import { shortened } from "../words.ts";

export default defineRule({
  id: "log",
  title: "Log recording",
  cases: ["F5", "F6"],
  scope: "clip",
  needs: [],
  wants: ["colourMode", "transfer", "bitDepth"],
  asks: ["colourMode"],
  decides: false,
  explanation: `
Judged only when the camera's own record says log; the picture is not looked at. Tagged BT.709 or not at all, a log clip
needs the transform of its profile first. With 8 bits it takes about one stop of grading before skies band.
`,
  limits: [{ name: "bit depth of log", default: 10, unit: "bits", origin: "house limit", source: practice }],
  remedyOnLocation: "Set a 10-bit mode for log.",
  remedyInEdit: "Apply the input transform of the profile; with 8 bits grade gently and dither.",
  sources: [practice],

  check(_facts, { wants }) {
    if (wants.colourMode?.state !== "read") return undefined;
    const mode = wants.colourMode.value.values.find(isLogMode);
    if (mode === undefined) return undefined;
    const found: Found[] = [];
    const tag = wants.transfer?.state === "read" ? wants.transfer.value : undefined;
    const profile = shortened(mode, 24);
    if (tag === undefined || tag === "bt709") {
      found.push({
        case: "F5",
        grade: "note",
        says: `Log by the camera's own record (${profile}), tagged ${tag === undefined ? "nothing" : "BT.709"}: apply the transform of the profile first.`,
        measured: amount(tag ?? "none", "", tag ?? "no transfer tag"),
        limit: limit(mode, "", mode, "computed"),
        remedy: "apply the profile's transform",
        inEdit: "the input transform of this profile, never the BT.709 look first",
      });
    }
    if (wants.bitDepth?.state === "read" && wants.bitDepth.value < 10) {
      found.push({
        case: "F6",
        grade: "workable",
        says: `Log (${profile}) with ${wants.bitDepth.value} bits (10 needed): about one stop of grading before banding; grade gently and dither.`,
        measured: amount(wants.bitDepth.value, "bits", `${wants.bitDepth.value} bits`),
        limit: limit(10, "bits", "10 bits", "house limit"),
        remedy: "grade gently and dither",
        onLocation: "set a 10-bit mode for log",
        inEdit: "grade gently and dither",
      });
    }
    return found.length === 0 ? "passed" : found;
  },

  examples: [
    {
      title: "log with 8 bits",
      facts: { colourMode: words("x-log"), transfer: "bt709", bitDepth: 8 },
      expect: "workable",
    },
    {
      title: "log with 10 bits tagged BT.709",
      facts: { colourMode: words("x_log"), transfer: "bt709", bitDepth: 10 },
      expect: "note",
    },
    { title: "a mode with log in another word", facts: { colourMode: words("analog"), bitDepth: 8 }, expect: "silent" },
    { title: "a plain mode", facts: { colourMode: words("normal"), transfer: "bt709", bitDepth: 8 }, expect: "silent" },
    { title: "no mode recorded", facts: { transfer: "bt709", bitDepth: 8 }, expect: "unknown" },
  ],
});
