import {
  type ClipOutline,
  cannotTell,
  type Measured,
  type MeasuredCombing,
  type MeasuredMotion,
} from "./measurement.ts";

/** What ffmpeg's `idet` counted frame by frame; it takes noise that changes for motion. */
export interface ScanCounts {
  readonly topFirst: number;
  readonly bottomFirst: number;
  readonly progressive: number;
}

/** Fewest frames that say something. */
const leastFrames = 6;
/** Motion in pixels a frame below which rows of two times look alike. */
const leastStepPixels = 1;

/** The counts in a line that ffmpeg prints at the end of a run; undefined for any other line. */
export function scanCounts(line: string): ScanCounts | undefined {
  const start = line.indexOf("Single frame detection:");
  if (start < 0) return undefined;
  const [topFirst, bottomFirst, progressive] = ["TFF:", "BFF:", "Progressive:"].map((word) => {
    const at = line.indexOf(word, start);
    return at < 0 ? Number.NaN : Number.parseInt(line.slice(at + word.length), 10);
  }) as [number, number, number];
  return [topFirst, bottomFirst, progressive].every(Number.isFinite)
    ? { topFirst, bottomFirst, progressive }
    : undefined;
}

/** Joins the counts of all stretches of a clip that moves as `motion` says. */
export function combingOf(
  counts: readonly ScanCounts[],
  motion: Measured<MeasuredMotion>,
  { width, frameRate }: Pick<ClipOutline, "width" | "frameRate">,
): Measured<MeasuredCombing> {
  const sum = (of: (one: ScanCounts) => number): number => counts.reduce((all, one) => all + of(one), 0);
  const [top, bottom] = [sum((one) => one.topFirst), sum((one) => one.bottomFirst)];
  const judgedFrames = top + bottom + sum((one) => one.progressive);
  const moves = motion.state === "read" && (motion.medianWidthsPerSecond * width) / frameRate >= leastStepPixels;
  if (judgedFrames < leastFrames || (top + bottom < leastFrames && !moves)) {
    return cannotTell("too few frames move: a still picture shows no combing");
  }
  return {
    state: "read",
    combedShare: (top + bottom) / judgedFrames,
    judgedFrames,
    ...(top + bottom === 0 ? {} : { firstField: top >= bottom ? "top" : "bottom" }),
  };
}
