import { divide, percentLabel, rate, rateLabel, toNumber } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";
import { short } from "../words.ts";

export default defineRule({
  id: "baked-slow-motion",
  title: "Slow motion or timelapse made in the camera",
  cases: ["B5"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["captureRate"],
  decides: false,
  explanation: `
Some modes capture at one rate and write a file that plays at another. Speeds of the edit count against real life, so the
file's own speed must be known: 100 captured and 25 played is already slowed to 25 %, and real time is 400 % of the file.
The capture rate comes from the container's own key, or from a clock in the telemetry that runs slower or faster than the
file by more than 2 %.
`,
  limits: [
    {
      name: "clock against file",
      default: 0.02,
      unit: "share",
      origin: "house limit",
      source: "common practice, no source",
    },
    {
      name: "nearness to a recording mode",
      default: 0.01,
      unit: "share",
      origin: "house limit",
      source: "common practice, no source",
    },
  ],
  remedyOnLocation: "Nothing; write the mode down.",
  remedyInEdit: "Set the file's speed as the plan says; do not slow it a second time.",
  sources: ["computed"],

  check(_facts, { wants, rates }) {
    if (wants.captureRate?.state !== "read" || rates === undefined) return undefined;
    if (rates.capture === rates.plays) return "passed";
    const [capture, plays] = [rateLabel(rates.capture), rateLabel(rates.plays)];
    if (capture === plays) return "passed";
    const known = wants.captureRate.origin.kind === "inferred" ? "by the clock of its records" : "as the file says";
    const realTime = percentLabel(divide(rates.capture, rates.plays));
    const already = percentLabel(divide(rates.plays, rates.capture));
    const measured = amount(capture, "frames/s", `${capture} fps`);
    const plain = limit(plays, "frames/s", `${plays} fps`, "computed");
    if (rates.timelapse) {
      return {
        grade: "note",
        says: `A timelapse: filmed at ${capture} fps, plays at ${plays} ${known}, ${short(toNumber(divide(rates.plays, rates.capture)))} times as fast; use it as it lies.`,
        measured,
        limit: plain,
        remedy: "use it as it lies",
        inEdit: "use it as it lies",
      };
    }
    return {
      grade: "note",
      says: `Already slow motion: filmed at ${capture} fps, plays at ${plays} (${already} % of life, ${known}); for real time set ${realTime} %.`,
      measured,
      limit: plain,
      remedy: `real time is speed ${realTime} %`,
      inEdit: "set the speed of the plan; never slow it a second time",
    };
  },

  examples: [
    { title: "100 captured, 25 played", facts: { frameRate: rate(25), captureRate: rate(100) }, expect: "note" },
    {
      title: "60 stated beside time stamps of 59.94",
      facts: { frameRate: rate(60000, 1001), captureRate: rate(60) },
      expect: "passed",
    },
    { title: "one picture a second, 25 played", facts: { frameRate: rate(25), captureRate: rate(1) }, expect: "note" },
    { title: "no capture rate anywhere", facts: { frameRate: rate(25) }, expect: "silent" },
    { title: "a clip whose frame rate was not read", facts: { captureRate: rate(100) }, expect: "unknown" },
  ],
});
