import { hannWindow, type Spectrum, transformPicture } from "./fourier.ts";

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
   * the mirror of the others and are left out. Overwritten by the next pair of the same size: fresh memory for every
   * pair would cost a third of the time.
   */
  readonly power: Float64Array;
}

/** Frequencies above this (cycles per pixel) are left out of the correlation: coding and noise rule there. */
const highestFrequency = 0.25;
/** Highest frequency of each round of the fit of the phase slope, from a whole-pixel start. */
const wholePixelRounds = [0.25, 0.25, 0.25] as const;
/** The same from a start that may be some pixels off: low frequencies first, whose phase cannot wrap. */
const roughRounds = [0.03, 0.08, 0.25, 0.25] as const;

/**
 * Global motion between two pictures by phase correlation (Kuglin and Hines 1975), the peak refined to subpixels by a
 * weighted fit of the phase plane (after Stone et al. 2001). Both pictures go through one complex transform. `first`
 * and `second` hold `width` by `height` brightness values; sides are powers of two. `near` is the motion when it is
 * known to a few pixels: the search for the peak is then left out. Undefined when a picture is even.
 */
export function pairMotion(
  first: Float64Array,
  second: Float64Array,
  width: number,
  height: number,
  near?: Shift,
): PairMotion | undefined {
  const { terms, power, cross, weights, phases } = roomFor(width, height);
  pack(first, second, width, height, terms);
  const spectrum: Spectrum = { width, height, terms };
  transformPicture(spectrum);
  const weight = crossPower(terms, width, height, power, cross, weights);
  if (weight === 0) return undefined;
  let start = near;
  let rival = Number.NaN;
  if (start === undefined) {
    phases.set(cross);
    transformPicture({ width, height, terms: phases }, true);
    const best = highestPlace(phases, width * height);
    const [px, py] = [best % width, Math.floor(best / width)];
    start = { dx: px <= width / 2 ? px : px - width, dy: py <= height / 2 ? py : py - height };
    rival = rivalOf(phases, width, height, px, py);
  }
  const shift = slope(cross, weights, width, height, start, near === undefined ? wholePixelRounds : roughRounds);
  return { ...shift, peak: agreement(cross, weights, width, height, shift), rival, power };
}

// Long loops stand alone: in a function that goes on behind them, V8 compiles a guess at the rest and drops it each time.

/**
 * Power of both pictures, their cross spectrum between pure phase and plain product, and the weight of each term, from
 * the transform of one picture with the other as imaginary part. Returns the sum of the weights.
 */
function crossPower(
  terms: Float64Array,
  width: number,
  height: number,
  power: Float64Array,
  cross: Float64Array,
  weights: Float64Array,
): number {
  const limit = highestFrequency ** 2;
  cross.fill(0);
  weights.fill(0);
  let weight = 0;
  // Real pictures: the right half of the plane mirrors the left.
  for (let y = 0; y < height; y += 1) {
    const mirrorY = y === 0 ? 0 : height - y;
    const fy = (y <= height / 2 ? y : y - height) / height;
    for (let x = 0; x <= width / 2; x += 1) {
      const i = y * width + x;
      const j = mirrorY * width + (x === 0 ? 0 : width - x);
      // Both spectra from one transform of a + ib: A = (Z + Z'*)/2, B = (Z − Z'*)/2i.
      // No pairs in brackets here: until a function is optimised each is rubbish to collect, hundreds of MB in all.
      const zr = terms[2 * i] ?? 0;
      const zi = terms[2 * i + 1] ?? 0;
      const mr = terms[2 * j] ?? 0;
      const mi = terms[2 * j + 1] ?? 0;
      const ar = (zr + mr) / 2;
      const ai = (zi - mi) / 2;
      const br = (zi + mi) / 2;
      const bi = (mr - zr) / 2;
      power[i] = ar * ar + ai * ai + br * br + bi * bi;
      const fx = x / width;
      if (fx * fx + fy * fy > limit || i === 0) continue;
      const re = ar * br + ai * bi;
      const im = ar * bi - ai * br;
      const size = Math.sqrt(re * re + im * im);
      if (size === 0) continue;
      // Between pure phase and plain correlation: pure phase gives notches and noise the same voice as the scene.
      const voice = Math.sqrt(size);
      cross[2 * i] = re / voice;
      cross[2 * i + 1] = im / voice;
      cross[2 * j] = re / voice;
      cross[2 * j + 1] = -im / voice;
      weights[i] = voice;
      weight += voice;
    }
  }
  return weight;
}

/** The place of the highest real part among `size` complex terms. */
function highestPlace(terms: Float64Array, size: number): number {
  let best = 0;
  let highest = terms[0] ?? 0;
  for (let i = 1; i < size; i += 1) {
    const value = terms[2 * i] ?? 0;
    if (value <= highest) continue;
    highest = value;
    best = i;
  }
  return best;
}

const tangentOfOne = Math.tan(1);

/** How near to the peak, in pixels, its own foot reaches. */
const foot = 6;

/** Height of the highest top outside the foot of the peak, against it; tops alone count, not flanks. */
function rivalOf(map: Float64Array, width: number, height: number, px: number, py: number): number {
  const at = (x: number, y: number): number => map[2 * ((y & (height - 1)) * width + (x & (width - 1)))] ?? 0;
  let highest = 0;
  for (let y = 0; y < height; y += 1) {
    const away = Math.abs(y - py);
    const offY = Math.min(away, height - away);
    for (let x = 0; x < width; x += 1) {
      const value = map[2 * (y * width + x)] ?? 0;
      if (value <= highest) continue;
      const offX = Math.min(Math.abs(x - px), width - Math.abs(x - px));
      if (offX < foot && offY < foot) continue;
      if (value < at(x - 1, y) || value < at(x + 1, y) || value < at(x, y - 1) || value < at(x, y + 1)) continue;
      highest = value;
    }
  }
  const peak = map[2 * (py * width + px)] ?? 0;
  return peak > 0 ? highest / peak : 1;
}

/** How far a picture has moved. */
export interface Shift {
  readonly dx: number;
  readonly dy: number;
}

interface Room {
  readonly terms: Float64Array;
  readonly power: Float64Array;
  readonly cross: Float64Array;
  readonly weights: Float64Array;
  readonly phases: Float64Array;
}

const rooms = new Map<number, Room>();

function roomFor(width: number, height: number): Room {
  const size = width * height;
  const room = rooms.get(size) ?? {
    terms: new Float64Array(2 * size),
    power: new Float64Array(size),
    cross: new Float64Array(2 * size),
    weights: new Float64Array(size),
    phases: new Float64Array(2 * size),
  };
  rooms.set(size, room);
  return room;
}

/** Height of the correlation at a shift between pixels: 1 when every phase fits. */
function agreement(
  cross: Float64Array,
  weights: Float64Array,
  width: number,
  height: number,
  { dx, dy }: Shift,
): number {
  let [sum, all] = [0, 0];
  const [stepC, stepS] = [Math.cos((2 * Math.PI * dx) / width), Math.sin((2 * Math.PI * dx) / width)];
  for (let y = 0; y < height; y += 1) {
    const fy = (2 * Math.PI * (y <= height / 2 ? y : y - height)) / height;
    let c = Math.cos(fy * dy);
    let s = Math.sin(fy * dy);
    for (let x = 0; x <= width * highestFrequency; x += 1) {
      const i = y * width + x;
      const w = weights[i] ?? 0;
      if (w !== 0) {
        sum += (cross[2 * i] ?? 0) * c - (cross[2 * i + 1] ?? 0) * s;
        all += w;
      }
      // One term further: a turn by a constant, without asking for its cosine again.
      const was = c;
      c = c * stepC - s * stepS;
      s = was * stepS + s * stepC;
    }
  }
  return all === 0 ? 0 : sum / all;
}

/** Joins two pictures into one complex one, each without its mean and faded at the edges. */
function pack(first: Float64Array, second: Float64Array, width: number, height: number, terms: Float64Array): void {
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
  start: Shift,
  rounds: readonly number[],
): Shift & { readonly roundness: number } {
  let { dx, dy } = start;
  let roundness = 0;
  for (const highest of rounds) {
    moments.fill(0);
    const stepC = Math.cos((2 * Math.PI * dx) / width);
    const stepS = Math.sin((2 * Math.PI * dx) / width);
    for (let y = 0; y < height; y += 1) {
      const fy = (2 * Math.PI * (y <= height / 2 ? y : y - height)) / height;
      if (Math.abs(fy) > 2 * Math.PI * highest) continue;
      const [c, s] = [Math.cos(fy * dy), Math.sin(fy * dy)];
      slopeOfRow(phases, weights, y * width, width, width * highest, fy, c, s, stepC, stepS);
    }
    const [xx = 0, xy = 0, yy = 0, xr = 0, yr = 0] = moments;
    const det = xx * yy - xy * xy;
    if (!(det > 0)) break;
    // Smaller against larger spread of the frequencies that took part.
    const middle = (xx + yy) / 2;
    const apart = Math.sqrt(Math.max(0, middle * middle - det));
    roundness = (middle - apart) / (middle + apart);
    dx -= (yy * xr - xy * yr) / det;
    dy -= (xx * yr - xy * xr) / det;
  }
  return { dx, dy, roundness };
}

/** Weighted sums over the terms of the fit: xx, xy, yy, x·rest, y·rest. */
const moments = new Float64Array(5);

/**
 * Adds the terms of one row to the moments; `c` and `s` turn its first term back, `stepC` and `stepS` each next one
 * further.
 */
function slopeOfRow(
  phases: Float64Array,
  weights: Float64Array,
  from: number,
  width: number,
  most: number,
  fy: number,
  c: number,
  s: number,
  stepC: number,
  stepS: number,
): void {
  let xx = moments[0] ?? 0;
  let xy = moments[1] ?? 0;
  let yy = moments[2] ?? 0;
  let xr = moments[3] ?? 0;
  let yr = moments[4] ?? 0;
  for (let x = 0; x <= most; x += 1) {
    const cosine = c;
    const sine = s;
    c = cosine * stepC - sine * stepS;
    s = cosine * stepS + sine * stepC;
    const w = weights[from + x] ?? 0;
    if (w === 0) continue;
    const fx = (2 * Math.PI * x) / width;
    const re = phases[2 * (from + x)] ?? 0;
    const im = phases[2 * (from + x) + 1] ?? 0;
    const up = re * sine + im * cosine;
    const on = re * cosine - im * sine;
    // A phase more than one radian off belongs to noise or to something that moves otherwise.
    if (!(Math.abs(up) <= tangentOfOne * on)) continue;
    const left = Math.atan(up / on);
    xx += w * fx * fx;
    xy += w * fx * fy;
    yy += w * fy * fy;
    xr += w * fx * left;
    yr += w * fy * left;
  }
  moments[0] = xx;
  moments[1] = xy;
  moments[2] = yy;
  moments[3] = xr;
  moments[4] = yr;
}
