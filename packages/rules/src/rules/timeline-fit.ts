import {
  cleanSlowSpeeds,
  divide,
  isEven,
  nearRealTimeSpeed,
  percentLabel,
  type Rate,
  rate,
  rateLabel,
  timelineRates,
  toNumber,
} from "@goodgate/model";
import { amount, briefOrigin, defineRule, type Found, limit, practice } from "../rule.ts";
import { knownCadence } from "../uses.ts";
import { listText, ordinal, shareText, short } from "../words.ts";

/** An odd step of this share of the mean step or less is faint, above the second one strong. House limits, unproven. */
const faintUnevenness = 0.15;
const strongUnevenness = 0.35;

export default defineRule({
  id: "timeline-fit",
  title: "Real-time fit on the timeline",
  cases: ["A1", "A2", "A3", "A5", "A6", "A7"],
  scope: "use",
  needs: ["frameRate"],
  decides: true,
  causedBy: ["capture-rate-unproven"],
  hangsOn: ["timelineRate", "treatment"],
  explanation: `
A clip goes onto a timeline evenly when its rate is the timeline's, a whole multiple of it (every 2nd, 4th frame is
used), or a whole part of it (each frame is held 2 times). Every other rate makes steps of two lengths, seen as judder on
pans and flights along something. A rate 1000/1001 off is no judder but a retime: see near-miss-rate.
`,
  limits: [
    {
      name: "faint unevenness",
      default: faintUnevenness,
      unit: "share of the mean step",
      origin: "house limit",
      source: practice,
    },
    {
      name: "strong unevenness",
      default: strongUnevenness,
      unit: "share of the mean step",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Set the timeline's own rate and fly the moves again.",
  remedyInEdit: "Play at the nearest clean speed; interpolate by motion; blending is the last choice.",
  sources: [
    "computed: exact fractions of the two rates",
    "step lists of ffmpeg's fps filter, run while this rule was written",
  ],
  applies: ({ use }) => use.use === "real time",

  check(_facts, { use, brief }) {
    const { cadence: of, timeline, rates } = use;
    const capture = rates.timelapse ? rates.plays : rates.capture;
    const [clip, edit] = [rateLabel(capture), rateLabel(timeline)];
    const asked = limit(edit, "frames/s", `${edit} fps`, briefOrigin(brief, "timelineRate"));
    const measured = amount(clip, "frames/s", `${clip} fps`);
    const base = { measured, limit: asked };
    if (of.kind === "one for one" || of.kind === "near") return "passed";
    if (of.kind === "every nth") {
      return {
        ...base,
        case: "A2",
        grade: "note",
        says: `${clip} fps on ${edit}: every ${ordinal(of.count)} frame is used, so motion is even; switch frame blending off.`,
        remedy: "drop frames without blending",
        onLocation: `for real time set ${edit} fps`,
        inEdit: "switch frame blending off",
      };
    }
    if (of.kind === "held") {
      return {
        ...base,
        case: "A3",
        grade: "note",
        says: `${clip} fps on ${edit}: each frame is shown ${of.count} times, even, but no smoother than ${clip}; leave it so.`,
        remedy: "leave as it is",
        onLocation: `set ${edit} fps if full motion is wanted`,
        inEdit: "leave, or interpolate by motion",
      };
    }
    const fit = nearRealTimeSpeed(capture, timeline);
    const conform = cleanSlowSpeeds(capture, timeline);
    const slow = conform.at(-1);
    const instead =
      fit !== undefined
        ? `play at ${percentLabel(fit)} %`
        : slow !== undefined
          ? `smooth slowed to ${percentLabel(slow.speed)} %`
          : "interpolate or accept";
    const odd = short(toNumber(of.oddPerSecond));
    const onLocation = `set ${edit} fps and fly the moves again`;
    const inEdit =
      fit !== undefined
        ? `speed ${percentLabel(fit)} %; the sound changes with it`
        : slow !== undefined
          ? `slow to ${percentLabel(slow.speed)} %, or interpolate by motion`
          : "interpolate by motion, or accept";
    const found: Found[] = [];
    if (of.kind === "uneven skip") {
      const off = toNumber(of.unevenness);
      const word = off <= faintUnevenness ? "faint" : off <= strongUnevenness ? "light" : "strong";
      found.push({
        ...base,
        case: "A5",
        grade: word === "faint" ? "note" : word === "strong" && brief.strictCadence ? "reshoot" : "workable",
        says: `${clip} fps does not fit ${edit}: ${odd} uneven ${odd === "1" ? "step" : "steps"} a second (${shareText(off)} off): ${word} judder on moves; ${instead}.`,
        remedy: instead,
        onLocation,
        inEdit,
      });
    } else {
      found.push({
        ...base,
        case: "A6",
        grade: brief.strictCadence ? "reshoot" : "workable",
        says: `${clip} fps does not fit ${edit}: pictures stay ${of.least} or ${of.most} frames, ${odd} ${odd === "1" ? "hitch" : "hitches"} a second, seen on pans; ${instead}.`,
        remedy: instead,
        onLocation,
        inEdit,
      });
    }
    const others = otherTimelines(capture, timeline);
    if (others.length > 0) {
      const list = listText(others, 8);
      found.push({
        ...base,
        case: "A7",
        grade: "note",
        says: `${clip} fps does not fit ${edit}; a timeline of ${list} would take it evenly in real time.`,
        remedy: "choose the timeline by most of the wanted clips",
        inEdit: `a timeline of ${list}`,
      });
    }
    return found;
  },

  examples: [
    { title: "25 on 25", facts: { frameRate: rate(25) }, brief: { timelineRate: rate(25) }, expect: "passed" },
    {
      title: "24 on 23.976 needs a retime only",
      facts: { frameRate: rate(24) },
      brief: { timelineRate: rate(24000, 1001) },
      expect: "passed",
    },
    {
      title: "50 on 25 in real time",
      facts: { frameRate: rate(50) },
      brief: { timelineRate: rate(25), treatment: "real" },
      expect: "note",
    },
    { title: "25 on 50", facts: { frameRate: rate(25) }, brief: { timelineRate: rate(50) }, expect: "note" },
    {
      title: "60 on 25",
      facts: { frameRate: rate(60) },
      brief: { timelineRate: rate(25), treatment: "real" },
      expect: "workable",
    },
    {
      title: "200 on 24 steps by 8 and 9: faint",
      facts: { frameRate: rate(200) },
      brief: { timelineRate: rate(24), treatment: "real" },
      expect: "note",
    },
    {
      title: "60 on 25 where any uneven step is a fault",
      facts: { frameRate: rate(60) },
      brief: { timelineRate: rate(25), treatment: "real", strictCadence: true },
      expect: "reshoot",
    },
    { title: "24 on 30", facts: { frameRate: rate(24) }, brief: { timelineRate: rate(30) }, expect: "workable" },
    { title: "a clip whose frame rate was not read", facts: {}, brief: { timelineRate: rate(25) }, expect: "unknown" },
  ],
});

/** Labels of the timeline rates on which a clip plays evenly in real time, the given one left out. */
const otherTimelines = (capture: Rate, timeline: Rate): readonly string[] =>
  timelineRates
    .filter((other) => isEven(knownCadence(divide(capture, other), other)) && rateLabel(other) !== rateLabel(timeline))
    .map(rateLabel);
