import { type FrameLayout, type Samples, smallWidth } from "./frame-layout.ts";
import { cannotTell, type Measured, type MeasuredHorizon } from "./measurement.ts";
import { median, quantile } from "./numbers.ts";
import { pictureKernel } from "./picture-kernel.ts";
import { ribbonOf } from "./ribbon.ts";

/** Strips down the picture, each as wide as this many pixels of the small picture. */
export const stripWidth = 8;
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
 * A new gatherer. In every strip the strongest step from a bright even sky down to darker ground is sought
 * (assembly/horizon.ts), and a line through the steps by the median of slopes (Theil 1950, Sen 1968). Unless nearly all
 * strips lie on it, there is no horizon that could be trusted: hills, trees and houses are refused, not averaged.
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
  const { calls, frame, numbers } = pictureKernel();
  const found = (room ??= numbers(2 * strips));
  calls.skyEdges(frame(samples), samples.BYTES_PER_ELEMENT, smallHeight, gain, found.byteOffset);
  const edges: { x: number; y: number }[] = [];
  let unquiet = 0;
  for (let strip = 0; strip < strips; strip += 1) {
    const [y = Number.NaN, left = 0] = found.subarray(2 * strip);
    if (Number.isNaN(y)) continue;
    edges.push({ x: (strip + 0.5) * stripWidth, y });
    if (left > mostSky) unquiet += 1;
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

/** Row of the sky's end and what a gradient leaves of the rows above it, for each strip. */
let room: Float64Array | undefined;
