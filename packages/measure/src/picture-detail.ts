import { pieceWidth, type Samples, smallWidth } from "./frame-layout.ts";
import { median } from "./numbers.ts";

/** Mean squares of the steps from pixel to pixel, across and down, and the mean of their product, of one small picture. */
export interface Detail {
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

/** A picture as it is, and mixed in equal parts with itself moved by a known way. */
export interface Ghost {
  /** Number of the frame in its run. */
  readonly place: number;
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
  /** Some neighbouring frames mixed with themselves, by the same ways. */
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
  return {
    seen: { detail, light, ghosts },
    add(samples, bright, across, down) {
      const place = detail.length;
      detail.push(detailOf(samples, rows));
      light.push(bright);
      if (place < from || place >= from + ghostFrames) return;
      const middle = (steps: Float64Array): number => median(steps.subarray(0, place + 1).filter(Number.isFinite));
      ghosts.push(...ghostsOf(samples, rows, place, middle(across), middle(down)));
    },
  };
}

/** Detail along a direction, given as a vector of length 1. */
export const alongOf = ({ xx, xy, yy }: Detail, x: number, y: number): number =>
  xx * x * x + 2 * xy * x * y + yy * y * y;

/** Detail of the small picture, in codes as they come. */
const detailOf = (samples: Samples, rows: number): Detail => doubledDetail(samples, 0, rows, 0, smallWidth, 0);

/** Ways, in pixels, that a picture is moved by before it is mixed with itself. */
const ways = [1, 2, 4, 8, 16] as const;

/** The small picture mixed with itself, moved by several ways in the direction of a step; none when there is no step. */
function ghostsOf(samples: Samples, rows: number, place: number, across: number, down: number): readonly Ghost[] {
  const length = Math.hypot(across, down);
  if (!(length > 0)) return [];
  return ways.flatMap(
    (way) =>
      ghostOf(samples, rows, place, Math.round((across * way) / length), Math.round((down * way) / length)) ?? [],
  );
}

/** The same moved by whole pixels; undefined when little of it would be left. */
function ghostOf(samples: Samples, rows: number, place: number, x: number, y: number): Ghost | undefined {
  const [top, bottom] = [Math.max(0, -y), rows - Math.max(0, y)];
  const [left, right] = [Math.max(0, -x), smallWidth - Math.max(0, x)];
  if (bottom - top < rows / 2 || right - left < smallWidth / 2) return undefined;
  const by = y * pieceWidth + x;
  return {
    place,
    moved: Math.hypot(x, y),
    plain: doubledDetail(samples, top, bottom, left, right, 0),
    doubled: doubledDetail(samples, top, bottom, left, right, by),
  };
}

// Whole numbers and a loop that stands alone: it is optimised within the first frames.
function doubledDetail(samples: Samples, top: number, bottom: number, left: number, right: number, by: number): Detail {
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let y = top; y + 1 < bottom; y += 1) {
    const end = y * pieceWidth + right - 1;
    for (let i = y * pieceWidth + left; i < end; i += 1) {
      const here = (samples[i] ?? 0) + (samples[i + by] ?? 0);
      const across = (samples[i + 1] ?? 0) + (samples[i + 1 + by] ?? 0) - here;
      const down = (samples[i + pieceWidth] ?? 0) + (samples[i + pieceWidth + by] ?? 0) - here;
      xx += across * across;
      xy += across * down;
      yy += down * down;
    }
  }
  // Four times: each value is the sum of two.
  const count = 4 * Math.max(1, (bottom - top - 1) * (right - left - 1));
  return { xx: xx / count, xy: xy / count, yy: yy / count };
}
