import { type FrameLayout, pieceWidth, type Samples, smallWidth } from "./frame-layout.ts";
import { cannotTell, type Measured, type MeasuredHorizon } from "./measurement.ts";
import { mean, median, quantile } from "./numbers.ts";
import { ribbonOf } from "./ribbon.ts";

/** Strips down the picture, each as wide as this many pixels of the small picture. */
const stripWidth = 8;
/** Rows above and below an edge that are compared. */
const rows = 4;
/** Step from sky to ground, in 8 bit codes. */
const leastStep = 18;
/** Share of the strips whose edges have to lie on one line, and how near, in pixels of the small picture. */
const leastOnLine = 0.85;
const nearLine = 0.75;
/** Steeper lines are slopes or buildings, not a horizon. */
const mostDegrees = 15;
/** The sky may have this much structure beside its gradient, in codes; the ground has more, or is water. */
const mostSky = 3;
/** A picture says something when so many looks found a line. */
const leastLooks = 4;
const leastShare = 0.5;

/** Looks for a straight horizon, in pictures that have one. */
export interface HorizonGatherer {
  add(atSeconds: number, samples: Samples): void;
  result(): Measured<MeasuredHorizon>;
}

/**
 * A new gatherer. In every strip the strongest step from a bright even sky down to darker ground is sought, and a line
 * through the steps by the median of slopes (Theil 1950, Sen 1968). Unless nearly all strips lie on it, there is no
 * horizon that could be trusted: hills, trees and houses are refused, not averaged.
 */
export function gatherHorizon(layout: FrameLayout, width: number, height: number): HorizonGatherer {
  // Pixels of the small picture are not quite square in the picture itself.
  const steepness = height / layout.smallHeight / (width / smallWidth);
  const ribbon = ribbonOf<MeasuredHorizon["ribbon"][number]>();
  let [looks, found] = [0, 0];
  return {
    add(atSeconds, samples) {
      looks += 1;
      const slope = horizonSlope(samples, layout);
      if (slope === undefined) return;
      const tiltDegrees = (Math.atan(slope * steepness) * 180) / Math.PI;
      if (Math.abs(tiltDegrees) > mostDegrees) return;
      found += 1;
      ribbon.add({ atSeconds, tiltDegrees });
    },
    result() {
      if (found < leastLooks || found < leastShare * looks)
        return cannotTell("no straight line between sky and ground");
      const tilts = ribbon.points().map((point) => point.tiltDegrees);
      return {
        state: "read",
        tiltDegrees: median(tilts),
        lowDegrees: quantile(tilts, 0.1),
        highDegrees: quantile(tilts, 0.9),
        looks: found,
        ribbon: ribbon.points(),
      };
    },
  };
}

/** Rows that the horizon falls for each pixel to the right, in the small picture; undefined when there is none. */
export function horizonSlope(samples: Samples, layout: FrameLayout): number | undefined {
  const { smallHeight, bitDepth } = layout;
  const gain = 2 ** (8 - bitDepth) / stripWidth;
  const strips = smallWidth / stripWidth;
  const edges: { x: number; y: number }[] = [];
  const profile = new Float64Array(smallHeight);
  let unquiet = 0;
  for (let strip = 0; strip < strips; strip += 1) {
    for (let y = 0; y < smallHeight; y += 1) {
      let sum = 0;
      const from = y * pieceWidth + strip * stripWidth;
      for (let i = from; i < from + stripWidth; i += 1) sum += samples[i] ?? 0;
      profile[y] = sum * gain;
    }
    const y = skyEdge(profile);
    if (y === undefined) continue;
    edges.push({ x: (strip + 0.5) * stripWidth, y });
    if (structure(profile, Math.floor(y) - 2) > mostSky) unquiet += 1;
  }
  if (edges.length < leastOnLine * strips || unquiet > (1 - leastOnLine) * strips) return undefined;
  const slopes: number[] = [];
  for (let i = 0; i < edges.length; i += 1) {
    for (let j = i + 4; j < edges.length; j += 1) {
      const [a, b] = [edges[i], edges[j]];
      if (a !== undefined && b !== undefined) slopes.push((b.y - a.y) / (b.x - a.x));
    }
  }
  const slope = median(slopes);
  const offset = median(edges.map(({ x, y }) => y - slope * x));
  const near = edges.filter(({ x, y }) => Math.abs(y - slope * x - offset) <= nearLine);
  return near.length < leastOnLine * strips ? undefined : slope;
}

/** The place of the strongest step down in brightness, between rows by the parabola; undefined when none is strong. */
function skyEdge(profile: Float64Array): number | undefined {
  const step = (y: number): number => {
    let sum = 0;
    for (let i = 0; i < rows; i += 1) sum += (profile[y - 1 - i] ?? 0) - (profile[y + i] ?? 0);
    return sum / rows;
  };
  let [best, highest] = [0, 0];
  for (let y = 2 * rows; y <= profile.length - 2 * rows; y += 1) {
    const value = step(y);
    if (value > highest) [best, highest] = [y, value];
  }
  if (highest < leastStep) return undefined;
  const [a, b, c] = [step(best - 1), highest, step(best + 1)];
  const bend = a - 2 * b + c;
  return best + (bend < 0 ? (0.5 * (a - c)) / bend : 0);
}

/** Root mean square of what a straight gradient leaves of the rows above `end`. */
function structure(profile: Float64Array, end: number): number {
  const n = Math.max(0, end);
  if (n < 3) return 0;
  const sky = profile.subarray(0, n);
  const [middle, average] = [(n - 1) / 2, mean(sky)];
  let [slope, places] = [0, 0];
  for (let y = 0; y < n; y += 1) {
    slope += (y - middle) * ((sky[y] ?? 0) - average);
    places += (y - middle) ** 2;
  }
  let squares = 0;
  for (let y = 0; y < n; y += 1) squares += ((sky[y] ?? 0) - average - (slope / places) * (y - middle)) ** 2;
  return Math.sqrt(squares / n);
}
