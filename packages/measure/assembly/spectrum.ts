// AssemblyScript, part of picture-kernel.ts: sums over power spectra, laid out as by `motion`. What they are for stands beside
// the functions that call them, in src/shutter/blur-spectrum.ts, src/sharpness.ts and src/periodicity.ts.

function at(list: usize, place: i32): f64 {
  return load<f64>(list + ((<usize>place) << 3));
}
function put(list: usize, place: i32, value: f64): void {
  store<f64>(list + ((<usize>place) << 3), value);
}
function add(list: usize, place: i32, value: f64): void {
  put(list, place, at(list, place) + value);
}

function frequency(place: i32, length: i32): f64 {
  return <f64>(place <= length / 2 ? place : place - length) / <f64>length;
}

/** Mean power of the terms across the motion whose squared frequency lies in a range. */
export function meanPower(power: usize, width: i32, height: i32, cx: f64, cy: f64, from: f64, to: f64, most: f64): f64 {
  let sum: f64 = 0;
  let terms: f64 = 0;
  for (let y = 0; y < height; y += 1) {
    const fy = frequency(y, height);
    if (fy * fy >= to) continue;
    for (let x = 0; x < width / 2; x += 1) {
      const fx = <f64>x / <f64>width;
      const squared = fx * fx + fy * fy;
      if (squared >= to) break;
      if (squared < from) continue;
      const along = fx * cx + fy * cy;
      if (along * along > most * squared) continue;
      sum += at(power, y * width + x);
      terms += 1;
    }
  }
  return sum / Math.max(1, terms);
}

/** Bins along the motion and bands across it; the same numbers as in src/shutter/blur-spectrum.ts. */
export const bins: i32 = 128;
export const bandEdges: usize = memory.data<f64>([0.004, 0.02, 0.05, 0.1, 0.17, 0.26, 0.4]);
export const bands: i32 = 6;
const comparedEdges: usize = memory.data<f64>([0.06, 0.1, 0.15, 0.21, 0.28, 0.36]);
const ranges: i32 = 5;
const aside: f64 = 0.04;

/** Adds every term of the right half of a power spectrum to its cells. */
export function addTerms(
  from: usize,
  width: i32,
  height: i32,
  cx: f64,
  cy: f64,
  scale: f64,
  power: usize,
  count: usize,
  axes: usize,
  axisTerms: usize,
): void {
  for (let y = 0; y < height; y += 1) {
    const fy = frequency(y, height);
    for (let x = 0; 2 * x < width; x += 1) {
      const fx = <f64>x / <f64>width;
      // Halves are rounded up; the value is never below nought.
      const rounded = Math.floor(Math.abs(fx * cx + fy * cy) * scale + 0.5);
      if (rounded >= <f64>bins) continue;
      const bin = <i32>rounded;
      const across = Math.abs(fx * cy - fy * cx);
      const along = <f64>bin / <f64>(2 * bins);
      const value = at(from, y * width + x);
      if (across < aside || along < aside) {
        const place = across < aside ? along : across;
        let range = -1;
        while (range < ranges && place >= at(comparedEdges, range + 1)) range += 1;
        if (range >= 0 && range < ranges) {
          const cell = across < aside ? range : ranges + range;
          add(axes, cell, value);
          add(axisTerms, cell, 1);
        }
      }
      if (across < at(bandEdges, 0) || across >= 0.4) continue;
      let band = 0;
      while (across >= at(bandEdges, band + 1)) band += 1;
      add(power, band * bins + bin, value);
      add(count, band * bins + bin, 1);
    }
  }
}

/** Squares of the least and the highest frequency in which a repeating texture is sought, and what stands out of others. */
const leastSquared: f64 = 0.02 * 0.02;
const mostSquared: f64 = 0.4 * 0.4;
const standsOut: f64 = 12;
const reachFrom: i32 = 2;
const reachTo: i32 = 6;

/** Share of the detail that stands in single lines; `sums` holds one row and one column more than the terms. */
export function lineShare(power: usize, width: i32, height: i32, sums: usize): f64 {
  const columns = width / 2 + 1;
  sumUp(power, width, height, columns, sums);
  let lines: f64 = 0;
  let all: f64 = 0;
  for (let y = 0; y < height; y += 1) {
    const fy = frequency(y, height);
    const row = y <= height / 2 ? y + height / 2 - 1 : y - height / 2 - 1;
    for (let x = 0; x < columns; x += 1) {
      const fx = <f64>x / <f64>width;
      const squared = fx * fx + fy * fy;
      if (squared < leastSquared || squared > mostSquared) continue;
      const p = at(power, y * width + x);
      all += p * squared;
      const ring = box(sums, columns, height, x, row, reachTo) - box(sums, columns, height, x, row, reachFrom);
      const terms = termsWithin(columns, x, reachTo) - termsWithin(columns, x, reachFrom);
      if (p * <f64>terms > standsOut * ring) lines += p * squared;
    }
  }
  return all == 0 ? 0 : lines / all;
}

/** Sums over all terms above and to the left, rows in the order of their frequency, one row and column of noughts. */
function sumUp(power: usize, width: i32, height: i32, columns: i32, sums: usize): void {
  memory.fill(sums, 0, (<usize>(columns + 1)) << 3);
  for (let row = 0; row < height; row += 1) {
    const y = (row + height / 2 + 1) % height;
    put(sums, (row + 1) * (columns + 1), 0);
    let line: f64 = 0;
    for (let x = 0; x < columns; x += 1) {
      line += at(power, y * width + x);
      put(sums, (row + 1) * (columns + 1) + x + 1, at(sums, row * (columns + 1) + x + 1) + line);
    }
  }
}

/** Number of terms within `r` of one; rows near the edge are not sought. */
function termsWithin(columns: i32, x: i32, r: i32): i32 {
  return (min(columns, x + r + 1) - max(0, x - r)) * (2 * r + 1);
}

/** Sum of the terms within `r` of one; beyond the edges there is nothing. */
function box(sums: usize, columns: i32, height: i32, x: i32, row: i32, r: i32): f64 {
  const stride = columns + 1;
  const left = max(0, x - r);
  const right = min(columns, x + r + 1);
  const top = max(0, row - r) * stride;
  const bottom = min(height, row + r + 1) * stride;
  return at(sums, bottom + right) - at(sums, bottom + left) - at(sums, top + right) + at(sums, top + left);
}

/** The terms at the frequencies that are looked at, and the square of each frequency; returns how many they are. */
export function soughtTerms(power: usize, width: i32, height: i32, found: usize, squares: usize): i32 {
  let terms = 0;
  for (let y = 0; y < height; y += 1) {
    const fy = frequency(y, height);
    for (let x = 0; x < width / 2; x += 1) {
      const fx = <f64>x / <f64>width;
      const squared = fx * fx + fy * fy;
      if (squared < leastSquared || squared > mostSquared) continue;
      put(found, terms, at(power, y * width + x));
      put(squares, terms, squared);
      terms += 1;
    }
  }
  return terms;
}
