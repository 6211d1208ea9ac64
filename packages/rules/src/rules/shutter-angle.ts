import {
  compare,
  flickerRipple,
  type Facts,
  fromNumber,
  mainsSafeShutters,
  nearestMarkedShutter,
  nearestNd,
  ndFactorOfStops,
  ndLabel,
  rate,
  rateLabel,
  ratio,
  safeRipple,
  type Seconds,
  shutterAngle,
  shutterLabel,
  shutterTime,
  stopsFromAngle,
  toNumber,
  typicalValue,
  valueOf,
  viewedAngle,
} from "@goodgate/model";
import { notReadText } from "../ask.ts";
import { blurOf, moving, oneOver, partly, seen as looked, steps } from "../example-facts.ts";
import { lampsLikely } from "../lamps.ts";
import { supplyOf } from "../fact-words.ts";
import {
  angleFromBlur,
  blurStands,
  gapAndSmear,
  gapLimits,
  gradeOfGap,
  gradeOfSmear,
  leastCoverage,
  mostDegrees,
  smearLimits,
} from "../measured-shutter.ts";
import { amount, briefOrigin, cannotTell, defineRule, limit, noRemedyInEdit, practice } from "../rule.ts";
import { lookedText, wholeClip } from "../seen.ts";
import { angleText, firstFitting, fitted, percentText, rateText, short, shutterText, stopsText } from "../words.ts";

/** Past this distance from the wanted angle a short shutter needs work. Common practice, no source. */
const workableStops = 1;
/** Times as the dial marks them are off by less than this. Common practice, no source. */
const dialStops = 0.1;
/** What 1000/1001 makes in stops, a little more. Computed. */
const familyStops = 0.002;
/** How far a time that is safe under the stated mains may be off: House limit. */
const safeSlackStops = 0.6;
/** From here on a shutter is open all the time a frame lasts. */
const openAllTheTime = 350;
/** A third of a stop is one step of the camera. */
const cameraStepStops = 1 / 3;

export default defineRule({
  id: "shutter-angle",
  title: "Shutter angle",
  cases: ["C1", "C2", "C3", "C4", "C5"],
  scope: "use",
  needs: ["frameRate"],
  wants: ["shutterSeconds", "iso", "fNumber", "ndStops", "measuredAngle", "motion", "lookedAt"],
  decides: true,
  causedBy: ["capture-rate-unproven"],
  hangsOn: ["timelineRate", "treatment", "shutterAngleDegrees", "shutterToleranceStops"],
  explanation: `
The share of a frame's time during which the shutter stands open, times 360. What counts is the angle the viewer sees on
the timeline: 1/240 at 120 is 180 degrees when slowed to 24 and 36 degrees in real time, because four of five frames are
left out. A small angle makes motion look stepped, and no step of the edit brings the missing motion blur back honestly;
the remedy is a neutral density filter. Times on the camera's dial and times that suit the mains count as right. With
--measure the motion of the picture decides how much a short or a long shutter shows: the gap from picture to picture and
the smear within one, in % of the picture's width. Where no shutter was recorded, or the blur contradicts the record, the
angle is the one the blur tells, marked as measured, never more than workable, and unknown when its interval reaches over
a limit.
`,
  limits: [
    { name: "wanted angle", default: 180, unit: "degrees", origin: "default", source: practice },
    { name: "dial marks", default: dialStops, unit: "stops", origin: "house limit", source: practice },
    {
      name: "time safe under the stated mains",
      default: safeSlackStops,
      unit: "stops",
      origin: "house limit",
      source: practice,
    },
    { name: "tolerance", default: 0.5, unit: "stops", origin: "default", source: practice },
    { name: "needs work from", default: workableStops, unit: "stops short", origin: "house limit", source: practice },
    {
      name: "open all the time from",
      default: openAllTheTime,
      unit: "degrees",
      origin: "computed",
      source: "360 degrees is the whole frame",
    },
    {
      name: "gap nobody sees, of work, and past repair below 45 degrees",
      default: `${gapLimits.seen}, ${gapLimits.work}, ${gapLimits.worst}`,
      unit: "% of the width, with --measure",
      origin: "house limit",
      source: "scaled from one picture width in seven seconds at 24 fps and 180 degrees (0.30 %); practice",
    },
    {
      name: "smear of work and past repair",
      default: `${smearLimits.work}, ${smearLimits.worst}`,
      unit: "% of the width, with --measure",
      origin: "house limit",
      source: practice,
    },
    {
      name: "records cover at least",
      default: leastCoverage,
      unit: "share of the clip",
      origin: "house limit",
      source: practice,
    },
  ],
  remedyOnLocation: "Fit the neutral density filter named, and set the shutter time named.",
  remedyInEdit:
    "Add motion blur from motion vectors (it breaks at edges), or use the clip slowed where its angle is right.",
  sources: ["180 degrees: common practice, no source", "angle = 360 · rate · time: computed"],

  check(_facts, about) {
    const { wants, use, uses, brief, pictures } = about;
    const { rates, cadence, timeline } = use;
    const { lookedAt } = wants;
    const blur = pictures === undefined ? undefined : valueOf(wants.measuredAngle);
    const motion = pictures === undefined ? undefined : valueOf(wants.motion);
    const shutterSeconds = valueOf(wants.shutterSeconds);
    if (blur !== undefined && (shutterSeconds === undefined || shutterSeconds.coverage < leastCoverage)) {
      return angleFromBlur({ blur, motion, lookedAt }, about);
    }
    if (shutterSeconds === undefined) {
      const silent = notReadText("Shutter angle", "shutterSeconds", wants.shutterSeconds);
      const blurred = wants.measuredAngle?.state === "absent" && pictures !== undefined ? wants.measuredAngle.why : "";
      return cannotTell(
        blurred === "" ? silent : fitted(`Shutter angle not judged: none recorded, and the blur ${blurred}`),
        ["shutterSeconds"],
        supplyOf("shutterSeconds"),
      );
    }
    if (shutterSeconds.coverage < leastCoverage) {
      return cannotTell(
        `Shutter angle not judged: the records speak for ${short(shutterSeconds.coverage * 100, 0)} % of the clip only (90 % needed).`,
        ["shutterSeconds"],
        "a telemetry track or sidecar that covers the whole clip",
      );
    }
    const open = typicalValue(shutterSeconds, compare);
    const atCapture = shutterAngle(rates.capture, open);
    if (open.numerator <= 0n || toNumber(atCapture) > mostDegrees) {
      return cannotTell(
        `Shutter ${shutterText(open)} is longer than a frame at ${rateText(rates.capture)}: one of the two is wrong, angle not judged.`,
        ["shutterSeconds"],
        "the recording mode, or a look at the picture",
      );
    }
    if (blur !== undefined && blurStands(blur, shutterSeconds, rates.capture)) {
      const recordedDegrees = toNumber(viewedAngle(rates.capture, open, cadence.step));
      return angleFromBlur({ blur, motion, lookedAt, recordedDegrees }, about);
    }
    const wanted = fromNumber(brief.shutterAngleDegrees) ?? ratio(180n);
    const seen = viewedAngle(rates.capture, open, cadence.step);
    const off = stopsFromAngle(seen, wanted);
    const tolerance = brief.shutterToleranceStops;
    const captureForUse = use.use === "slow" || rates.timelapse ? rates.capture : timeline;
    const ideal = shutterTime(captureForUse, wanted);
    const mains = brief.mainsHertz;
    const lit =
      brief.artificialLight === "yes" ||
      (brief.artificialLight === "infer" && lampsLikely(shutterSeconds, wants) === "yes");
    // Under lamps a time that pulses is no remedy.
    const underLamps =
      lit && mains !== undefined ? nearestOf(mainsSafeShutters(captureForUse, mains), ideal) : undefined;
    const marked = nearestMarkedShutter(ideal, captureForUse);
    // Past the dial's long end, as for timelapses, the exact time is set.
    const right = underLamps ?? (apartStops(marked, ideal) > 1 ? ideal : marked);
    const where = use.use === "slow" ? `slowed on ${rateLabel(timeline)}` : `on ${rateLabel(timeline)}`;
    const within = `${short(tolerance, 2)} ${tolerance === 1 ? "stop" : "stops"}`;
    // Sentences are made for what is found alone: most clips pass.
    const measured = () => amount(short(toNumber(seen)), "degrees", `${short(toNumber(seen), 0)} degrees`);
    const asked = () =>
      limit(
        brief.shutterAngleDegrees,
        "degrees",
        `${short(brief.shutterAngleDegrees)} degrees within ${within}`,
        briefOrigin(brief, "shutterAngleDegrees"),
      );
    const target = `${short(brief.shutterAngleDegrees)}° ± ${within}`;
    const fittingAsked = (says: (asked: string) => string): string =>
      firstFitting(says(`${target} asked`), says(target));
    const shown = shutterLabel(open);
    // A dial mark, or a time safe under the stated mains, is as near as the camera goes: 1/60 at 25 under 60 Hz.
    const safe = brief.mainsHertz !== undefined && flickerRipple(open, brief.mainsHertz) <= safeRipple;
    // Dials mark powers of two with round numbers: 1/125 is 1/128, 1/50 stands for 1/48.
    const slack =
      safe && brief.artificialLight !== "no" ? Math.max(tolerance, safeSlackStops) : Math.max(tolerance, dialStops);
    const asSafe = underLamps !== undefined && apartStops(open, underLamps) <= dialStops;
    if (Math.abs(off) <= slack + 1e-9 || asSafe) {
      if (Math.abs(off) <= tolerance + 1e-9) return "passed";
      const why = Math.abs(off) <= dialStops ? "the nearest mark of the dial" : `safe under ${mains ?? ""} Hz lamps`;
      return {
        measured: measured(),
        limit: asked(),
        case: "C1",
        grade: "note",
        says: `Shutter ${shown} is ${short(Math.abs(off), 2)} stops off ${where} (${angleText(seen)}; ${target} asked), yet right: ${why}; leave it.`,
        remedy: "leave it",
        inEdit: "nothing to do",
      };
    }
    if (off < 0) {
      if (brief.motionLook === "crisp") return "passed";
      // A rate of the 1000/1001 family is the whole one to the eye: 1/120 at 59.94 is one stop short on 29.97 as at 60 on 30.
      const grade = off < -workableStops - familyStops ? "workable" : "note";
      const slow = uses.find((other) => other.use === "slow" && other !== use);
      const fitsSlow = slow !== undefined && Math.abs(stopsFromAngle(atCapture, wanted)) <= tolerance;
      if (fitsSlow) {
        return {
          measured: measured(),
          limit: asked(),
          case: "C4",
          grade,
          says: `Made for slow motion: shutter ${shown} is ${angleText(atCapture)} slowed, but ${angleText(seen)} ${where} in real time (${target}); use it slowed.`,
          remedy: "use it slowed",
          onLocation: `a second take at ${rateLabel(timeline)} fps and ${shutterLabel(right)} for real time`,
          inEdit: `use it slowed; in real time average ${short(toNumber(cadence.step))} frames or add motion blur`,
        };
      }
      const moves = motion === undefined ? undefined : gapAndSmear(motion, use, toNumber(seen));
      const known =
        moves === undefined
          ? grade
          : gradeOfGap(moves.gapPercent, toNumber(seen), grade === "workable", use.use !== "slow", wholeClip(lookedAt));
      if (known === "passed") return "passed";
      // The longer time lets ISO fall first; only what is left of the light is a filter's.
      const raised = isoAboveBase(wants.iso, brief.baseIso);
      const gained = toNumber(right) / toNumber(open);
      const fall = Math.min(raised, Math.log2(gained));
      const rest = underLamps === undefined ? -off - fall : Math.log2(gained) - fall;
      if (rest <= cameraStepStops && fall > 0) {
        return {
          measured: measured(),
          limit: asked(),
          case: "C2",
          grade: known,
          says: `Shutter ${shown} is ${stopsText(off)} short ${where} (${angleText(seen)}; ${target} asked): stepped motion; set ${shutterLabel(right)}, ISO falls ${stopsText(fall)}.`,
          remedy: `set ${shutterLabel(right)}`,
          onLocation: `set ${shutterLabel(right)} and let ISO fall ${stopsText(fall)}`,
          inEdit: "add motion blur from motion vectors (breaks at edges), or use it slowed",
        };
      }
      const factor = ndFactorOfStops(rest);
      const hand = brief.ndFactors === undefined ? factor : nearestNd(rest, brief.ndFactors).factor;
      const filter = ndLabel(factor);
      // The filter at hand is named where it is not the one the light asks for.
      const instead = hand === factor ? "" : hand <= 1 ? " (none at hand)" : ` (at hand: ${ndLabel(hand)})`;
      return {
        measured: measured(),
        limit: asked(),
        case: "C2",
        grade: known,
        says:
          moves === undefined
            ? `Shutter ${shown} is ${stopsText(off)} short ${where} (${angleText(seen)}; ${target} asked): stepped motion; ${filter} allows ${shutterLabel(right)}${instead}.`
            : fittingAsked(
                (asked) =>
                  `Shutter ${shown} is ${stopsText(off)} short ${where} (${angleText(seen)}; ${asked}): gap ${percentText(moves.gapPercent)} (limit ${gapLimits.seen}); ${filter}, ${shutterLabel(right)} (${lookedText(lookedAt)}).`,
              ),
        remedy: `${filter} and ${shutterLabel(right)}`,
        onLocation: `fit ${filter} more and set ${shutterLabel(right)}`,
        inEdit: "add motion blur from motion vectors (breaks at edges), or use it slowed",
      };
    }
    const full = toNumber(seen) >= openAllTheTime;
    const smear = motion === undefined ? undefined : gapAndSmear(motion, use, toNumber(seen)).smearPercent;
    return {
      measured: measured(),
      limit: asked(),
      case: "C3",
      grade: smear !== undefined ? gradeOfSmear(smear) : full ? "workable" : "note",
      says:
        smear !== undefined
          ? fittingAsked(
              (asked) =>
                `Shutter ${shown} is ${stopsText(off)} long ${where} (${angleText(seen)}; ${asked}): smear ${percentText(smear)} (limit ${smearLimits.work}); set ${shutterLabel(right)} (${lookedText(lookedAt)}).`,
            )
          : `Shutter ${shown} is ${stopsText(off)} long ${where} (${angleText(seen)}; ${target} asked): moves smear; set ${shutterLabel(right)}.`,
      remedy: `set ${shutterLabel(right)}`,
      onLocation: `set ${shutterLabel(right)} with ${stopsText(off)} less ND or more ISO`,
      inEdit: full ? noRemedyInEdit : "use the slow parts",
    };
  },

  examples: [
    {
      title: "1/50 at 25",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(50) },
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "1/50 at 24 is as near as a dial goes, whatever the tolerance",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(50) },
      brief: { timelineRate: rate(24), shutterToleranceStops: 0.01 },
      expect: "note",
    },
    {
      title: "1/100 at 30 and ISO 1600 under 50 Hz lamps: 1/50 is safe and lets ISO fall",
      facts: { frameRate: rate(30), shutterSeconds: oneOver(100), iso: steps(1600), fNumber: steps(2.8) },
      brief: { timelineRate: rate(30), mainsHertz: 50 },
      expect: "note",
    },
    {
      title: "1/120 at 100 under 60 Hz lamps, the only safe time",
      facts: { frameRate: rate(100), shutterSeconds: oneOver(120) },
      brief: { timelineRate: rate(25), treatment: "slow", mainsHertz: 60, artificialLight: "yes" },
      expect: "note",
    },
    {
      title: "1/60 at 24: 144 degrees",
      facts: { frameRate: rate(24), shutterSeconds: oneOver(60) },
      brief: { timelineRate: rate(24) },
      expect: "passed",
    },
    {
      title: "1/80 at 25: 112 degrees",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(80) },
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "1/100 at 25: 90 degrees, one stop",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(100) },
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "1/101 at 25: just over one stop",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(101) },
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "1/1000 at 25",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(1000) },
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "1/1000 at 25, short on purpose",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(1000) },
      brief: { timelineRate: rate(25), motionLook: "crisp" },
      expect: "passed",
    },
    {
      title: "1/25 at 25: open all the time",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(25) },
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "1/30 at 25: 300 degrees",
      facts: { frameRate: rate(25), shutterSeconds: oneOver(30) },
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "1/240 at 120 slowed to 24",
      facts: { frameRate: rate(120), shutterSeconds: oneOver(240) },
      brief: { timelineRate: rate(24) },
      use: "slow",
      expect: "passed",
    },
    {
      title: "1/240 at 120 in real time on 24",
      facts: { frameRate: rate(120), shutterSeconds: oneOver(240) },
      brief: { timelineRate: rate(24) },
      use: "real time",
      expect: "workable",
    },
    {
      title: "1/30 at 60 contradicts itself",
      facts: { frameRate: rate(60), shutterSeconds: oneOver(30) },
      brief: { timelineRate: rate(30) },
      expect: "unknown",
    },
    {
      title: "records for 89 % of the clip",
      facts: { frameRate: rate(25), shutterSeconds: partly(oneOver(50), 0.89) },
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
    {
      title: "records for 90 % of the clip",
      facts: { frameRate: rate(25), shutterSeconds: partly(oneOver(50), 0.9) },
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "no shutter recorded",
      facts: { frameRate: rate(25) },
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
    {
      title: "none recorded, blur of 60 degrees at 25",
      facts: looked({ frameRate: rate(25), measuredAngle: blurOf(60), motion: moving(0.25) }),
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "none recorded, blur of 95 degrees give or take ten: on both sides of the limit",
      facts: looked({ frameRate: rate(25), measuredAngle: blurOf(95), motion: moving(0.25) }),
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
    {
      title: "none recorded, blur of 180 degrees",
      facts: looked({ frameRate: rate(25), measuredAngle: blurOf(180), motion: moving(0.25) }),
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "none recorded, blur of 350 degrees that smears little",
      facts: looked({ frameRate: rate(25), measuredAngle: blurOf(350), motion: moving(0.25) }),
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "1/50 recorded at 25, but blur of 40 degrees",
      facts: looked({
        frameRate: rate(25),
        shutterSeconds: oneOver(50),
        measuredAngle: blurOf(40),
        motion: moving(0.25),
      }),
      brief: { timelineRate: rate(25) },
      expect: "workable",
    },
    {
      title: "none recorded and nothing moves",
      facts: looked({ frameRate: rate(25) }),
      absent: { measuredAngle: "cannot tell: too little motion" },
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
    {
      title: "1/1000 at 25 over a picture that crosses in three seconds: gaps of 1.3 %",
      facts: looked({ frameRate: rate(25), shutterSeconds: oneOver(1000), motion: moving(0.33) }),
      brief: { timelineRate: rate(25) },
      expect: "reshoot",
    },
    {
      title: "1/1000 at 25 over a picture that hardly moves, all of it looked at",
      facts: looked({ frameRate: rate(25), shutterSeconds: oneOver(1000), motion: moving(0.02) }, 95),
      brief: { timelineRate: rate(25) },
      expect: "passed",
    },
    {
      title: "1/1000 at 25, what was looked at hardly moves",
      facts: looked({ frameRate: rate(25), shutterSeconds: oneOver(1000), motion: moving(0.02) }),
      brief: { timelineRate: rate(25) },
      expect: "note",
    },
    {
      title: "1/25 at 25 over a picture that crosses in two seconds: smear of 2 %",
      facts: looked({ frameRate: rate(25), shutterSeconds: oneOver(25), motion: moving(0.52) }),
      brief: { timelineRate: rate(25) },
      expect: "reshoot",
    },
    {
      title: "a shutter of zero in the records",
      facts: { frameRate: rate(25) },
      damaged: { shutterSeconds: "1/0 is no time" },
      brief: { timelineRate: rate(25) },
      expect: "unknown",
    },
  ],
});

const apartStops = (a: Seconds, b: Seconds): number => Math.abs(Math.log2(toNumber(a) / toNumber(b)));

function nearestOf(times: readonly Seconds[], wanted: Seconds): Seconds | undefined {
  let best: Seconds | undefined;
  for (const time of times) if (best === undefined || apartStops(time, wanted) < apartStops(best, wanted)) best = time;
  return best;
}

/** Stops by which the typical ISO stands above the base; 0 when it is not recorded or not above. */
function isoAboveBase(reading: Facts["iso"], base: number): number {
  const series = valueOf(reading);
  if (series === undefined) return 0;
  return Math.max(0, Math.log2(typicalValue(series, (a, b) => a - b) / base));
}
