import { pictureKernel } from "../picture-kernel.ts";

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

/** Adds every term of the right half of a power spectrum to its cells. */
function addTerms(
  from: Float64Array,
  width: number,
  height: number,
  cx: number,
  cy: number,
  scale: number,
  cells: Cells,
): void {
  const kernel = pictureKernel();
  const spectrum = kernel.placed(from, kernel.rooms(width, height).power);
  const lists = [cells.power, cells.count, cells.axes, cells.axisTerms];
  cellRooms ??= lists.map(({ length }) => kernel.numbers(length));
  cellRooms.forEach((room, i) => room.set(lists[i] ?? []));
  kernel.calls.addTerms(spectrum, width, height, cx, cy, scale, ...cellRooms.map((room) => room.byteOffset));
  cellRooms.forEach((room, i) => lists[i]?.set(room));
}

/** Where the kernel adds, whatever the pictures: the sums go there and come back. */
let cellRooms: readonly Float64Array[] | undefined;
