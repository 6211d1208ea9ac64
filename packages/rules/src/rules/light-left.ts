import { rate, rateCostStops, rateLabel, toNumber } from "@goodgate/model";
import { oneOver, startedAt, steps } from "../example-facts.ts";
import { lastLight } from "../light-now.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { isoForAngle, thirdStopIso, worthwhileRates } from "../settings.ts";
import { short, stopsText } from "../words.ts";

export default defineRule({
  id: "light-left",
  title: "Light that is left",
  cases: ["D6"],
  scope: "card",
  needs: [],
  asks: ["shutterSeconds", "iso", "fNumber"],
  decides: false,
  hangsOn: ["isoCeiling", "timelineRate"],
  explanation: `
From the settings of the latest clip: what ISO each rate would take now at the wanted angle without a filter, and what
it costs in stops against the timeline's own rate. Not told when every rate stays under the ceiling. A planning
line, give or take a stop, because nobody knows what the meter looked at.
`,
  limits: [{ name: "ISO ceiling", default: "none", unit: "ISO", origin: "brief", source: "the brief" }],
  remedyOnLocation: "Drop the rates over the ceiling.",
  remedyInEdit: "Nothing to do.",
  sources: ["computed: EV = 2·log2(N) − log2(t) − log2(ISO/100)", practice],

  check(_facts, { clips, brief }) {
    const light = lastLight(clips);
    if (light === undefined) return undefined;
    const needs = worthwhileRates(brief.timelineRate).map((capture) => ({
      label: rateLabel(capture),
      cost: rateCostStops(toNumber(brief.timelineRate), toNumber(capture)),
      iso: thirdStopIso(isoForAngle(brief, capture, light.lightEv, light.fNumber)),
    }));
    const ceiling = brief.isoCeiling;
    const over = ceiling === undefined ? [] : needs.filter(({ iso }) => iso > ceiling).map(({ label }) => label);
    const shown = needs.filter(
      (_, place) => place === 0 || place === needs.length - 1 || needs.length < 4 || place === 3,
    );
    const list = shown.map(({ label, iso, cost }, place) => {
      const setting = iso <= brief.baseIso ? `ISO ${brief.baseIso}+ND` : `ISO ${iso}`;
      const stops = place === 0 ? "" : ` (+${place === 1 ? stopsText(cost) : short(cost)})`;
      return `${label}${place === 0 ? " fps" : ""} ${setting}${stops}`;
    });
    if (ceiling !== undefined && over.length === 0) return "passed";
    const [first] = over;
    const none = over.length === needs.length;
    const tail =
      ceiling === undefined
        ? "no ceiling, every rate is open"
        : none
          ? `all over your ${ceiling}: add light`
          : `over your ${ceiling} from ${first ?? ""}: stay below`;
    return {
      grade: "note",
      says: `Light about EV ${short(light.lightEv)}: ${list.join(", ")}; ${tail}.`,
      measured: amount(Number(light.lightEv.toFixed(1)), "EV at ISO 100", `about EV ${short(light.lightEv)}`),
      limit: limit(
        ceiling ?? "none",
        "ISO",
        ceiling === undefined ? "no ceiling" : `ISO ${ceiling}`,
        ceiling === undefined ? "default" : "brief",
      ),
      remedy: ceiling === undefined ? "every rate is open" : none ? "add light" : `not at ${over.join(", ")} fps`,
      ...(ceiling === undefined
        ? {}
        : { onLocation: none ? "add light, or wait for it" : `stay below ${first ?? ""} fps` }),
      clips: [light.lightFrom],
    };
  },

  examples: [
    {
      title: "evening light",
      facts: {
        frameRate: rate(25),
        shutterSeconds: oneOver(50),
        iso: steps(800),
        fNumber: steps(2.8),
        createdAt: startedAt("2024-05-01T20:00:00Z"),
      },
      brief: { timelineRate: rate(25), isoCeiling: 800 },
      expect: "note",
    },
    {
      title: "daylight that leaves every rate under the ceiling",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(2000), iso: steps(100), fNumber: steps(2.8) },
      brief: { timelineRate: rate(25), isoCeiling: 800 },
      expect: "passed",
    },
    {
      title: "no f-number recorded",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(50), iso: steps(800) },
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
  ],
});
