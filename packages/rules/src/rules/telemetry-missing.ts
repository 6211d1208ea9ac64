import { oneOver, telemetryOf } from "../example-facts.ts";
import { rate } from "@goodgate/model";
import { amount, defineRule, limit } from "../rule.ts";

export default defineRule({
  id: "telemetry-missing",
  title: "Telemetry beside the clip",
  cases: ["J6"],
  scope: "clip",
  needs: [],
  wants: ["telemetry", "frameRate", "shutterSeconds", "iso"],
  decides: false,
  explains: ["shutterSeconds", "iso", "fNumber"],
  explanation: `
Shutter, ISO and light are known only where the camera wrote them: in a track of the file, in a subtitle sidecar, or in a
metadata file. Without them these questions stay open and the clip stays unknown.
`,
  limits: [{ name: "telemetry", default: "present", unit: "", origin: "default", source: "what the rules ask for" }],
  remedyOnLocation: "Switch the telemetry track or subtitle sidecar on.",
  remedyInEdit: "Look at a pan for the motion blur, at the shadows for noise, at lamps for flicker.",
  sources: ["honesty rule: unknown is never a pass"],

  check(_facts, { wants }) {
    if (wants.frameRate?.state !== "read") return undefined;
    if (wants.telemetry?.state === "read" || wants.shutterSeconds?.state === "read" || wants.iso?.state === "read") {
      return "passed";
    }
    return {
      grade: "note",
      says: "No telemetry for this clip: shutter, ISO, light and flicker cannot be judged; switch the sidecar on next time.",
      measured: amount(0, "records", "no telemetry"),
      limit: limit("present", "", "a track or sidecar", "default"),
      remedy: "switch the telemetry sidecar on",
      onLocation: "switch the telemetry track or subtitle sidecar on",
      inEdit: "look at a pan for motion blur, at shadows for noise, at lamps for flicker",
    };
  },

  examples: [
    { title: "no track and no sidecar", facts: { frameRate: rate(25) }, expect: "note" },
    { title: "a sidecar", facts: { frameRate: rate(25), telemetry: telemetryOf() }, expect: "passed" },
    {
      title: "a shutter stated in the container",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(50) },
      expect: "passed",
    },
    { title: "a clip that was not read", facts: {}, expect: "silent" },
  ],
});
