import { quantileInPlace } from "./numbers.ts";

/** Range of frequencies (cycles per pixel) in which a repeating texture is sought. */
const sought = { least: 0.02, most: 0.4 } as const;
/** A term this many times above those around it belongs to a pattern: chance alone gives one in a hundred thousand. */
const standsOut = 12;
/** Terms around one that are compared with it: from the end of its own peak (Hann: two) to this far. */
const reach = { from: 2, to: 6 } as const;

/**
 * Share of a picture's detail that stands in single lines of its spectrum, 0 to 1: near 0 for leaves, grass and rock,
 * most of it for stripes, tiles and fences. `power` is laid out as by `pairMotion`; terms weigh with the square of their
 * frequency, so that fine detail counts like coarse.
 */
export function lineShare(power: Float64Array, width: number, height: number): number {
  const columns = width / 2 + 1;
  const sums = sumsOf(power, width, height, columns);
  let [lines, all] = [0, 0];
  for (let y = 0; y < height; y += 1) {
    const fy = (y <= height / 2 ? y : y - height) / height;
    const row = y <= height / 2 ? y + height / 2 - 1 : y - height / 2 - 1;
    for (let x = 0; x < columns; x += 1) {
      const squared = (x / width) ** 2 + fy * fy;
      if (squared < sought.least ** 2 || squared > sought.most ** 2) continue;
      const p = power[y * width + x] ?? 0;
      all += p * squared;
      const ring = boxOf(sums, columns, height, x, row, reach.to) - boxOf(sums, columns, height, x, row, reach.from);
      const terms = termsWithin(columns, x, reach.to) - termsWithin(columns, x, reach.from);
      if (p * terms > standsOut * ring) lines += p * squared;
    }
  }
  return all === 0 ? 0 : lines / all;
}

/** Place of the noise among the terms in order: so many lie below it in any picture whose detail fills a part only. */
const noisePlace = 0.2;
/** Terms this many times above those at that place stand out of noise and coding (chance alone: six in a million). */
const aboveNoise = 18;

/**
 * Share of the terms that would hold all detail above the noise if they were alike, 0 to 1 (participation ratio): one or
 * two thousandths for water whose waves run in some directions, a hundredth and more for roofs, leaves and clouds.
 */
export function filledShare(power: Float64Array, width: number, height: number): number {
  const [found, squared, terms] = soughtTerms(power, width, height);
  const noise = aboveNoise * quantileInPlace(found.slice(0, terms), noisePlace);
  let all = 0;
  let squares = 0;
  for (let i = 0; i < terms; i += 1) {
    const above = (found[i] ?? 0) - noise;
    if (above <= 0) continue;
    const detail = above * (squared[i] ?? 0);
    all += detail;
    squares += detail * detail;
  }
  return squares === 0 ? 1 : (all * all) / squares / terms;
}

/** The terms at the frequencies that are looked at, the square of each frequency, and how many they are. */
function soughtTerms(power: Float64Array, width: number, height: number): [Float64Array, Float64Array, number] {
  const [found, squares] = [new Float64Array(power.length), new Float64Array(power.length)];
  let terms = 0;
  for (let y = 0; y < height; y += 1) {
    const fy = (y <= height / 2 ? y : y - height) / height;
    for (let x = 0; x < width / 2; x += 1) {
      const squared = (x / width) ** 2 + fy * fy;
      if (squared < sought.least ** 2 || squared > sought.most ** 2) continue;
      found[terms] = power[y * width + x] ?? 0;
      squares[terms] = squared;
      terms += 1;
    }
  }
  return [found, squares, terms];
}

/** Sums over all terms above and to the left, rows in the order of their frequency, one row and column of noughts. */
function sumsOf(power: Float64Array, width: number, height: number, columns: number): Float64Array {
  const sums = new Float64Array((columns + 1) * (height + 1));
  for (let row = 0; row < height; row += 1) {
    const y = (row + height / 2 + 1) % height;
    let line = 0;
    for (let x = 0; x < columns; x += 1) {
      line += power[y * width + x] ?? 0;
      sums[(row + 1) * (columns + 1) + x + 1] = (sums[row * (columns + 1) + x + 1] ?? 0) + line;
    }
  }
  return sums;
}

/** Number of terms within `r` of one; rows near the edge are not sought. */
const termsWithin = (columns: number, x: number, r: number): number =>
  ((x + r + 1 > columns ? columns : x + r + 1) - (x < r ? 0 : x - r)) * (2 * r + 1);

/** Sum of the terms within `r` of one; beyond the edges there is nothing. */
function boxOf(sums: Float64Array, columns: number, height: number, x: number, row: number, r: number): number {
  const stride = columns + 1;
  const left = x < r ? 0 : x - r;
  const right = x + r + 1 > columns ? columns : x + r + 1;
  const top = (row < r ? 0 : row - r) * stride;
  const bottom = (row + r + 1 > height ? height : row + r + 1) * stride;
  return (sums[bottom + right] ?? 0) - (sums[bottom + left] ?? 0) - (sums[top + right] ?? 0) + (sums[top + left] ?? 0);
}
