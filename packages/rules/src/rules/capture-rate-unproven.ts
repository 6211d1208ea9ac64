import { partsPerMillion, rate, rateLabel, type TelemetrySummary } from "@goodgate/model";
import { cannotTell, defineRule } from "../rule.ts";
import { short } from "../words.ts";
import { telemetryOf } from "../example-facts.ts";

const hint = /(?:^|[^a-z])(?:slow[-_ ]?mo(?:tion)?|slow|hfr|high[-_ ]?speed|super[-_ ]?slow)(?:[^a-z]|$)/i;
/** A codec header that states at least this many times the rate the file plays at hints at slow motion. */
const codecTimes = 1.5;
/** A clock must stray from file time by more than this share to say anything. House limit. */
const clockShare = 0.02;
/** A clock whose own steps leave less than this open shows that a clip is in real time. House limit. */
const fineShare = 0.1;

export default defineRule({
  id: "capture-rate-unproven",
  title: "Capture rate",
  cases: ["B6"],
  scope: "clip",
  needs: ["frameRate"],
  wants: ["captureRate", "codecRate", "telemetry", "scan"],
  decides: true,
  explanation: `
When a name, a folder, the codec's own header or a clock in the telemetry hints at slow motion and nothing proves the
capture rate, the shutter angle and the speed against real life cannot be judged. Without a hint the rate the file plays at
is taken as the capture rate.
`,
  limits: [
    {
      name: "codec header against file",
      default: codecTimes,
      unit: "times",
      origin: "house limit",
      source: "common practice, no source",
    },
  ],
  remedyOnLocation: "Write the mode down, or keep the telemetry sidecar on.",
  remedyInEdit: "Judge by eye: walking people, water.",
  sources: ["honesty rule: unknown is never a pass"],

  check(_facts, { wants, rates, clip }) {
    if (rates === undefined || rates.proven) return undefined;
    const telemetry = wants.telemetry?.state === "read" ? wants.telemetry.value : undefined;
    const clock = telemetry === undefined ? undefined : clockAgainstFile(telemetry);
    if (clock !== undefined && clock.strays) {
      return cannotTell(
        `Plays at ${rateLabel(rates.plays)}, but the records' clock passes ${short(clock.factor, 2)} s per second of it: speed and angle not judged.`,
        ["captureRate"],
        "the recording mode, written down or stated by the camera",
      );
    }
    if (clock?.fine === true) return "passed";
    const codec = wants.codecRate?.state === "read" ? wants.codecRate.value : undefined;
    const progressive = wants.scan?.state !== "read" || wants.scan.value === "progressive";
    const byCodec =
      codec !== undefined &&
      progressive &&
      partsPerMillion(codec, rates.plays) / 1e6 + 1 >= codecTimes &&
      !isDouble(codec, rates.plays);
    const byName = hint.test(clip.name);
    if (!byCodec && !byName) return undefined;
    const why = byName ? "its name hints at slow motion" : `its codec header says ${rateLabel(codec ?? rates.plays)}`;
    return cannotTell(
      `Plays at ${rateLabel(rates.plays)} and ${why}, but nothing proves the capture rate: angle and speed not judged.`,
      ["captureRate"],
      "the telemetry sidecar with its clock, or the recording mode written down",
    );
  },

  examples: [
    {
      title: "a folder named slowmo and no proof",
      name: "slowmo/A.MP4",
      facts: { frameRate: rate(25) },
      expect: "unknown",
    },
    { title: "the codec's header says 120", facts: { frameRate: rate(30), codecRate: rate(120) }, expect: "unknown" },
    {
      title: "the codec counts fields: twice the rate",
      facts: { frameRate: rate(30), codecRate: rate(60) },
      expect: "silent",
    },
    {
      title: "a folder named slowmo and a capture rate in the container",
      name: "slowmo/A.MP4",
      facts: { frameRate: rate(25), captureRate: rate(100) },
      expect: "silent",
    },
    {
      title: "a name with slow in a longer word",
      name: "Slowenia.MP4",
      facts: { frameRate: rate(25) },
      expect: "silent",
    },
    {
      title: "a clock that passes a third of the file's time, at a rate it cannot tell",
      facts: { frameRate: rate(25), telemetry: telemetryOf({ clockSpanSeconds: 3, clockStepSeconds: 0.001 }) },
      expect: "unknown",
    },
    {
      title: "a clock of whole seconds that is off by one",
      facts: { frameRate: rate(25), telemetry: telemetryOf({ clockSpanSeconds: 8, clockStepSeconds: 1 }) },
      expect: "silent",
    },
    {
      title: "a folder named slowmo and a clock in step with the file",
      name: "slowmo/A.MP4",
      facts: { frameRate: rate(25), telemetry: telemetryOf({ clockSpanSeconds: 9, clockStepSeconds: 0.001 }) },
      expect: "passed",
    },
    { title: "a clip whose frame rate was not read", name: "slowmo/A.MP4", facts: {}, expect: "unknown" },
  ],
});

/** Some codecs count fields, so that exactly twice the rate says nothing. */
const isDouble = (codec: Parameters<typeof rateLabel>[0], plays: Parameters<typeof rateLabel>[0]): boolean =>
  Math.abs(partsPerMillion(codec, plays) - 1e6) < 2000;

/** The clock of the records against file time, both from the first record to the start of the last. */
function clockAgainstFile(
  telemetry: TelemetrySummary,
): { readonly factor: number; readonly strays: boolean; readonly fine: boolean } | undefined {
  const { clockSpanSeconds, clockStepSeconds, endSeconds, lagSeconds, spacingSeconds } = telemetry;
  const fileSpan = endSeconds - lagSeconds - spacingSeconds;
  if (clockSpanSeconds === undefined || clockStepSeconds === undefined || !(fileSpan > 0)) return undefined;
  // A clock that stands still or runs back says nothing of the film.
  if (!(clockSpanSeconds > 0)) return undefined;
  const factor = clockSpanSeconds / fileSpan;
  const open = Math.max(clockShare, (1.5 * clockStepSeconds) / fileSpan);
  return { factor, strays: Math.abs(factor - 1) > open, fine: open <= fineShare };
}
