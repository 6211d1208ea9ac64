import { cannotTell, type Measured, type MeasuredSharpness } from "./measurement.ts";
import { median } from "./numbers.ts";
import { pictureKernel } from "./picture-kernel.ts";

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
  const kernel = pictureKernel();
  const place = kernel.placed(power, kernel.rooms(width, height).power);
  const sums = [coarse, fine].map((ring) =>
    kernel.calls.meanPower(place, width, height, cx, cy, ring.from ** 2, ring.to ** 2, aside * aside),
  );
  const [low = 0, high = 0] = sums;
  // A window of 512 by 256 over code values: one code of texture gives far more than this.
  if (!(low >= 1) || !(high > 0)) return undefined;
  return 10 * Math.log10(high / low);
}
