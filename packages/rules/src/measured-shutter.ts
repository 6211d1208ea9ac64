import {
  compare,
  type MeasuredAngle,
  type MeasuredMotion,
  ndFactorOfStops,
  ndLabel,
  nearestMarkedShutter,
  fromNumber,
  type Rate,
  rateLabel,
  type Ratio,
  ratio,
  type Reading,
  type LookedAt,
  type Seconds,
  type Series,
  shutterAngle,
  shutterLabel,
  shutterTime,
  toNumber,
  typicalValue,
} from "@goodgate/model";
import { type About, type Answer, amount, cannotTell, limit, type PossibleUse } from "./rule.ts";
import { lookedText, wholeClip } from "./seen.ts";
import { firstFitting, short, stopsText } from "./words.ts";

/** Blur that differs from the recorded shutter by more than this factor contradicts it. Common practice, no source. */
export const contradictionFactor = 2;

/** Whether the blur contradicts an angle from the records: more than twice off, and that angle outside the interval. */
export function contradicts(blur: MeasuredAngle, recordedDegrees: number): boolean {
  const factor = blur.degrees / recordedDegrees;
  const far = factor > contradictionFactor || factor < 1 / contradictionFactor;
  return far && (recordedDegrees < blur.low || recordedDegrees > blur.high);
}

/** Records must speak for this share of the clip. House limit. */
export const leastCoverage = 0.9;

/** A shutter cannot be open longer than a frame lasts; the margin takes dial marks such as 1/24 at 25. */
export const mostDegrees = 380;

/** Whether the blur stands for the shutter: nothing that covers the clip was recorded, or the blur contradicts it. */
export function blurStands(blur: MeasuredAngle, shutter: Series<Seconds> | undefined, capture: Rate): boolean {
  if (shutter === undefined || shutter.coverage < leastCoverage) return true;
  const recorded = toNumber(shutterAngle(capture, typicalValue(shutter, compare)));
  return recorded > 0 && recorded <= mostDegrees && contradicts(blur, recorded);
}

/** The angle the blur tells as the viewer sees it, frames left out between. */
export const viewedBlur = (degrees: number, step: Ratio): number => degrees / Math.max(1, toNumber(step));

/**
 * Gap between and smear within pictures on the timeline at the fastest part, in % of the picture's width. At 24 fps and
 * 180 degrees one picture width in seven seconds gives 0.30 of each (computed).
 */
export function gapAndSmear(
  motion: Pick<MeasuredMotion, "peakWidthsPerSecond">,
  use: Pick<PossibleUse, "fileSpeed" | "timeline">,
  seenDegrees: number,
): { readonly gapPercent: number; readonly smearPercent: number } {
  const step = (100 * motion.peakWidthsPerSecond * toNumber(use.fileSpeed)) / toNumber(use.timeline);
  const open = Math.min(1, seenDegrees / 360);
  return { gapPercent: step * (1 - open), smearPercent: step * open };
}

/** Gap that nobody sees, of work, and past repair below an angle in degrees; in % of the width. House limits. */
export const gapLimits = { seen: 0.3, work: 0.6, worst: 1.2, worstDegrees: 45 } as const;
/** Smear of work and past repair, in % of the width. House limits. */
export const smearLimits = { work: 1.2, worst: 2 } as const;

/** Grade of a short shutter when the motion is known; `seen` parts that move little do not clear the rest of a clip. */
export function gradeOfGap(
  gapPercent: number,
  seenDegrees: number,
  overOneStop: boolean,
  realTime: boolean,
  whole: boolean,
): "passed" | "note" | "workable" | "reshoot" {
  if (gapPercent <= gapLimits.seen) return whole ? "passed" : "note";
  if (gapPercent <= gapLimits.work || !overOneStop) return "note";
  return gapPercent > gapLimits.worst && seenDegrees < gapLimits.worstDegrees && realTime ? "reshoot" : "workable";
}

/** Grade of a long shutter when the motion is known. */
export const gradeOfSmear = (smearPercent: number): "note" | "workable" | "reshoot" =>
  smearPercent > smearLimits.worst ? "reshoot" : smearPercent > smearLimits.work ? "workable" : "note";

/** What an angle from blur is judged with. */
export interface BlurEvidence {
  readonly blur: MeasuredAngle;
  readonly motion: MeasuredMotion | undefined;
  readonly lookedAt: Reading<LookedAt> | undefined;
  /** Angle the records give on the timeline, when they contradict the blur. */
  readonly recordedDegrees?: number;
}

/** From here on a shutter is open all the time a frame lasts. */
const openAllTheTime = 350;
/** A short shutter needs work past this distance. Common practice, no source. */
const workableStops = 1;

/**
 * The shutter angle of one use as the blur of the pictures tells it: never worse than workable, and not told when the
 * interval reaches over a limit that parts clean from workable.
 */
export function angleFromBlur(
  { blur, motion, lookedAt, recordedDegrees }: BlurEvidence,
  { use, brief }: About & { readonly use: PossibleUse },
): Answer {
  const wanted = brief.shutterAngleDegrees;
  const looked = lookedText(lookedAt);
  const whole = wholeClip(lookedAt);
  const grade = (degrees: number): "passed" | "note" | "workable" => {
    const off = Math.log2(degrees / wanted);
    if (Math.abs(off) <= brief.shutterToleranceStops) return "passed";
    if (off < 0 && brief.motionLook === "crisp") return "passed";
    const moves = motion === undefined ? undefined : gapAndSmear(motion, use, degrees);
    if (off > 0) {
      if (moves === undefined) return degrees >= openAllTheTime ? "workable" : "note";
      return moves.smearPercent > smearLimits.work ? "workable" : "note";
    }
    const far = off < -workableStops;
    if (moves === undefined) return far ? "workable" : "note";
    const known = gradeOfGap(moves.gapPercent, degrees, far, use.use === "real time", whole);
    return known === "reshoot" ? "workable" : known;
  };
  const seen = (degrees: number): number => viewedBlur(degrees, use.cadence.step);
  const [middle, low, high] = [seen(blur.degrees), seen(blur.low), seen(blur.high)];
  const degrees = (value: number): string => `${short(value, 0)}°`;
  const where = use.use === "slow" ? `slowed on ${rateLabel(use.timeline)}` : `on ${rateLabel(use.timeline)}`;
  const grades = [grade(low), grade(middle), grade(high)];
  const parts = grades.includes("workable") && grades.some((each) => each !== "workable");
  if (parts) {
    return cannotTell(
      `Shutter angle not judged: blur says ${degrees(low)} to ${degrees(high)} ${where}, on both sides of a limit for ${degrees(wanted)} (${looked}).`,
      ["shutterSeconds"],
      "the camera's telemetry track or subtitle sidecar, or --measure=all",
    );
  }
  const found = grade(middle);
  if (found === "passed") return "passed";
  const off = Math.log2(middle / wanted);
  const record = recordedDegrees === undefined ? "" : `, the record ${degrees(recordedDegrees)}`;
  const capture = use.use === "slow" || use.rates.timelapse ? use.rates.capture : use.timeline;
  const right = shutterLabel(nearestMarkedShutter(shutterTime(capture, fromNumber(wanted) ?? ratio(180n)), capture));
  const remedy = off < 0 ? `${ndLabel(ndFactorOfStops(-off))} and ${right}` : `set ${right}`;
  const looks = off < 0 ? "looks stepped" : "smears";
  const target = `${degrees(wanted)} ± ${stopsText(brief.shutterToleranceStops)}`;
  const saysOf = (asked: string): string =>
    `Blur says ${degrees(middle)} (${degrees(low)} to ${degrees(high)}) ${where}${record}, ${asked}: ${looks}; ${remedy} (${looked}).`;
  return {
    case: off < 0 ? "C2" : "C3",
    grade: found,
    says: firstFitting(saysOf(`${target} asked`), saysOf(target)),
    measured: amount(
      Number(middle.toFixed(0)),
      "degrees",
      `${degrees(middle)} measured from blur, ${degrees(low)} to ${degrees(high)}, ${looked}`,
    ),
    limit: limit(
      wanted,
      "degrees",
      `${short(wanted)} degrees within ${stopsText(brief.shutterToleranceStops)}`,
      brief.assumed["shutterAngleDegrees"] === undefined ? "brief" : "default",
    ),
    remedy,
    onLocation: off < 0 ? `fit ${ndLabel(ndFactorOfStops(-off))} more and set ${right}` : `set ${right}`,
    inEdit: off < 0 ? "add motion blur from motion vectors (breaks at edges), or use it slowed" : "use the slow parts",
  };
}
