import { pictureKernel } from "./picture-kernel.ts";

/** Two pictures of the same size seen as spectra, with how far the second lies from the first. */
export interface PairMotion {
  /** Pixels the content moved from the first to the second, to the right and down; subpixel. */
  readonly dx: number;
  readonly dy: number;
  /** Height of the correlation peak, 0 to 1: 1 for a pure shift, near 0 for unrelated pictures. */
  readonly peak: number;
  /**
   * Height of the next peak elsewhere against the highest, 0 to 1: near 1 when the texture repeats and the motion may as
   * well be another. NaN when the motion was given beforehand.
   */
  readonly rival: number;
  /**
   * How well both directions are known, 0 to 1: near 0 when all detail runs one way, like a lone horizon, along which any
   * motion looks the same.
   */
  readonly roundness: number;
  /**
   * Power of both pictures together by frequency, rows of `width`, zero frequency first; columns beyond `width / 2` are
   * the mirror of the others and are left out. Lies in the kernel's memory, and is overwritten by the next pair of as many
   * pixels.
   */
  readonly power: Float64Array;
}

/**
 * Global motion between two pictures by phase correlation (Kuglin and Hines 1975), the peak refined to subpixels by a
 * weighted fit of the phase plane (after Stone et al. 2001). Both pictures go through one complex transform. `first`
 * and `second` hold `width` by `height` brightness values; sides are powers of two, `mostTerms` pixels at most. `near` is the motion when it is
 * known to a few pixels: the search for the peak is then left out. Undefined when a picture is even.
 */
export function pairMotion(
  first: Float64Array,
  second: Float64Array,
  width: number,
  height: number,
  near?: Shift,
): PairMotion | undefined {
  const kernel = pictureKernel();
  const rooms = kernel.rooms(width, height);
  const size = width * height;
  if (kernel.placed(first, rooms.first) !== rooms.first) kernel.view(rooms.first, size).set(first);
  if (kernel.placed(second, rooms.second) !== rooms.second) kernel.view(rooms.second, size).set(second);
  const isThere = kernel.calls.motion(
    kernel.room(width, height),
    near === undefined ? 0 : 1,
    near?.dx ?? 0,
    near?.dy ?? 0,
  );
  if (isThere === 0) return undefined;
  const [dx = 0, dy = 0, peak = 0, rival = Number.NaN, roundness = 0] = kernel.found;
  return { dx, dy, peak, rival, roundness, power: kernel.view(rooms.power, size) };
}

/** Where two pictures of this size may be put before `pairMotion` is asked for them: what lies there is not copied. */
export function pairRooms(width: number, height: number): readonly [first: Float64Array, second: Float64Array] {
  const { rooms, view } = pictureKernel();
  const { first, second } = rooms(width, height);
  return [view(first, width * height), view(second, width * height)];
}

/** How far a picture has moved. */
export interface Shift {
  readonly dx: number;
  readonly dy: number;
}
