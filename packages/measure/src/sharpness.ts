import { cannotTell, type Measured, type MeasuredSharpness } from "./measurement.ts";
import { median } from "./numbers.ts";

const coarse = { from: 0.02, to: 0.1 } as const;
const fine = { from: 0.15, to: 0.35 } as const;
/** Only detail within this much of the line across the motion counts: blur of the shutter does not touch it. */
const aside = 0.5;
/** Readings kept; when more arrive every second one goes. */
const mostReadings = 512;

/** Gathers fine against coarse detail. */
export interface SharpnessGatherer {
  /** Adds the power spectrum of a pair; `dx`, `dy` give the direction of motion, both 0 when still. */
  add(atSeconds: number, power: Float64Array, width: number, height: number, dx: number, dy: number): void;
  result(): Measured<MeasuredSharpness>;
}

/** A new gatherer of sharpness. */
export function gatherSharpness(): SharpnessGatherer {
  let readings: { atSeconds: number; decibels: number }[] = [];
  return {
    add(atSeconds, power, width, height, dx, dy) {
      const decibels = fineAgainstCoarse(power, width, height, dx, dy);
      if (decibels === undefined) return;
      readings.push({ atSeconds, decibels });
      if (readings.length > mostReadings) readings = readings.filter((_, i) => i % 2 === 0);
    },
    result() {
      if (readings.length < 3) return cannotTell("too few textured pictures were looked at");
      const typical = median(readings.map((reading) => reading.decibels));
      const softest = readings.reduce((a, b) => (b.decibels < a.decibels ? b : a));
      return {
        state: "read",
        detailDecibels: typical,
        softest: { atSeconds: softest.atSeconds, dropDecibels: typical - softest.decibels },
      };
    },
  };
}

/** Power of fine over coarse detail across the motion, per term, in decibels; undefined for a picture without texture. */
export function fineAgainstCoarse(
  power: Float64Array,
  width: number,
  height: number,
  dx: number,
  dy: number,
): number | undefined {
  const length = Math.hypot(dx, dy);
  const [cx, cy] = length < 0.5 ? [0, 0] : [dx / length, dy / length];
  const sums = [coarse, fine].map((ring) => meanPower(power, width, height, cx, cy, ring.from ** 2, ring.to ** 2));
  const [low = 0, high = 0] = sums;
  // A window of 512 by 256 over code values: one code of texture gives far more than this.
  if (!(low >= 1) || !(high > 0)) return undefined;
  return 10 * Math.log10(high / low);
}

/** Mean power of the terms across the motion whose squared frequency lies in a range. */
function meanPower(
  power: Float64Array,
  width: number,
  height: number,
  cx: number,
  cy: number,
  from: number,
  to: number,
): number {
  const most = aside * aside;
  let sum = 0;
  let terms = 0;
  for (let y = 0; y < height; y += 1) {
    const fy = (y <= height / 2 ? y : y - height) / height;
    if (fy * fy >= to) continue;
    for (let x = 0; x < width / 2; x += 1) {
      const fx = x / width;
      const squared = fx * fx + fy * fy;
      if (squared >= to) break;
      if (squared < from) continue;
      const along = fx * cx + fy * cy;
      if (along * along > most * squared) continue;
      sum += power[y * width + x] ?? 0;
      terms += 1;
    }
  }
  return sum / Math.max(1, terms);
}
