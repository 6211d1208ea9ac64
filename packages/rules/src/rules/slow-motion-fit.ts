import {
  cleanSlowSpeeds,
  divide,
  isEven,
  nearestCleanSpeed,
  nearestMarkedShutter,
  nearMissPartsPerMillion,
  one,
  partsPerMillion,
  percentLabel,
  rate,
  rateCostStops,
  rateLabel,
  ratio,
  shutterLabel,
  shutterTime,
  toNumber,
} from "@goodgate/model";
import { amount, defineRule, limit, practice } from "../rule.ts";
import { short, stopsText } from "../words.ts";

/** Held pictures at this many a second or more still read as motion. Common practice, no source. */
const leastPicturesPerSecond = 24;

export default defineRule({
  id: "slow-motion-fit",
  title: "Slow-motion fit on the timeline",
  cases: ["B1", "B2", "B3", "B4"],
  scope: "use",
  needs: ["frameRate"],
  decides: true,
  causedBy: ["capture-rate-unproven"],
  hangsOn: ["timelineRate", "treatment"],
  explanation: `
A clip captured at C slows cleanly on a timeline T to m·T/C for whole m: at T/C, the full conform, every frame is shown
once. Slower than that, frames are held or invented. A clip that was captured no faster than the timeline has no slow
motion in it at all.
`,
  limits: [
    { name: "clean speeds", default: "m·T/C", unit: "speed", origin: "computed", source: "exact fractions" },
    {
      name: "held pictures",
      default: leastPicturesPerSecond,
      unit: "pictures/s",
      origin: "house limit",
      source: practice,
    },
    { name: "half of the full conform", default: 0.5, unit: "share", origin: "house limit", source: practice },
  ],
  remedyOnLocation:
    "Set a capture rate of at least timeline rate over speed, with a filter less for the shorter shutter.",
  remedyInEdit: "Use the nearest clean speed, or real time.",
  sources: ["computed"],
  applies: ({ use }) => use.use === "slow",

  check(_facts, { use, brief }) {
    const { cadence, timeline, rates, sceneSpeed } = use;
    const capture = rates.capture;
    const [clip, edit] = [rateLabel(capture), rateLabel(timeline)];
    const asked = percentLabel(sceneSpeed);
    const measured = amount(clip, "frames/s", `${clip} fps`);
    const conform = divide(timeline, capture);
    if (partsPerMillion(capture, timeline) <= nearMissPartsPerMillion) {
      const needed =
        use.speedStated && partsPerMillion(sceneSpeed, one) < 0
          ? divide(timeline, sceneSpeed)
          : divide(timeline, ratio(1n, 2n));
      const wanted = rateLabel(needed);
      const shutter = shutterLabel(nearestMarkedShutter(shutterTime(needed, ratio(180n)), needed));
      const cost = stopsText(rateCostStops(toNumber(capture), toNumber(needed)));
      return {
        case: "B4",
        grade: "reshoot",
        says: `Planned slow${use.speedStated ? ` at ${asked} %` : ""}, but ${clip} fps holds no slow motion for ${edit}: record ${wanted} fps at ${shutter}; it needs ${cost} more light.`,
        measured,
        limit: limit(wanted, "frames/s", `${wanted} fps`, "computed"),
        remedy: `${wanted} fps at ${shutter}`,
        onLocation: `set ${wanted} fps at ${shutter}, with ${cost} less ND or more ISO`,
        inEdit: "use it in real time",
      };
    }
    if (isEven(cadence) && cadence.kind !== "held") return "passed";
    if (cadence.kind === "near" && cadence.counts === "source frames per timeline frame") return "passed";
    const nearest = nearestCleanSpeed(capture, timeline, sceneSpeed);
    const best = nearest === undefined ? percentLabel(conform) : percentLabel(nearest.speed);
    if (toNumber(cadence.step) > 1) {
      const all = cleanSlowSpeeds(capture, timeline).map(({ speed }) => percentLabel(speed));
      return {
        case: "B2",
        grade: brief.strictCadence ? "reshoot" : "workable",
        says: `${clip} fps at ${asked} % on ${edit} moves unevenly (${short(toNumber(cadence.step), 3)} recorded frames for each shown); use ${best} %.`,
        measured: amount(asked, "%", `${asked} %`),
        limit: limit(best, "%", `${best} %`, "computed"),
        remedy: `${best} %`,
        inEdit: `clean speeds: ${all.join(", ")} %`,
      };
    }
    const even = cadence.kind === "held" || cadence.kind === "near";
    const pictures = toNumber(timeline) * toNumber(cadence.step);
    const half = toNumber(sceneSpeed) >= toNumber(conform) / 2 - 1e-9;
    const grade =
      even && pictures >= leastPicturesPerSecond ? "note" : !half && brief.strictCadence ? "reshoot" : "workable";
    const needed = rateLabel(divide(timeline, sceneSpeed));
    return {
      case: "B3",
      grade,
      says: `${clip} fps on ${edit} slows down to ${percentLabel(conform)} %; at ${asked} % only ${short(pictures)} new pictures a second are left; use ${percentLabel(conform)} %.`,
      measured: amount(asked, "%", `${asked} %`),
      limit: limit(percentLabel(conform), "%", `${percentLabel(conform)} %`, "computed"),
      remedy: `${percentLabel(conform)} %`,
      onLocation: `${asked} % needs ${needed} fps`,
      inEdit: `stay at ${percentLabel(conform)} %, or interpolate (breaks on rotors, water, leaves, edges)`,
    };
  },

  examples: [
    {
      title: "100 on 25 at the full conform",
      facts: { frameRate: rate(100) },
      brief: { timelineRate: rate(25), treatment: "slow" },
      expect: "passed",
    },
    {
      title: "120 on 24 at 40 %",
      facts: { frameRate: rate(120) },
      brief: { timelineRate: rate(24), treatment: "slow", slowSpeed: ratio(2n, 5n) },
      expect: "passed",
    },
    {
      title: "60 on 25 at 50 %",
      facts: { frameRate: rate(60) },
      brief: { timelineRate: rate(25), treatment: "slow", slowSpeed: ratio(1n, 2n) },
      expect: "workable",
    },
    {
      title: "100 on 50 at 25 %: each frame held twice, 25 pictures a second",
      facts: { frameRate: rate(100) },
      brief: { timelineRate: rate(50), treatment: "slow", slowSpeed: ratio(1n, 4n) },
      expect: "note",
    },
    {
      title: "50 on 25 at 25 %: 12.5 pictures a second",
      facts: { frameRate: rate(50) },
      brief: { timelineRate: rate(25), treatment: "slow", slowSpeed: ratio(1n, 4n) },
      expect: "workable",
    },
    {
      title: "50 on 25 at 10 % where any uneven step is a fault",
      facts: { frameRate: rate(50) },
      brief: { timelineRate: rate(25), treatment: "slow", slowSpeed: ratio(1n, 10n), strictCadence: true },
      expect: "reshoot",
    },
    {
      title: "25 on 25 planned at half speed",
      facts: { frameRate: rate(25) },
      brief: { timelineRate: rate(25), treatment: "slow", slowSpeed: ratio(1n, 2n) },
      expect: "reshoot",
    },
    {
      title: "a clip whose frame rate was not read",
      facts: {},
      brief: { timelineRate: rate(25), treatment: "slow" },
      expect: "unknown",
    },
  ],
});
