import { type MeasuredNoise, valueOf } from "@goodgate/model";
import { seen } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { short, stopsText } from "../words.ts";

/** Noise in the shadows that nobody minds, in % of the signal range. House limit. */
const houseLimitPercent = 0.8;
/** From this many times the limit on it needs work: 1.6 % where 0.8 % is the limit. House limit. */
const workableTimes = 2;
/** From this many times the limit on a stated limit is missed beyond repair: 3 % where 0.8 % is the limit. House limit. */
const reshootTimes = 3.75;

export default defineRule({
  id: "noise-measured",
  title: "Noise in the picture",
  cases: ["M1"],
  scope: "clip",
  needs: [],
  wants: ["noise", "noiseBeforeCoding", "lookedAt"],
  asks: ["noise"],
  decides: false,
  hangsOn: [],
  explanation: `
Random noise as it is left in the pictures after the camera's denoiser and its coding, in the shadows (10 to 40 % of the
range) where it shows most, as a deviation in % of the signal range. Beside it stand the signal to noise ratio at middle
grey in decibels and how many stops of ISO it would take to grow photon noise from the limit to this, 2·log2 of the ratio.
Little noise is no proof of a clean picture: a denoiser may have taken the detail with it. Asked with --measure only.
`,
  limits: [
    {
      name: "noise in the shadows (noiseLimit in the brief)",
      default: houseLimitPercent,
      unit: "% of the signal range",
      origin: "house limit",
      source: practice,
    },
    {
      name: "needs work from",
      default: workableTimes,
      unit: "times the limit",
      origin: "house limit",
      source: practice,
    },
    {
      name: "past repair from, where the brief states the limit",
      default: reshootTimes,
      unit: "times the limit",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "A lower ISO with a weaker filter or a slower rate, or more light.",
  remedyInEdit: "Temporal noise reduction before the grade; it costs detail.",
  sources: [practice, "stops from the root law of photon noise: computed"],
  applies: picturesAsked,

  check(_facts, { wants, brief }) {
    const noise = valueOf(wants.noise);
    if (noise === undefined) return undefined;
    const most = brief.noiseLimitPercent ?? houseLimitPercent;
    const stated = brief.noiseLimitPercent !== undefined;
    const sigma = noise.shadowSigmaPercent ?? noise.sigmaPercent;
    if (sigma <= most) return "passed";
    const where = noise.shadowSigmaPercent === undefined ? "Noise" : "Noise in the shadows";
    const looked = lookedText(wants.lookedAt);
    const stops = stopsText(2 * Math.log2(sigma / most));
    const decibels = `${short(noise.signalToNoiseDecibels, 0)} dB`;
    const times = sigma / most;
    const before = valueOf(wants.noiseBeforeCoding);
    const coded = before === undefined ? "" : `, ${short(before.sigmaPercent, 2)} % before the codec`;
    return {
      grade: stated && times > reshootTimes ? "reshoot" : times > workableTimes ? "workable" : "note",
      says: `${where} ${short(sigma, 2)} % (${decibels}, limit ${short(most, 2)} %), like ${stops} more ISO; lower ISO, or denoise (${looked}).`,
      measured: amount(
        Number(sigma.toFixed(3)),
        "% of the signal range",
        `${short(sigma, 2)} %, ${decibels} at middle grey${coded}, ${looked}`,
      ),
      limit: limit(most, "% of the signal range", `${short(most, 2)} %`, stated ? "brief" : "house limit"),
      remedy: "lower ISO, or denoise",
      onLocation: "lower the ISO: weaker ND, slower rate or more light",
      inEdit: "temporal noise reduction before the grade; it costs detail",
    };
  },

  examples: [
    { title: "1 % in the shadows", facts: seen({ noise: noiseOf(1) }), expect: "note" },
    { title: "2 % in the shadows", facts: seen({ noise: noiseOf(2) }), expect: "workable" },
    { title: "4 % and no limit in the brief", facts: seen({ noise: noiseOf(4) }), expect: "workable" },
    {
      title: "4 % where the brief allows 1 %",
      facts: seen({ noise: noiseOf(4) }),
      brief: { noiseLimitPercent: 1 },
      expect: "reshoot",
    },
    {
      title: "1 % where the brief allows 1.2 %",
      facts: seen({ noise: noiseOf(1) }),
      brief: { noiseLimitPercent: 1.2 },
      expect: "passed",
    },
    { title: "0.8 % in the shadows", facts: seen({ noise: noiseOf(0.8) }), expect: "passed" },
    {
      title: "no flat area",
      facts: seen({}),
      absent: { noise: "cannot tell: no flat area" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: {}, expect: "silent" },
  ],
});

function noiseOf(shadowSigmaPercent: number): MeasuredNoise {
  return {
    sigmaPercent: shadowSigmaPercent,
    shadowSigmaPercent,
    signalToNoiseDecibels: 20 * Math.log10(50 / shadowSigmaPercent),
    stopsOverReference: 2 * Math.log2(shadowSigmaPercent / 0.8),
    fineSigmaPercent: shadowSigmaPercent,
    perLevel: [],
  };
}
