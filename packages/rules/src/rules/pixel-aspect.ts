import { equal, one, type Ratio, ratio } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";

export default defineRule({
  id: "pixel-aspect",
  title: "Square pixels",
  cases: ["G4"],
  scope: "clip",
  needs: [],
  wants: ["pixelAspect"],
  asks: ["pixelAspect"],
  decides: false,
  explanation: `Pixels that are not square are stretched for display; when container and stream disagree, programs show different shapes.`,
  limits: [{ name: "pixel aspect", default: "1:1", unit: "", origin: "default", source: "common practice, no source" }],
  remedyOnLocation: "Set another mode.",
  remedyInEdit: "Set the pixel aspect by hand.",
  sources: ["common practice, no source"],

  check(_facts, { wants }) {
    if (wants.pixelAspect?.state !== "read") return undefined;
    const aspect = wants.pixelAspect.value;
    const other = wants.pixelAspect.witnesses?.find((witness) => !equal(witness.value, aspect))?.value;
    if (equal(aspect, one) && other === undefined) return "passed";
    const [here, there] = [text(aspect), other === undefined ? "" : text(other)];
    return {
      grade: other === undefined ? "note" : "workable",
      says:
        other === undefined
          ? `Pixels of ${here}, not 1:1 (square); set the pixel aspect by hand where a program ignores it.`
          : `Pixels of ${here} by one source and ${there} by another (1:1 expected): programs differ; set the pixel aspect by hand after a look.`,
      measured: amount(here, "", other === undefined ? here : `${here} and ${there}`),
      limit: limit("1:1", "", "1:1", "default"),
      remedy: "set the pixel aspect by hand",
      inEdit: "set the pixel aspect by hand",
    };
  },

  examples: [
    { title: "4:3 pixels", facts: { pixelAspect: ratio(4n, 3n) }, expect: "note" },
    {
      title: "container and stream disagree",
      facts: { pixelAspect: ratio(1n) },
      contradicted: { pixelAspect: ratio(4n, 3n) },
      expect: "workable",
    },
    { title: "square", facts: { pixelAspect: ratio(1n) }, expect: "passed" },
    { title: "not stated", facts: {}, expect: "unknown" },
  ],
});

const text = (aspect: Ratio): string => `${aspect.numerator}:${aspect.denominator}`;
