import { seconds } from "@goodgate/model";
import { telemetryOf } from "../example-facts.ts";
import { cannotTell, defineRule, practice } from "../rule.ts";
import { foreignTelemetrySeconds } from "../settle.ts";
import { secondsText } from "../words.ts";

export default defineRule({
  id: "telemetry-of-other-clip",
  title: "Telemetry of this clip",
  cases: ["J7"],
  scope: "clip",
  needs: [],
  wants: ["telemetry", "durationSeconds"],
  decides: true,
  explanation: `
A sidecar that speaks for more than 2 s and 5 % more time than the clip lasts belongs to another clip. It is set aside,
and what it would have answered is unknown. One that is shorter is used as far as it goes; the shutter asks for 90 %.
`,
  limits: [
    { name: "records longer than the clip by", default: 2, unit: "s", origin: "house limit", source: practice },
    { name: "and by", default: 0.05, unit: "share of the clip", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Look for the right sidecar on the card.",
  remedyInEdit: "Judge shutter and ISO by eye.",
  sources: [practice],

  check(_facts, { wants }) {
    const foreign = foreignTelemetrySeconds(wants);
    if (foreign !== undefined) {
      return cannotTell(
        `The sidecar's records last ${secondsText(foreign.records)} and the clip ${secondsText(foreign.clip)}: of another clip, not used.`,
        ["shutterSeconds", "iso", "fNumber"],
        "the sidecar recorded with this clip",
      );
    }
    return wants.telemetry?.state === "read" && wants.durationSeconds?.state === "read" ? "passed" : undefined;
  },

  examples: [
    {
      title: "60 s of records beside 10 s of clip",
      facts: { durationSeconds: seconds(10), telemetry: telemetryOf({ endSeconds: 60 }) },
      expect: "unknown",
    },
    {
      title: "11.9 s of records beside 10 s of clip",
      facts: { durationSeconds: seconds(10), telemetry: telemetryOf({ endSeconds: 11.9 }) },
      expect: "passed",
    },
    { title: "no telemetry", facts: { durationSeconds: seconds(10) }, expect: "silent" },
  ],
});
