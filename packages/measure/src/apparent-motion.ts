import { cannotTell, type Measured, type MeasuredMotion } from "./measurement.ts";
import { median, quantile } from "./numbers.ts";

/** Correlation below which two pictures do not move as one. */
export const leastPeak = 0.25;
/** Shaking is sought above this: below it is flying. */
export const vibrationHertz = 8;
/** Points of the ribbon at most; when more arrive they are halved. */
const mostRibbon = 1024;
const ribbonSeconds = 0.5;

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
  let ribbon: { atSeconds: number; widthsPerSecond: number }[] = [];
  let spacing = ribbonSeconds;
  let part: { from: number; speeds: number[] } | undefined;
  let recent: { x: number; y: number }[] = [];
  let [shakes, shakeSquares, asked, found] = [0, 0, 0, 0];
  const half = Math.max(1, Math.round(framesPerSecond / vibrationHertz / 2));
  const closePart = (): void => {
    if (part !== undefined && part.speeds.length >= 2) {
      ribbon.push({ atSeconds: part.from, widthsPerSecond: median(part.speeds) });
      if (ribbon.length > mostRibbon) {
        ribbon = ribbon.filter((_, i) => i % 2 === 0);
        spacing *= 2;
      }
    }
    part = undefined;
  };
  return {
    add(atSeconds, dx, dy) {
      asked += 1;
      if (dx === undefined || dy === undefined) {
        recent = [];
        return;
      }
      found += 1;
      if (part !== undefined && atSeconds - part.from >= spacing) closePart();
      part ??= { from: atSeconds, speeds: [] };
      part.speeds.push(Math.hypot(dx, dy) * framesPerSecond);
      recent.push({ x: dx, y: dy });
      if (recent.length > 2 * half + 1) recent.shift();
      if (recent.length < 2 * half + 1) return;
      const middle = recent[half] ?? { x: 0, y: 0 };
      const meanX = recent.reduce((sum, step) => sum + step.x, 0) / recent.length;
      const meanY = recent.reduce((sum, step) => sum + step.y, 0) / recent.length;
      shakes += 1;
      shakeSquares += (middle.x - meanX) ** 2 + (middle.y - meanY) ** 2;
    },
    gap() {
      closePart();
      recent = [];
    },
    result() {
      closePart();
      if (asked === 0 || ribbon.length === 0) return cannotTell("no run of frames was looked at");
      if (found / asked < 0.3) return cannotTell("the picture does not move as one, or has no texture");
      const speeds = ribbon.map((point) => point.widthsPerSecond);
      const peak = ribbon.reduce((a, b) => (b.widthsPerSecond > a.widthsPerSecond ? b : a));
      return {
        state: "read",
        medianWidthsPerSecond: quantile(speeds, 0.5),
        peakWidthsPerSecond: peak.widthsPerSecond,
        peakAtSeconds: peak.atSeconds,
        vibrationPercent: shakes === 0 ? 0 : 100 * Math.sqrt(shakeSquares / shakes),
        ribbon,
      };
    },
  };
}
