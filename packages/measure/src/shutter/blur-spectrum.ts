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
  const cells: Cells = {
    power: new Float64Array(bands * bins),
    count: new Float64Array(bands * bins),
    axes: new Float64Array(2 * ranges),
    axisTerms: new Float64Array(2 * ranges),
  };
  let pairs = 0;
  const means = (axis: number): Float64Array =>
    cells.axes
      .slice(axis * ranges, (axis + 1) * ranges)
      .map((sum, i) => sum / Math.max(1, cells.axisTerms[axis * ranges + i] ?? 1));
  return {
    get pairs() {
      return pairs;
    },
    step,
    add(from, width, height, dx, dy) {
      const length = Math.hypot(dx, dy);
      addTerms(from, width, height, dx / length, dy / length, (length / step) * 2 * bins, cells);
      pairs += 1;
    },
    spectrum: () => ({
      step,
      power: cells.power.map((sum, i) => sum / Math.max(1, cells.count[i] ?? 1)),
      count: cells.count,
      along: means(0),
      across: means(1),
      pairs,
    }),
  };
}

const ranges = comparedEdges.length - 1;

/** Sums and counts of terms: by band and bin, and by range near the axes along and across, one behind the other. */
interface Cells {
  readonly power: Float64Array;
  readonly count: Float64Array;
  readonly axes: Float64Array;
  readonly axisTerms: Float64Array;
}

/** Adds every term of the right half of a power spectrum to its cells; stands alone so that V8 compiles it once. */
function addTerms(
  from: Float64Array,
  width: number,
  height: number,
  cx: number,
  cy: number,
  scale: number,
  { power, count, axes, axisTerms }: Cells,
): void {
  for (let y = 0; y < height; y += 1) {
    const fy = (y <= height / 2 ? y : y - height) / height;
    for (let x = 0; x < width / 2; x += 1) {
      const fx = x / width;
      const bin = Math.round(Math.abs(fx * cx + fy * cy) * scale);
      if (bin >= bins) continue;
      const across = Math.abs(fx * cy - fy * cx);
      const along = bin / (2 * bins);
      const value = from[y * width + x] ?? 0;
      if (across < aside || along < aside) {
        const frequency = across < aside ? along : across;
        let range = -1;
        while (frequency >= (comparedEdges[range + 1] ?? Infinity)) range += 1;
        if (range >= 0 && range < ranges) {
          const place = across < aside ? range : ranges + range;
          axes[place] = (axes[place] ?? 0) + value;
          axisTerms[place] = (axisTerms[place] ?? 0) + 1;
        }
      }
      if (across < bandEdges[0] || across >= 0.4) continue;
      let band = 0;
      while (across >= (bandEdges[band + 1] ?? 1)) band += 1;
      const cell = band * bins + bin;
      power[cell] = (power[cell] ?? 0) + value;
      count[cell] = (count[cell] ?? 0) + 1;
    }
  }
}
