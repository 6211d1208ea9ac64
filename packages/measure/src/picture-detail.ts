import { type Samples, smallWidth } from "./frame-layout.ts";
import { median } from "./numbers.ts";
import { pictureKernel } from "./picture-kernel.ts";

/** Mean squares of the steps from pixel to pixel, across and down, and the mean of their product, of one small picture. */
export interface Detail {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** A picture as it is, and mixed in equal parts with itself moved by a known way. */
export interface Ghost {
  /** Pixels of the small picture. */
  readonly moved: number;
  readonly plain: Detail;
  readonly doubled: Detail;
}

/** What is kept of the frames of a run that are looked at closely. */
export interface DetailSeen {
  readonly detail: readonly Detail[];
  /** Mean brightness above black, in codes of 8 bit. */
  readonly light: readonly number[];
  /** One frame mixed with itself by several ways: the sharpest of some neighbours. */
  readonly ghosts: readonly Ghost[];
}

/** Gathers the detail of one run of frames. */
export interface DetailGatherer {
  /** Takes the next frame, with all steps of the run up to it. */
  add(samples: Samples, light: number, across: Float64Array, down: Float64Array): void;
  readonly seen: DetailSeen;
}

/** Frames mixed with themselves: of so many in a row one shows a source picture, or nearly, in most conversions. */
const ghostFrames = 6;

/** A gatherer for a run of `frames` pictures of `rows` rows. */
export function gatherDetail(rows: number, frames: number): DetailGatherer {
  const [detail, light, ghosts]: [Detail[], number[], Ghost[]] = [[], [], []];
  const from = frames >> 1;
  let sharpest = 0;
  return {
    seen: { detail, light, ghosts },
    add(samples, bright, across, down) {
      const place = detail.length;
      const own = detailOf(samples, rows);
      detail.push(own);
      light.push(bright);
      if (place < from || place >= from + ghostFrames) return;
      const middle = (steps: Float64Array): number => median(steps.subarray(0, place + 1).filter(Number.isFinite));
      const [x, y] = [middle(across), middle(down)];
      const length = Math.hypot(x, y);
      const along = alongOf(own, x / length, y / length);
      if (!(length > 0) || !(along > sharpest)) return;
      sharpest = along;
      ghosts.splice(0, ghosts.length, ...ghostsOf(samples, rows, own, x / length, y / length));
    },
  };
}

/** Detail along a direction, given as a vector of length 1. */
export const alongOf = ({ xx, xy, yy }: Detail, x: number, y: number): number =>
  xx * x * x + 2 * xy * x * y + yy * y * y;

/** Ways, in pixels, that a picture is moved by before it is mixed with itself. */
const ways = [1, 2, 4, 8, 16] as const;

/** The small picture mixed with itself, moved by several ways along a vector of length 1. */
function ghostsOf(samples: Samples, rows: number, plain: Detail, x: number, y: number): readonly Ghost[] {
  return ways.flatMap((way) => {
    const [across, down] = [Math.round(x * way), Math.round(y * way)];
    if (Math.abs(down) > rows / 2) return [];
    const doubled = doubledDetail(samples, rows, across, down);
    return [{ moved: Math.hypot(across, down), plain, doubled }];
  });
}

/** Detail of the small picture, in codes as they come. */
const detailOf = (samples: Samples, rows: number): Detail => doubledDetail(samples, rows, 0, 0);

/** The same of the picture mixed with itself moved by whole pixels, where both are. */
function doubledDetail(samples: Samples, rows: number, across: number, down: number): Detail {
  const [top, bottom] = [Math.max(0, -down), rows - Math.max(0, down)];
  const [left, right] = [Math.max(0, -across), smallWidth - Math.max(0, across)];
  const { calls, frame, sums } = pictureKernel();
  calls.detail(frame(samples), samples.BYTES_PER_ELEMENT, top, bottom, left, right, across, down);
  const [xx = 0, xy = 0, yy = 0] = sums;
  // Four times: each value is the sum of two.
  const count = 4 * Math.max(1, (bottom - top - 1) * (right - left - 1));
  return { xx: xx / count, xy: xy / count, yy: yy / count };
}
