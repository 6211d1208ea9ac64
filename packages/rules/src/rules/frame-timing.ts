import { nearestStandardRate, rateLabel, ratio, seconds, valueOf } from "@goodgate/model";
import { timing } from "../example-facts.ts";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { counted, secondsText, shareText, short } from "../words.ts";

/** Share of intervals off by more than 5 % that makes a clip variable. House limit. */
const variableShare = 0.01;
/** One lost frame in this time is a note. House limit. */
const secondsPerLoss = 60;
/** A share of frames lost, or one gap, that leaves no continuous use. House limits. */
const lostShare = 0.01;
const longestGapSeconds = 0.5;

export default defineRule({
  id: "frame-timing",
  title: "Frame times",
  cases: ["H1", "H2", "H3"],
  scope: "clip",
  needs: ["timing"],
  wants: ["durationSeconds", "frames"],
  decides: true,
  explanation: `
Every frame has a time. Constant means that all intervals are equal, or equal but for the rounding of a coarse clock:
1/600 of a second at 59.94 writes 10 ticks with an 11 now and then and is no variable rate. Lost frames are intervals of
two, three or more frames; variable means anything else, and editing programs that assume one rate let the sound slide.
`,
  limits: [
    {
      name: "off intervals",
      default: variableShare,
      unit: "share of intervals off by 5 %",
      origin: "house limit",
      source: practice,
    },
    { name: "one lost frame in", default: secondsPerLoss, unit: "s", origin: "house limit", source: practice },
    {
      name: "lost for continuous use",
      default: lostShare,
      unit: "share of frames",
      origin: "house limit",
      source: practice,
    },
    { name: "gap for continuous use", default: longestGapSeconds, unit: "s", origin: "house limit", source: practice },
  ],
  remedyOnLocation: "Use a card of the speed class the camera asks for, and fly the move again.",
  remedyInEdit:
    "Cut at the gap or interpolate single frames; convert a variable rate to a constant one before editing.",
  sources: ["computed", practice],

  check({ timing }, { wants }) {
    const part = timing.stretchSeconds === undefined ? "" : ` in the first ${secondsText(timing.stretchSeconds)}`;
    const medianSeconds = timing.medianTicks / timing.timescale;
    const length = valueOf(wants.durationSeconds);
    const clipSeconds = length === undefined ? undefined : Number(length.numerator) / Number(length.denominator);
    if (timing.lostFrames > 0) {
      const gaps = timing.slips;
      const widest = gaps.reduce((most, slip) => Math.max(most, slip.ticks), timing.mostTicks) / timing.timescale;
      const frames = valueOf(wants.frames);
      const share = frames === undefined || frames === 0 ? 0 : timing.lostFrames / (frames + timing.lostFrames);
      const rare = clipSeconds !== undefined && timing.lostFrames <= clipSeconds / secondsPerLoss;
      const single = gaps.every((slip) => slip.lost <= 1);
      const grade = share > lostShare || widest >= longestGapSeconds ? "reshoot" : rare && single ? "note" : "workable";
      const first = gaps[0] === undefined ? "" : `, first at ${secondsText(gaps[0].seconds)}`;
      return {
        case: "H3",
        grade,
        says: `${counted(timing.lostFrames, "frame")} lost${part}${first} (largest gap ${short(widest * 1000, 0)} ms); cut there or interpolate.`,
        measured: amount(timing.lostFrames, "frames", `${counted(timing.lostFrames, "frame")} lost`),
        limit: limit(0, "frames", "no frame lost", "house limit"),
        remedy: "cut at the gap",
        onLocation: "use a card of the class the camera asks for; fly the move again",
        inEdit: "cut at the gap; interpolate single frames",
        atSeconds: gaps.slice(0, 64).map((slip) => slip.seconds),
      };
    }
    if (timing.kind === "variable" && timing.leastTicks !== timing.mostTicks) {
      // Up to the limit it is a note: a camera that holds its rate has none at all.
      const allowed = timing.offShare > variableShare ? variableShare : 0;
      const least = short(timing.timescale / timing.mostTicks, 2);
      const most = timing.leastTicks > 0 ? short(timing.timescale / timing.leastTicks, 2) : "no time at all";
      const standard = nearestStandardRate(ratio(timing.timescale, Math.max(1, timing.medianTicks)), 20_000);
      const to = standard === undefined ? `${short(1 / medianSeconds, 3)} fps` : `${rateLabel(standard)} fps`;
      return {
        case: "H2",
        grade: allowed > 0 ? "workable" : "note",
        says: `Variable rate, ${least} to ${most} fps${part}, ${shareText(timing.offShare)} of frames 5 % off (limit ${shareText(allowed)}): sound slides; convert to constant ${to}.`,
        measured: amount(timing.offShare, "share of intervals", `${shareText(timing.offShare)} of frames 5 % off`),
        limit: limit(allowed, "share of intervals", shareText(allowed), "house limit"),
        remedy: `convert to constant ${to}`,
        onLocation: "use a recording mode with a constant rate",
        inEdit: `convert to constant ${to} before editing; keep the original`,
      };
    }
    return "passed";
  },

  examples: [
    { title: "all frames 40 ms", facts: { timing: timing() }, expect: "passed" },
    {
      title: "a coarse clock that alternates 16 and 17 ticks",
      facts: { timing: timing({ kind: "rounded", medianTicks: 17, leastTicks: 16, mostTicks: 17 }) },
      expect: "passed",
    },
    {
      title: "one frame lost in 90 s",
      facts: { timing: slipped(1, 1), durationSeconds: seconds(90), frames: 2249 },
      expect: "note",
    },
    {
      title: "one frame lost in 50 s",
      facts: { timing: slipped(1, 1), durationSeconds: seconds(50), frames: 1249 },
      expect: "workable",
    },
    {
      title: "two frames lost at once in 200 s",
      facts: { timing: slipped(2, 2), durationSeconds: seconds(200), frames: 4998 },
      expect: "workable",
    },
    {
      title: "13 frames lost at once: a gap over half a second",
      facts: { timing: slipped(13, 13), durationSeconds: seconds(200), frames: 4987 },
      expect: "reshoot",
    },
    {
      title: "three of 250 frames lost",
      facts: { timing: slipped(3, 1), durationSeconds: seconds(10), frames: 247 },
      expect: "reshoot",
    },
    {
      title: "a phone-like variable rate",
      facts: { timing: timing({ kind: "variable", leastTicks: 33, mostTicks: 55, offShare: 0.3 }) },
      expect: "workable",
    },
    {
      title: "variable in a hundredth of the frames",
      facts: { timing: timing({ kind: "variable", leastTicks: 38, mostTicks: 43, offShare: 0.01 }) },
      expect: "note",
    },
    { title: "frame times not read", facts: {}, expect: "unknown" },
  ],
});

/** Lost frames in gaps of `each`. */
function slipped(lost: number, each: number): ReturnType<typeof timing> {
  const slips = Array.from({ length: lost / each }, (_, place) => ({
    frame: 50 * (place + 1),
    seconds: 2 * (place + 1),
    ticks: 40 * (each + 1),
    lost: each,
  }));
  return timing({ kind: "slips", lostFrames: lost, mostTicks: 40 * (each + 1), slips });
}
