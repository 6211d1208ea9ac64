import { hannWindow, type Spectrum, transformPicture } from "./fourier.ts";

/** Two pictures of the same size seen as spectra, with how far the second lies from the first. */
export interface PairMotion {
  /** Pixels the content moved from the first to the second, to the right and down; subpixel. */
  readonly dx: number;
  readonly dy: number;
  /** Height of the correlation peak, 0 to 1: 1 for a pure shift, near 0 for unrelated pictures. */
  readonly peak: number;
  /** Power of both pictures together by frequency, `width` by `height`, zero frequency first. */
  readonly power: Float64Array;
}

/** Frequencies above this (cycles per pixel) are left out of the correlation: coding and noise rule there. */
const highestFrequency = 0.25;
/** Rounds of the fit of the phase slope; it settles in two or three. */
const slopeRounds = 4;

/**
 * Global motion between two pictures by phase correlation (Kuglin and Hines 1975), the peak refined to subpixels by a
 * weighted fit of the phase plane (after Stone et al. 2001). Both pictures go through one complex transform. `first`
 * and `second` hold `width` by `height` brightness values; sides are powers of two. Undefined when a picture is even.
 */
export function pairMotion(
  first: Float64Array,
  second: Float64Array,
  width: number,
  height: number,
): PairMotion | undefined {
  const spectrum: Spectrum = { width, height, terms: packed(first, second, width, height) };
  transformPicture(spectrum);
  const { terms } = spectrum;
  const power = new Float64Array(width * height);
  const cross = new Float64Array(2 * width * height);
  const weights = new Float64Array(width * height);
  let weight = 0;
  for (let y = 0; y < height; y += 1) {
    const mirrorY = y === 0 ? 0 : height - y;
    const fy = (y <= height / 2 ? y : y - height) / height;
    for (let x = 0; x < width; x += 1) {
      const i = y * width + x;
      const j = mirrorY * width + (x === 0 ? 0 : width - x);
      // Both spectra from one transform of a + ib: A = (Z + Z'*)/2, B = (Z − Z'*)/2i.
      const [zr, zi] = [terms[2 * i] ?? 0, terms[2 * i + 1] ?? 0];
      const [mr, mi] = [terms[2 * j] ?? 0, terms[2 * j + 1] ?? 0];
      const [ar, ai] = [(zr + mr) / 2, (zi - mi) / 2];
      const [br, bi] = [(zi + mi) / 2, (mr - zr) / 2];
      power[i] = ar * ar + ai * ai + br * br + bi * bi;
      const fx = (x <= width / 2 ? x : x - width) / width;
      if (fx * fx + fy * fy > highestFrequency ** 2 || i === 0) continue;
      const re = ar * br + ai * bi;
      const im = ar * bi - ai * br;
      const size = Math.hypot(re, im);
      if (size === 0) continue;
      // Between pure phase and plain correlation: pure phase gives notches and noise the same voice as the scene.
      const voice = Math.sqrt(size);
      cross[2 * i] = (re / size) * voice;
      cross[2 * i + 1] = (im / size) * voice;
      weights[i] = voice;
      weight += voice;
    }
  }
  if (weight === 0) return undefined;
  const phases = cross.slice();
  transformPicture({ width, height, terms: cross }, true);
  let best = 0;
  for (let i = 1; i < width * height; i += 1) if ((cross[2 * i] ?? 0) > (cross[2 * best] ?? 0)) best = i;
  const peak = ((cross[2 * best] ?? 0) * width * height) / weight;
  const [px, py] = [best % width, Math.floor(best / width)];
  const start = { dx: px <= width / 2 ? px : px - width, dy: py <= height / 2 ? py : py - height };
  return { ...slope(phases, weights, width, height, start), peak, power };
}

/** Joins two pictures into one complex one, each without its mean and faded at the edges. */
function packed(first: Float64Array, second: Float64Array, width: number, height: number): Float64Array {
  const terms = new Float64Array(2 * width * height);
  const [across, down] = [hannWindow(width), hannWindow(height)];
  const [a, b] = [mean(first), mean(second)];
  for (let y = 0; y < height; y += 1) {
    const fade = down[y] ?? 0;
    for (let x = 0; x < width; x += 1) {
      const i = y * width + x;
      const w = fade * (across[x] ?? 0);
      terms[2 * i] = ((first[i] ?? 0) - a) * w;
      terms[2 * i + 1] = ((second[i] ?? 0) - b) * w;
    }
  }
  return terms;
}

function mean(values: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < values.length; i += 1) sum += values[i] ?? 0;
  return sum / values.length;
}

/** Least squares of phase = −2π(fx·dx + fy·dy), starting from the whole-pixel peak so that no phase wraps. */
function slope(
  phases: Float64Array,
  weights: Float64Array,
  width: number,
  height: number,
  start: { readonly dx: number; readonly dy: number },
): { readonly dx: number; readonly dy: number } {
  let { dx, dy } = start;
  for (let round = 0; round < slopeRounds; round += 1) {
    let [xx, xy, yy, xr, yr] = [0, 0, 0, 0, 0];
    for (let y = 0; y < height; y += 1) {
      const fy = (2 * Math.PI * (y <= height / 2 ? y : y - height)) / height;
      for (let x = 0; x < width / 2; x += 1) {
        const i = y * width + x;
        const w = weights[i] ?? 0;
        if (w === 0) continue;
        const fx = (2 * Math.PI * x) / width;
        const turn = fx * dx + fy * dy;
        const [c, s] = [Math.cos(turn), Math.sin(turn)];
        const [re, im] = [phases[2 * i] ?? 0, phases[2 * i + 1] ?? 0];
        const left = Math.atan2(re * s + im * c, re * c - im * s);
        // A phase far off belongs to noise or to something that moves otherwise.
        if (Math.abs(left) > 1) continue;
        xx += w * fx * fx;
        xy += w * fx * fy;
        yy += w * fy * fy;
        xr += w * fx * left;
        yr += w * fy * left;
      }
    }
    const det = xx * yy - xy * xy;
    if (!(det > 0)) break;
    dx -= (yy * xr - xy * yr) / det;
    dy -= (xx * yr - xy * xr) / det;
  }
  return { dx, dy };
}
