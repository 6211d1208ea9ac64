import { type Degrees, type Rate, type Seconds, seconds } from "./quantities.ts";
import { compare, divide, multiply, one, type Ratio, ratio, ratioText, toNumber } from "./ratio.ts";

const fullTurn: Degrees = ratio(360n);

/** Shutter angle at capture: 360 · rate · time. */
export const shutterAngle = (capture: Rate, open: Seconds): Degrees => multiply(fullTurn, multiply(capture, open));

/** Exposure time for an angle at a rate: angle / (360 · rate). */
export const shutterTime = (capture: Rate, angle: Degrees): Seconds => divide(angle, multiply(fullTurn, capture));

/**
 * The angle as the viewer sees it on the timeline, when `step` source frames pass per timeline frame: 360·t·C/m for
 * steps of one or more; frames that are held keep their own angle. 1/240 at 120 is 180 degrees slowed to 24 and 36
 * degrees in real time on 24.
 */
export const viewedAngle = (capture: Rate, open: Seconds, step: Ratio): Degrees =>
  compare(step, one) > 0 ? divide(shutterAngle(capture, open), step) : shutterAngle(capture, open);

/** How far an angle is from the wanted one in stops: negative is shorter. */
export const stopsFromAngle = (angle: Ratio, wanted: Ratio): number => Math.log2(toNumber(angle) / toNumber(wanted));

/** Shutter times as camera dials mark them, in whole and third stops. Common practice, no source. */
export const markedShutterSeconds: readonly Seconds[] = [
  15, 20, 24, 25, 30, 40, 48, 50, 60, 80, 96, 100, 120, 125, 160, 200, 240, 250, 320, 400, 480, 500, 640, 800, 1000,
  1250, 1600, 2000, 2500, 3200, 4000, 5000, 6400, 8000,
].map((inverse) => seconds(1, inverse));

/** The marked time nearest in stops to `wanted` that is not longer than one frame at `capture`. */
export function nearestMarkedShutter(wanted: Seconds, capture: Rate): Seconds {
  const key = `${ratioText(wanted)} ${ratioText(capture)}`;
  let found = nearest.get(key);
  if (found === undefined) {
    if (nearest.size >= mostNearest) nearest.clear();
    nearest.set(key, (found = findNearestMarked(wanted, capture)));
  }
  return found;
}

// The clips of a card share a handful of rates. Past the bound the memory is emptied, never the answer.
const mostNearest = 1000;
const nearest = new Map<string, Seconds>();

function findNearestMarked(wanted: Seconds, capture: Rate): Seconds {
  const longest = divide(ratio(1n), capture);
  let best: Seconds | undefined;
  for (const time of markedShutterSeconds) {
    if (compare(time, longest) > 0) continue;
    if (best === undefined || stopsApart(time, wanted) < stopsApart(best, wanted)) best = time;
  }
  return best ?? wanted;
}

const stopsApart = (a: Seconds, b: Seconds): number => Math.abs(Math.log2(toNumber(a) / toNumber(b)));
