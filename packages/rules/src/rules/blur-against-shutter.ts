import { compare, rate, shutterAngle, shutterLabel, toNumber, typicalValue, valueOf } from "@goodgate/model";
import { blurOf, oneOver, seen } from "../example-facts.ts";
import { contradictionFactor, contradicts } from "../measured-shutter.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { lookedText, picturesAsked } from "../seen.ts";
import { angleText } from "../words.ts";

/** Slower motion blurs too little to compare, in picture widths a second. House limit. */
const leastWidthsPerSecond = 0.05;

const at25 = { frameRate: rate(25), width: 3840 };

export default defineRule({
  id: "blur-against-shutter",
  title: "Blur against the recorded shutter",
  cases: ["M3"],
  scope: "clip",
  needs: [],
  wants: ["measuredAngle", "shutterSeconds", "frameRate", "width", "lookedAt"],
  asks: ["measuredAngle"],
  decides: false,
  causedBy: ["capture-rate-unproven"],
  explanation: `
The angle that the blur of moving pictures tells, against the recorded shutter time at the capture rate. More than twice
apart, with the recorded angle outside the 95 % interval, one of the two is wrong: frames are blended, the picture was
stabilised after it was exposed, or the records belong to another clip. The shutter angle is then judged by the blur.
Asked with --measure only.
`,
  limits: [
    {
      name: "apart by more than",
      default: contradictionFactor,
      unit: "times",
      origin: "house limit",
      source: practice,
    },
    {
      name: "motion of at least",
      default: leastWidthsPerSecond,
      unit: "picture widths a second",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Switch electronic stabilisation off.",
  remedyInEdit: "Judge the motion by the picture.",
  sources: [practice, "blur = motion · time: computed"],
  applies: picturesAsked,

  check(_facts, { wants, rates }) {
    const blur = valueOf(wants.measuredAngle);
    const shutter = valueOf(wants.shutterSeconds);
    if (blur === undefined || shutter === undefined || rates === undefined) return undefined;
    const open = typicalValue(shutter, compare);
    const recorded = toNumber(shutterAngle(rates.capture, open));
    if (!(recorded > 0)) return undefined;
    const width = valueOf(wants.width) ?? Number.POSITIVE_INFINITY;
    const fastest = Math.max(0, ...blur.stretches.map((each) => each.pixelsPerFrame));
    if ((fastest * toNumber(rates.plays)) / width < leastWidthsPerSecond) return undefined;
    if (!contradicts(blur, recorded)) return "passed";
    const interval = `${angleText(blur.low)} to ${angleText(blur.high)}`;
    const looked = lookedText(wants.lookedAt);
    return {
      grade: "note",
      says: `Blur says ${angleText(blur.degrees)} (${interval}), the recorded ${shutterLabel(open)} ${angleText(recorded)} (limit 2 times): blended or wrong; trust the picture (${looked}).`,
      measured: amount(
        Number(blur.degrees.toFixed(0)),
        "degrees",
        `${angleText(blur.degrees)} from blur, ${interval}, ${looked}`,
      ),
      limit: limit(contradictionFactor, "times", `${contradictionFactor} times`, "house limit"),
      remedy: "trust the picture",
      onLocation: "switch electronic stabilisation off; look at which records belong to the clip",
      inEdit: "judge the motion by the picture",
    };
  },

  examples: [
    {
      title: "blur of 180 degrees and 1/500 recorded at 25",
      facts: seen({ ...at25, shutterSeconds: oneOver(500), measuredAngle: blurOf(180) }),
      expect: "note",
    },
    {
      title: "blur of 180 degrees and 1/60 recorded at 25",
      facts: seen({ ...at25, shutterSeconds: oneOver(60), measuredAngle: blurOf(180) }),
      expect: "passed",
    },
    {
      title: "2.2 times apart, but inside a wide interval",
      facts: seen({ ...at25, shutterSeconds: oneOver(50), measuredAngle: { ...blurOf(80), high: 190 } }),
      expect: "passed",
    },
    {
      title: "no shutter recorded",
      facts: seen({ ...at25, measuredAngle: blurOf(180) }),
      expect: "silent",
    },
    {
      title: "nothing moves",
      facts: seen({ ...at25, shutterSeconds: oneOver(50) }),
      absent: { measuredAngle: "cannot tell: too little motion" },
      expect: "unknown",
    },
    { title: "nobody asked the pictures", facts: { ...at25, shutterSeconds: oneOver(500) }, expect: "silent" },
  ],
});
