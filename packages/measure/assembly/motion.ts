// AssemblyScript, part of picture-kernel.ts: phase correlation of two pictures; src/global-motion.ts says what it gives.

import { Tables, transform } from "./fourier";

/** Where everything of one size of picture lies; laid out in src/picture-kernel.ts. */
@unmanaged
export class Room {
  across: Tables;
  down: Tables;
  /** Windows of both directions. */
  fadeAcross: usize;
  fadeDown: usize;
  first: usize;
  second: usize;
  terms: usize;
  power: usize;
  cross: usize;
  weights: usize;
  phases: usize;
  /** Two rows or columns of terms. */
  lines: usize;
}

/** What was found: dx, dy, peak, rival, roundness. */
export const found: usize = memory.data(40, 16);
/** Weighted sums over the terms of the fit: xx, xy, yy, x·rest, y·rest. */
const moments: usize = memory.data(40, 16);

/** Frequencies above this (cycles per pixel) are left out of the correlation: coding and noise rule there. */
const highestFrequency: f64 = 0.25;
/** Highest frequency of each round of the fit of the phase slope, from a whole-pixel start. */
const wholePixelRounds: usize = memory.data<f64>([0.25, 0.25, 0.25]);
/** The same from a start that may be some pixels off: low frequencies first, whose phase cannot wrap. */
const roughRounds: usize = memory.data<f64>([0.03, 0.08, 0.25, 0.25]);
/** How near to the peak, in pixels, its own foot reaches. */
const foot: i32 = 6;

function at(list: usize, place: i32): f64 {
  return load<f64>(list + ((<usize>place) << 3));
}
function put(list: usize, place: i32, value: f64): void {
  store<f64>(list + ((<usize>place) << 3), value);
}

/** Motion from the first picture of a room to the second; false when a picture is even. */
export function motion(room: Room, isNear: bool, nearX: f64, nearY: f64): bool {
  const width = room.across.length;
  const height = room.down.length;
  pack(room, width, height);
  transform(room.terms, room.across, room.down, room.lines, false);
  if (crossPower(room, width, height, !isNear) == 0) return false;
  let x = nearX;
  let y = nearY;
  let rival: f64 = NaN;
  if (!isNear) {
    memory.copy(room.phases, room.cross, (<usize>(width * height)) << 4);
    transform(room.phases, room.across, room.down, room.lines, true);
    const best = highestPlace(room.phases, width * height);
    const px = best % width;
    const py = best / width;
    x = <f64>(px <= width / 2 ? px : px - width);
    y = <f64>(py <= height / 2 ? py : py - height);
    rival = rivalOf(room.phases, width, height, px, py);
  }
  slope(room, width, height, x, y, isNear ? roughRounds : wholePixelRounds, isNear ? 4 : 3);
  put(found, 2, agreement(room, width, height, at(found, 0), at(found, 1)));
  put(found, 3, rival);
  return true;
}

function mean(values: usize, count: i32): f64 {
  let sum: f64 = 0;
  for (let i = 0; i < count; i += 1) sum += at(values, i);
  return sum / <f64>count;
}

/** Joins two pictures into one complex one, each without its mean and faded at the edges. */
function pack(room: Room, width: i32, height: i32): void {
  const a = mean(room.first, width * height);
  const b = mean(room.second, width * height);
  let i = 0;
  for (let y = 0; y < height; y += 1) {
    const fade = at(room.fadeDown, y);
    for (let x = 0; x < width; x += 1, i += 1) {
      const w = fade * at(room.fadeAcross, x);
      put(room.terms, 2 * i, (at(room.first, i) - a) * w);
      put(room.terms, 2 * i + 1, (at(room.second, i) - b) * w);
    }
  }
}

/**
 * Power of both pictures, their cross spectrum between pure phase and plain product, and the weight of each term, from
 * the transform of one picture with the other as imaginary part. Of the cross spectrum only the terms that have a weight are
 * written, and their mirrors when the whole of it is wanted. Returns the sum of the weights.
 */
function crossPower(room: Room, width: i32, height: i32, isWhole: bool): f64 {
  const terms = room.terms;
  const cross = room.cross;
  if (isWhole) memory.fill(cross, 0, (<usize>(width * height)) << 4);
  const limit = highestFrequency * highestFrequency;
  let weight: f64 = 0;
  // Real pictures: the right half of the plane mirrors the left.
  for (let y = 0; y < height; y += 1) {
    const mirrorY = y == 0 ? 0 : height - y;
    const fy = <f64>(y <= height / 2 ? y : y - height) / <f64>height;
    for (let x = 0; x <= width / 2; x += 1) {
      const i = y * width + x;
      const j = mirrorY * width + (x == 0 ? 0 : width - x);
      // Both spectra from one transform of a + ib: A = (Z + Z'*)/2, B = (Z − Z'*)/2i.
      const zr = at(terms, 2 * i);
      const zi = at(terms, 2 * i + 1);
      const mr = at(terms, 2 * j);
      const mi = at(terms, 2 * j + 1);
      const ar = (zr + mr) / 2;
      const ai = (zi - mi) / 2;
      const br = (zi + mi) / 2;
      const bi = (mr - zr) / 2;
      put(room.power, i, ar * ar + ai * ai + br * br + bi * bi);
      const fx = <f64>x / <f64>width;
      if (fx > highestFrequency) continue;
      // A term without weight is passed over.
      put(room.weights, i, 0);
      if (fx * fx + fy * fy > limit || i == 0) continue;
      const re = ar * br + ai * bi;
      const im = ar * bi - ai * br;
      const size = Math.sqrt(re * re + im * im);
      if (size == 0) continue;
      // Between pure phase and plain correlation: pure phase gives notches and noise the same voice as the scene.
      const voice = Math.sqrt(size);
      put(cross, 2 * i, re / voice);
      put(cross, 2 * i + 1, im / voice);
      if (isWhole) {
        put(cross, 2 * j, re / voice);
        put(cross, 2 * j + 1, -im / voice);
      }
      put(room.weights, i, voice);
      weight += voice;
    }
  }
  return weight;
}

/** The place of the highest real part among `size` complex terms. */
function highestPlace(terms: usize, size: i32): i32 {
  let best = 0;
  let highest = at(terms, 0);
  for (let i = 1; i < size; i += 1) {
    const value = at(terms, 2 * i);
    if (value <= highest) continue;
    highest = value;
    best = i;
  }
  return best;
}

/** Height of the highest top outside the foot of the peak, against it; tops alone count, not flanks. */
function rivalOf(map: usize, width: i32, height: i32, px: i32, py: i32): f64 {
  let highest: f64 = 0;
  for (let y = 0; y < height; y += 1) {
    const awayY = abs(y - py);
    const offY = min(awayY, height - awayY);
    const above = ((y - 1) & (height - 1)) * width;
    const below = ((y + 1) & (height - 1)) * width;
    for (let x = 0; x < width; x += 1) {
      const value = at(map, 2 * (y * width + x));
      if (value <= highest) continue;
      const awayX = abs(x - px);
      if (min(awayX, width - awayX) < foot && offY < foot) continue;
      if (value < at(map, 2 * (y * width + ((x - 1) & (width - 1))))) continue;
      if (value < at(map, 2 * (y * width + ((x + 1) & (width - 1))))) continue;
      if (value < at(map, 2 * (above + x)) || value < at(map, 2 * (below + x))) continue;
      highest = value;
    }
  }
  const peak = at(map, 2 * (py * width + px));
  return peak > 0 ? highest / peak : 1;
}

/** Height of the correlation at a shift between pixels: 1 when every phase fits. */
function agreement(room: Room, width: i32, height: i32, dx: f64, dy: f64): f64 {
  let sum: f64 = 0;
  let all: f64 = 0;
  const angle = (2 * Math.PI * dx) / <f64>width;
  const stepC = Math.cos(angle);
  const stepS = Math.sin(angle);
  const most = <f64>width * highestFrequency;
  for (let y = 0; y < height; y += 1) {
    const fy = (2 * Math.PI * <f64>(y <= height / 2 ? y : y - height)) / <f64>height;
    let c = Math.cos(fy * dy);
    let s = Math.sin(fy * dy);
    for (let x = 0; <f64>x <= most; x += 1) {
      const i = y * width + x;
      const w = at(room.weights, i);
      if (w != 0) {
        sum += at(room.cross, 2 * i) * c - at(room.cross, 2 * i + 1) * s;
        all += w;
      }
      // One term further: a turn by a constant, without asking for its cosine again.
      const was = c;
      c = c * stepC - s * stepS;
      s = was * stepS + s * stepC;
    }
  }
  return all == 0 ? 0 : sum / all;
}

/** Least squares of phase = −2π(fx·dx + fy·dy), starting from the whole-pixel peak so that no phase wraps. */
function slope(room: Room, width: i32, height: i32, x: f64, y: f64, rounds: usize, count: i32): void {
  let dx = x;
  let dy = y;
  let roundness: f64 = 0;
  for (let round = 0; round < count; round += 1) {
    const highest = at(rounds, round);
    memory.fill(moments, 0, 40);
    const angle = (2 * Math.PI * dx) / <f64>width;
    const stepC = Math.cos(angle);
    const stepS = Math.sin(angle);
    for (let line = 0; line < height; line += 1) {
      const fy = (2 * Math.PI * <f64>(line <= height / 2 ? line : line - height)) / <f64>height;
      if (Math.abs(fy) > 2 * Math.PI * highest) continue;
      slopeOfRow(
        room,
        line * width,
        width,
        <f64>width * highest,
        fy,
        Math.cos(fy * dy),
        Math.sin(fy * dy),
        stepC,
        stepS,
      );
    }
    const xx = at(moments, 0);
    const xy = at(moments, 1);
    const yy = at(moments, 2);
    const xr = at(moments, 3);
    const yr = at(moments, 4);
    const det = xx * yy - xy * xy;
    if (!(det > 0)) break;
    // Smaller against larger spread of the frequencies that took part.
    const middle = (xx + yy) / 2;
    const apart = Math.sqrt(Math.max(0, middle * middle - det));
    roundness = (middle - apart) / (middle + apart);
    dx -= (yy * xr - xy * yr) / det;
    dy -= (xx * yr - xy * xr) / det;
  }
  put(found, 0, dx);
  put(found, 1, dy);
  put(found, 4, roundness);
}

/**
 * Adds the terms of one row to the moments; `c` and `s` turn its first term back, `stepC` and `stepS` each next one
 * further.
 */
function slopeOfRow(
  room: Room,
  from: i32,
  width: i32,
  most: f64,
  fy: f64,
  c: f64,
  s: f64,
  stepC: f64,
  stepS: f64,
): void {
  const tangentOfOne = Math.tan(1);
  let xx = at(moments, 0);
  let xy = at(moments, 1);
  let yy = at(moments, 2);
  let xr = at(moments, 3);
  let yr = at(moments, 4);
  for (let x = 0; <f64>x <= most; x += 1) {
    const cosine = c;
    const sine = s;
    c = cosine * stepC - sine * stepS;
    s = cosine * stepS + sine * stepC;
    const w = at(room.weights, from + x);
    if (w == 0) continue;
    const fx = (2 * Math.PI * <f64>x) / <f64>width;
    const re = at(room.cross, 2 * (from + x));
    const im = at(room.cross, 2 * (from + x) + 1);
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
  put(moments, 0, xx);
  put(moments, 1, xy);
  put(moments, 2, yy);
  put(moments, 3, xr);
  put(moments, 4, yr);
}
