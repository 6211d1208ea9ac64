/** Power along the motion, gathered over pictures that move alike. */
export interface BlurSpectrum {
  /** Pixels a frame the pictures of this chunk move, mean. */
  readonly step: number;
  /** Mean power of each cell, `bands` rows of `bins` cells. */
  readonly power: Float64Array;
  /** Terms behind each cell. */
  readonly count: Float64Array;
  /** Mean power along and across the motion, near either axis, in each of `comparedEdges`. */
  readonly along: Float64Array;
  readonly across: Float64Array;
  readonly pairs: number;
}

/** Edges of the ranges (cycles per pixel) in which detail along and across the motion is compared. */
export const comparedEdges = [0.06, 0.1, 0.15, 0.21, 0.28, 0.36] as const;
/** How near an axis a term must lie to count for it. */
const aside = 0.04;

/** Cells along the motion, from 0 to half a cycle per pixel. */
export const bins = 128;
/** Edges of the bands across the motion, in cycles per pixel: each has its own brightness of texture. */
export const bandEdges = [0.004, 0.02, 0.05, 0.1, 0.17, 0.26, 0.4] as const;
/** Bands across the motion. */
export const bands = bandEdges.length - 1;

/** Gathers spectra of pictures whose motion is nearly the same. */
export interface BlurGatherer {
  /** Adds the power of one pair that moved by `dx`, `dy`. */
  add(power: Float64Array, width: number, height: number, dx: number, dy: number): void;
  readonly pairs: number;
  readonly step: number;
  spectrum(): BlurSpectrum;
}

/** A new gatherer; `step` is the motion of the first pair, to which the frequencies of the others are scaled. */
export function gatherBlur(step: number): BlurGatherer {
  const power = new Float64Array(bands * bins);
  const count = new Float64Array(bands * bins);
  let pairs = 0;
  const ranges = comparedEdges.length - 1;
  const axes = [0, 1].map(() => ({ sum: new Float64Array(ranges), terms: new Float64Array(ranges) }));
  const note = (axis: number, range: number, value: number): void => {
    const to = axes[axis];
    if (to === undefined || range >= ranges) return;
    to.sum[range] = (to.sum[range] ?? 0) + value;
    to.terms[range] = (to.terms[range] ?? 0) + 1;
  };
  const means = (axis: number): Float64Array =>
    Float64Array.from({ length: ranges }, (_, i) => (axes[axis]?.sum[i] ?? 0) / Math.max(1, axes[axis]?.terms[i] ?? 1));
  return {
    get pairs() {
      return pairs;
    },
    step,
    add(from, width, height, dx, dy) {
      const length = Math.hypot(dx, dy);
      const [cx, cy] = [dx / length, dy / length];
      const scale = (length / step) * 2 * bins;
      for (let y = 0; y < height; y += 1) {
        const fy = (y <= height / 2 ? y : y - height) / height;
        for (let x = 0; x < width / 2; x += 1) {
          const fx = x / width;
          const bin = Math.round(Math.abs(fx * cx + fy * cy) * scale);
          if (bin >= bins) continue;
          const across = Math.abs(fx * cy - fy * cx);
          const along = bin / (2 * bins);
          if (across < aside || along < aside) {
            const frequency = across < aside ? along : across;
            let range = -1;
            while (frequency >= (comparedEdges[range + 1] ?? Infinity)) range += 1;
            if (range >= 0) note(across < aside ? 0 : 1, range, from[y * width + x] ?? 0);
          }
          if (across < bandEdges[0] || across >= 0.4) continue;
          let band = 0;
          while (across >= (bandEdges[band + 1] ?? 1)) band += 1;
          const cell = band * bins + bin;
          power[cell] = (power[cell] ?? 0) + (from[y * width + x] ?? 0);
          count[cell] = (count[cell] ?? 0) + 1;
        }
      }
      pairs += 1;
    },
    spectrum: () => ({
      step,
      power: power.map((sum, i) => sum / Math.max(1, count[i] ?? 1)),
      count,
      along: means(0),
      across: means(1),
      pairs,
    }),
  };
}
