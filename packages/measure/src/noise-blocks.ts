import { type FrameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { median, quantile } from "./numbers.ts";

/** Side of the blocks that are looked at one by one. */
export const blockSide = 8;
/** Brightness levels that are kept apart. */
export const levels = 10;
/** Share of the blocks of a level that are taken as even: those with the least coarse structure. */
const evenShare = 0.12;
/** A level needs this many even blocks. */
export const leastBlocks = 24;
/** Even blocks are sought again this often, with the noise found so far. */
const growingRounds = 3;
/** Structure that chance alone gives one block in a hundred, against the mean (chi square, 13 degrees of freedom). */
const mostChance = 2.1;
/** Detail this much stronger than its finest part holds texture that cannot be told from noise (found on roofs, clouds). */
export const mostCoarseness = 1.4;
/** What is said then. */
export const textureForNoise = "fine texture lies in the even areas: it cannot be told from noise";
/** Signal beyond which clipping eats into the noise. */
export const usableSignal = { least: 0.015, most: 0.97 } as const;
/** Rounding to whole codes adds a twelfth of a code to the variance. */
export const roundingVariance = 1 / 12;
/** Mean over median of a chi square with 48 degrees of freedom. */
export const medianOfDetail = 1.014;

/** What one block says. */
export interface Block {
  /** Variance of the means of quarter blocks: structure, which even areas lack. */
  readonly coarse: number;
  /** Mean square of the finest diagonal detail, whose deviation is that of white noise. */
  readonly fine: number;
  /** Mean square of all detail finer than the quarter blocks, per pixel. */
  readonly detail: number;
}

/**
 * The even blocks of a level: begun with the evenest, then all whose structure is within what random noise of that
 * strength leaves. Undefined when they are too few or not even: their structure is more than noise.
 */
export function evenBlocks(blocks: readonly Block[]): readonly Block[] | undefined {
  if (blocks.length * evenShare < leastBlocks) return undefined;
  let limit = quantile(
    blocks.map((block) => block.coarse),
    evenShare,
  );
  let even = blocks.filter((block) => block.coarse <= limit);
  for (let round = 0; round < growingRounds; round += 1) {
    // White noise leaves a quarter of its variance in means of four pixels.
    const noise = Math.max(roundingVariance, median(even.map((block) => block.detail)));
    limit = Math.max(limit, (mostChance * noise) / 4);
    even = blocks.filter((block) => block.coarse <= limit);
  }
  const detail = median(even.map((block) => block.detail));
  const coarse = median(even.map((block) => block.coarse));
  return coarse > Math.max(0.15, 1.2 * detail) ? undefined : even;
}

/** Visits the first sample of every block of the piece. */
export function eachBlock({ heldWidth, heldHeight, smallHeight }: FrameLayout, visit: (at: number) => void): void {
  for (let y = 0; y + blockSide <= heldHeight; y += blockSide) {
    for (let x = 0; x + blockSide <= heldWidth; x += blockSide) visit((smallHeight + y) * pieceWidth + x);
  }
}

/** Mean code of a block. */
export function blockMean(samples: Samples, at: number): number {
  let sum = 0;
  for (let y = 0; y < blockSide; y += 1) {
    for (let x = 0; x < blockSide; x += 1) sum += samples[at + y * pieceWidth + x] ?? 0;
  }
  return sum / blockSide ** 2;
}

/** Haar detail of each two by two pixels, and the plane-corrected spread of their means. */
export function blockDetail(samples: Samples, at: number): Block {
  const half = blockSide / 2;
  let [fine, detail] = [0, 0];
  let [sum, squares, slopeX, slopeY] = [0, 0, 0, 0];
  for (let y = 0; y < half; y += 1) {
    for (let x = 0; x < half; x += 1) {
      const i = at + 2 * y * pieceWidth + 2 * x;
      const a = samples[i] ?? 0;
      const b = samples[i + 1] ?? 0;
      const c = samples[i + pieceWidth] ?? 0;
      const d = samples[i + pieceWidth + 1] ?? 0;
      const diagonal = (a - b - c + d) / 2;
      const across = (a - b + c - d) / 2;
      const down = (a + b - c - d) / 2;
      const mean = (a + b + c + d) / 4;
      fine += diagonal * diagonal;
      detail += diagonal * diagonal + across * across + down * down;
      sum += mean;
      squares += mean * mean;
      slopeX += mean * (x - (half - 1) / 2);
      slopeY += mean * (y - (half - 1) / 2);
    }
  }
  const n = half * half;
  // Sum of squares of the places along one side: (half² − 1) / 12 each.
  const places = (n * (half * half - 1)) / 12;
  const planar = (slopeX * slopeX + slopeY * slopeY) / places;
  const coarse = Math.max(0, squares - (sum * sum) / n - planar) / (n - 3);
  // A slope shows in across and down too: a step of s a pixel gives s² each.
  const sloped = (slopeX ** 2 + slopeY ** 2) / places ** 2 / 4;
  return { coarse, fine: fine / n, detail: Math.max(0, detail / n - sloped) / 3 };
}
