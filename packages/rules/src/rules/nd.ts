import {
  compare,
  fromNumber,
  nearestNd,
  ndFactorOfStops,
  ndLabel,
  ndStopsOfFactor,
  rate,
  ratio,
  shutterLabel,
  stopsFromAngle,
  type Ratio,
  toNumber,
  typicalValue,
  valueOf,
  viewedAngle,
  shutterAngle,
} from "@goodgate/model";
import { oneOver, startedAt, steps } from "../example-facts.ts";
import { contradicts } from "../measured-shutter.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { short, stopsText } from "../words.ts";

const shortStops = -1;
const atLowestStops = 0.33;
const fedStops = 2;

export default defineRule({
  id: "nd",
  title: "Neutral density",
  cases: ["D4", "D5"],
  scope: "use",
  needs: ["frameRate", "shutterSeconds", "iso"],
  wants: ["ndStops", "fNumber"],
  decides: false,
  // A shutter that needs work names the filter itself.
  causedBy: ["capture-rate-unproven", "shutter-angle", "iso-ceiling"],
  hangsOn: ["timelineRate", "treatment", "ndFactors", "shutterAngleDegrees"],
  explanation: `
At the lowest ISO with too short a shutter there was more light than the filter took: this rule says which filter was
missing. With the right shutter and an ISO two stops up, while other clips of the scene hold the lowest ISO, the filter
took too much. It adds arithmetic to shutter-angle and iso-ceiling and is never more than a note.
`,
  limits: [
    { name: "short of the angle", default: 1, unit: "stops", origin: "house limit", source: practice },
    { name: "at the lowest ISO", default: atLowestStops, unit: "stops", origin: "house limit", source: practice },
    { name: "ISO fed to the filter", default: fedStops, unit: "stops", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Change the filter as named.",
  remedyInEdit: "As for the shutter angle, or for the ISO.",
  sources: ["computed: filters of factor F take log2(F) stops"],
  applies: ({ brief }) => brief.motionLook === "natural",

  check({ shutterSeconds, iso }, { wants, use, uses, figures, place, brief, pictures }) {
    const lowest = Math.min(figures.lowestIso.get(place.camera) ?? Number.POSITIVE_INFINITY, Number.MAX_SAFE_INTEGER);
    const open = typicalValue(shutterSeconds, compare);
    const typical = typicalValue(iso, (a, b) => a - b);
    if (open.numerator <= 0n || typical <= 0) return undefined;
    // A shutter that the blur contradicts tells no light.
    const blur = valueOf(pictures?.measuredAngle);
    if (blur !== undefined && contradicts(blur, toNumber(shutterAngle(use.rates.capture, open)))) return undefined;
    const wanted: Ratio = fromNumber(brief.shutterAngleDegrees) ?? ratio(180n);
    const off = stopsFromAngle(viewedAngle(use.rates.capture, open, use.cadence.step), wanted);
    const over = Math.log2(typical / lowest);
    const fitted = wants.ndStops?.state === "read" ? typicalValue(wants.ndStops.value, (a, b) => a - b) : 0;
    if (off <= shortStops + 1e-9 && over <= atLowestStops) {
      const madeForSlow =
        uses.some((other) => other.use === "slow" && other !== use) &&
        Math.abs(stopsFromAngle(shutterAngle(use.rates.capture, open), wanted)) <= brief.shutterToleranceStops;
      if (madeForSlow) return undefined;
      const needed = fitted - off;
      const ideal = ndLabel(ndFactorOfStops(needed));
      const hand = brief.ndFactors === undefined ? undefined : nearestNd(needed, brief.ndFactors);
      const filter = hand === undefined ? ideal : ndLabel(hand.factor);
      const rest = hand === undefined ? 0 : needed - hand.stops;
      const number = valueOf(wants.fNumber);
      const setting = `ISO ${typical}${number === undefined ? "" : `, f/${short(typicalValue(number, (a, b) => a - b))}`}, ${shutterLabel(open)}`;
      const then =
        hand !== undefined && Math.abs(rest) > brief.shutterToleranceStops
          ? `; at hand ${filter}, still ${stopsText(rest)} ${rest > 0 ? "too bright" : "too dark"}`
          : hand === undefined
            ? ""
            : `; ${filter} is at hand`;
      return {
        case: "D4",
        grade: "note",
        says: `Too bright for ${short(brief.shutterAngleDegrees)}° at ${setting}: ${stopsText(needed)} of ND needed${fitted > 0 ? " in all" : ""} (${ideal})${then}.`,
        measured: amount(
          Number(fitted.toFixed(1)),
          "stops of ND",
          fitted > 0 ? `${stopsText(fitted)} of ND` : "no ND recorded",
        ),
        limit: limit(Number(needed.toFixed(1)), "stops of ND", `${stopsText(needed)} of ND`, "computed"),
        remedy: `fit ${filter}`,
        onLocation: `fit ${filter}`,
        inEdit: "as for the shutter angle",
      };
    }
    const sceneLowest = place.scene === undefined ? undefined : figures.sceneIso.get(place.scene);
    if (Math.abs(off) <= brief.shutterToleranceStops && over >= fedStops - 1e-9 && sceneLowest !== undefined) {
      if (Math.log2(sceneLowest / lowest) > atLowestStops) return "passed";
      const weaker = fitted > 0 ? ` use ${ndLabel(ndFactorOfStops(Math.max(0, fitted - over)))}` : "";
      return {
        case: "D5",
        grade: "note",
        says: `ISO ${typical}, ${stopsText(over)} over ISO ${lowest} of this scene${weaker === "" ? "; if a filter is on, use a weaker one" : `, feeds the filter:${weaker}`}.`,
        measured: amount(typical, "ISO", `ISO ${typical}`),
        limit: limit(lowest, "ISO", `ISO ${lowest}`, "computed"),
        remedy: weaker === "" ? "a weaker filter" : weaker.trim(),
        onLocation: `fit a filter ${stopsText(over)} weaker`,
        inEdit: "noise reduction where it shows",
      };
    }
    return "passed";
  },

  examples: [
    {
      title: "ISO 100 and 1/800 at 25: four stops",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(800), iso: steps(100) },
      brief: { timelineRate: rate(25), ndFactors: [8, 16] },
      expect: "note",
    },
    {
      title: "ISO 100 and 1/80 at 25",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(80), iso: steps(100) },
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "ISO 400 with a filter while the scene holds ISO 100",
      facts: {
        frameRate: rate(25),
        shutterSeconds: oneOver(50),
        iso: steps(400),
        ndStops: steps(ndStopsOfFactor(16)),
        createdAt: startedAt("2024-05-01T10:00:00Z"),
      },
      others: [{ facts: { frameRate: rate(25), iso: steps(100), createdAt: startedAt("2024-05-01T10:02:00Z") } }],
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "ISO 320 with a filter while the scene holds ISO 100",
      facts: {
        frameRate: rate(25),
        shutterSeconds: oneOver(50),
        iso: steps(320),
        createdAt: startedAt("2024-05-01T10:00:00Z"),
      },
      others: [{ facts: { frameRate: rate(25), iso: steps(100), createdAt: startedAt("2024-05-01T10:02:00Z") } }],
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "no ISO recorded",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(800) },
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
  ],
});
