import { hannWindow } from "./fourier.ts";
import { transformLine } from "./line-transform.ts";
import type { PairMotion } from "./global-motion.ts";
import { cannotTell, type Measured, type MeasuredMotion } from "./measurement.ts";
import { median, quantile } from "./numbers.ts";

/** Correlation below which two pictures do not move as one. */
export const leastPeak = 0.25;
/** A second peak this high against the first: a texture that repeats, whose motion is not known. */
const mostRival = 0.6;
/** Detail that runs one way only, like a lone horizon: along it any motion looks the same. */
const leastRoundness = 0.035;

/** Whether a found motion is the only one that fits. */
export const isSure = ({ peak, rival, roundness }: PairMotion): boolean =>
  peak >= leastPeak && !(rival > mostRival) && roundness >= leastRoundness;

/** Shaking is sought above this: below it is flying. */
export const vibrationHertz = 8;
/** Points of the ribbon at most; when more arrive they are halved. */
const mostRibbon = 1024;
const ribbonSeconds = 0.5;
/** Shaking is read from unbroken runs of at least this long, so that frequencies are told apart. */
const shakeSeconds = 0.5;

/** Gathers the motion of the picture as a whole; memory does not grow with the clip. */
export interface MotionGatherer {
  /** One step from frame to frame in shares of the picture's width; undefined when it was not found. */
  add(atSeconds: number, dx: number | undefined, dy: number | undefined): void;
  /** Says that the next step does not follow the last. */
  gap(): void;
  result(): Measured<MeasuredMotion>;
}

/** A new gatherer of motion at `framesPerSecond`. */
export function gatherMotion(framesPerSecond: number): MotionGatherer {
  let ribbon: MeasuredMotion["ribbon"][number][] = [];
  let spacing = ribbonSeconds;
  let part: { from: number; steps: { x: number; y: number }[] } | undefined;
  let recent: { x: number; y: number }[] = [];
  let [shakes, shakeSquares, asked, found] = [0, 0, 0, 0];
  const shakeFrames = Math.max(8, 2 ** Math.round(Math.log2(framesPerSecond)));
  const closePart = (): void => {
    if (part !== undefined && part.steps.length >= 2) {
      const speed = (of: (step: { x: number; y: number }) => number): number =>
        median((part?.steps ?? []).map(of)) * framesPerSecond;
      ribbon.push({
        atSeconds: part.from,
        widthsPerSecond: speed(({ x, y }) => Math.hypot(x, y)),
        acrossWidthsPerSecond: speed(({ x }) => x),
        downWidthsPerSecond: speed(({ y }) => y),
      });
      if (ribbon.length > mostRibbon) {
        ribbon = ribbon.filter((_, i) => i % 2 === 0);
        spacing *= 2;
      }
    }
    part = undefined;
  };
  const closeShake = (): void => {
    if (recent.length / framesPerSecond >= shakeSeconds && recent.length >= 8) {
      shakes += recent.length;
      for (const steps of [recent.map(({ x }) => x), recent.map(({ y }) => y)])
        shakeSquares += recent.length * shakeSquare(steps, framesPerSecond);
    }
    recent = [];
  };
  return {
    add(atSeconds, dx, dy) {
      asked += 1;
      if (dx === undefined || dy === undefined) {
        closeShake();
        return;
      }
      found += 1;
      if (part !== undefined && atSeconds - part.from >= spacing) closePart();
      part ??= { from: atSeconds, steps: [] };
      part.steps.push({ x: dx, y: dy });
      recent.push({ x: dx, y: dy });
      if (recent.length >= shakeFrames) closeShake();
    },
    gap() {
      closePart();
      closeShake();
    },
    result() {
      closePart();
      closeShake();
      if (asked === 0 || ribbon.length === 0) return cannotTell("no run of frames was looked at");
      if (found / asked < 0.3) return cannotTell("the picture does not move as one, repeats itself or has no texture");
      const speeds = ribbon.map((point) => point.widthsPerSecond);
      const peak = ribbon.reduce((a, b) => (b.widthsPerSecond > a.widthsPerSecond ? b : a));
      return {
        state: "read",
        medianWidthsPerSecond: quantile(speeds, 0.5),
        peakWidthsPerSecond: peak.widthsPerSecond,
        peakAtSeconds: peak.atSeconds,
        vibrationPercent: shakes === 0 ? 0 : 100 * Math.sqrt(shakeSquares / shakes),
        secondsPerPoint: spacing,
        ribbon,
      };
    },
  };
}

/**
 * Mean square of the place above `vibrationHertz`, from the steps of an unbroken run: each frequency of the steps is
 * divided by what stepping does to it, 2·sin(πf/rate), which makes it one of the place (Hann's window, Parseval).
 */
function shakeSquare(steps: readonly number[], framesPerSecond: number): number {
  const n = steps.length;
  const size = 2 ** Math.ceil(Math.log2(n));
  const window = hannWindow(n);
  const line = lineThrough(steps);
  const input = new Float64Array(2 * size);
  let energy = 0;
  for (let i = 0; i < n; i += 1) {
    const fade = window[i] ?? 0;
    input[2 * i] = ((steps[i] ?? 0) - line(i)) * fade;
    energy += fade * fade;
  }
  const out = transformLine(input);
  let sum = 0;
  for (let k = 1; k <= size / 2; k += 1) {
    const hertz = (k * framesPerSecond) / size;
    if (hertz < vibrationHertz) continue;
    const power = (out[2 * k] ?? 0) ** 2 + (out[2 * k + 1] ?? 0) ** 2;
    sum += ((k === size / 2 ? 1 : 2) * power) / (2 * Math.sin((Math.PI * k) / size)) ** 2;
  }
  return sum / size / energy;
}

/** The straight line through values at 0, 1, 2 …, by least squares: what is left is no steady turn. */
function lineThrough(values: readonly number[]): (at: number) => number {
  const n = values.length;
  const middle = (n - 1) / 2;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const slope = values.reduce((sum, value, i) => sum + value * (i - middle), 0) / ((n * (n * n - 1)) / 12);
  return (at) => mean + slope * (at - middle);
}
