import { type FrameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { signalRange } from "./code-values.ts";
import { cannotTell, type Measured, type MeasuredNoise, type NoiseLevel } from "./measurement.ts";
import { mean, median, quantile } from "./numbers.ts";

/** Side of the blocks that are looked at one by one. */
export const blockSide = 8;
/** Brightness levels that are kept apart. */
export const levels = 10;
/** Share of the blocks of a level that are taken as even: those with the least coarse structure. */
const evenShare = 0.12;
/** A level needs this many even blocks. */
const leastBlocks = 24;
/** Even blocks are sought again this often, with the noise found so far. */
const growingRounds = 3;
/** Structure that chance alone gives one block in a hundred, against the mean (chi square, 13 degrees of freedom). */
const mostChance = 2.1;
/** Blocks kept of one level at most; enough for a hundredth of a decibel. */
const mostBlocks = 4096;
/** Signal beyond which clipping eats into the noise. */
const usableSignal = { least: 0.015, most: 0.97 } as const;
/** Noise of the brief's reference, percent of the signal range in the shadows (practice, no source). */
export const referenceSigmaPercent = 0.8;
/** Rounding to whole codes adds a twelfth of a code to the variance. */
const roundingVariance = 1 / 12;
/** Mean over median of a chi square with 48 degrees of freedom. */
const medianOfDetail = 1.014;

/** Gathers random noise from even blocks of the pieces at full resolution. */
export interface NoiseGatherer {
  /** Takes in the piece of one frame. */
  add(samples: Samples): void;
  /** Takes in the same piece of two neighbouring frames of a picture that stands still. */
  addStill(first: Samples, second: Samples): void;
  result(): Measured<MeasuredNoise>;
}

interface Block {
  /** Variance of the means of quarter blocks: structure, which even areas lack. */
  readonly coarse: number;
  /** Mean square of the finest diagonal detail, whose deviation is that of white noise. */
  readonly fine: number;
  /** Mean square of all detail finer than the quarter blocks, per pixel. */
  readonly detail: number;
}

/**
 * A new gatherer. Method: blocks are ranked by their coarse structure and noise is read from the finer detail of the
 * evenest, which is independent of the ranking for random noise (homogeneous blocks: Amer and Dubois 2005; Haar detail:
 * Donoho and Johnstone 1994), level by level as in the noise level function of Liu et al. 2006.
 */
export function gatherNoise(layout: FrameLayout, fullRange: boolean): NoiseGatherer {
  const { black, white } = signalRange(layout.bitDepth, fullRange);
  const byLevel: Block[][] = Array.from({ length: levels }, () => []);
  const seen = new Float64Array(levels);
  const temporal: number[] = [];
  const span = white - black;
  return {
    add(samples) {
      eachBlock(layout, (at) => {
        const signal = (blockMean(samples, at) - black) / span;
        if (signal < usableSignal.least || signal > usableSignal.most) return;
        const level = Math.min(levels - 1, Math.floor(signal * levels));
        const blocks = byLevel[level];
        if (blocks === undefined) return;
        seen[level] = (seen[level] ?? 0) + 1;
        if (blocks.length < mostBlocks) blocks.push(blockDetail(samples, at));
      });
    },
    addStill(first, second) {
      const squares: number[] = [];
      eachBlock(layout, (at) => {
        const signal = (blockMean(first, at) - black) / span;
        if (signal < usableSignal.least || signal > usableSignal.most) return;
        squares.push(differenceVariance(first, second, at));
      });
      // Blocks in which something moves stand out; the median block does not.
      if (squares.length >= leastBlocks) temporal.push(Math.sqrt(median(squares) / 2) / span);
    },
    result: () => noiseOf(byLevel, temporal, span),
  };
}

function noiseOf(
  byLevel: readonly (readonly Block[])[],
  temporal: readonly number[],
  span: number,
): Measured<MeasuredNoise> {
  const perLevel: NoiseLevel[] = [];
  const fines: number[] = [];
  byLevel.forEach((blocks, level) => {
    const even = evenBlocks(blocks);
    if (even === undefined) return;
    const brightness = (level + 0.5) / levels;
    const deviation = (variance: number): number => Math.sqrt(Math.max(0, variance - roundingVariance)) / span;
    // Texture adds to the whole detail and not to the diagonal; coding smooths the diagonal first. The truth lies
    // between the two, and they agree on an uncoded even picture.
    const whole = deviation(median(even.map((block) => block.detail)) * medianOfDetail);
    const fine = deviation(mean(even.map((block) => block.fine)));
    const sigma = Math.sqrt(whole * fine);
    fines.push(fine);
    perLevel.push({
      brightnessPercent: 100 * brightness,
      sigmaPercent: 100 * sigma,
      signalToNoiseDecibels: sigma === 0 ? 99 : Math.min(99, 20 * Math.log10(brightness / sigma)),
      blocks: even.length,
    });
  });
  if (perLevel.length === 0) return cannotTell("no even areas in the pictures: noise cannot be told from texture");
  const sigmaPercent = median(perLevel.map((level) => level.sigmaPercent));
  const shadows = perLevel.filter((level) => level.brightnessPercent >= 10 && level.brightnessPercent <= 40);
  const grey = perLevel.reduce((a, b) =>
    Math.abs(b.brightnessPercent - 45) < Math.abs(a.brightnessPercent - 45) ? b : a,
  );
  return {
    state: "read",
    sigmaPercent,
    ...(shadows.length === 0 ? {} : { shadowSigmaPercent: median(shadows.map((level) => level.sigmaPercent)) }),
    signalToNoiseDecibels: grey.signalToNoiseDecibels,
    stopsOverReference: 2 * Math.log2(Math.max(1e-3, sigmaPercent) / referenceSigmaPercent),
    fineSigmaPercent: 100 * median(fines),
    ...(temporal.length === 0 ? {} : { temporalSigmaPercent: 100 * median(temporal) }),
    perLevel,
  };
}

/**
 * The even blocks of a level: begun with the evenest, then all whose structure is within what random noise of that
 * strength leaves. Undefined when they are too few or not even: their structure is more than noise.
 */
function evenBlocks(blocks: readonly Block[]): readonly Block[] | undefined {
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

function eachBlock({ heldWidth, heldHeight, smallHeight }: FrameLayout, visit: (at: number) => void): void {
  for (let y = 0; y + blockSide <= heldHeight; y += blockSide) {
    for (let x = 0; x + blockSide <= heldWidth; x += blockSide) visit((smallHeight + y) * pieceWidth + x);
  }
}

function blockMean(samples: Samples, at: number): number {
  let sum = 0;
  for (let y = 0; y < blockSide; y += 1) {
    for (let x = 0; x < blockSide; x += 1) sum += samples[at + y * pieceWidth + x] ?? 0;
  }
  return sum / blockSide ** 2;
}

/** Haar detail of each two by two pixels, and the plane-corrected spread of their means. */
function blockDetail(samples: Samples, at: number): Block {
  const half = blockSide / 2;
  let [fine, detail] = [0, 0];
  let [sum, squares, slopeX, slopeY] = [0, 0, 0, 0];
  for (let y = 0; y < half; y += 1) {
    for (let x = 0; x < half; x += 1) {
      const i = at + 2 * y * pieceWidth + 2 * x;
      const [a, b] = [samples[i] ?? 0, samples[i + 1] ?? 0];
      const [c, d] = [samples[i + pieceWidth] ?? 0, samples[i + pieceWidth + 1] ?? 0];
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

function differenceVariance(first: Samples, second: Samples, at: number): number {
  let [sum, squares] = [0, 0];
  for (let y = 0; y < blockSide; y += 1) {
    for (let x = 0; x < blockSide; x += 1) {
      const i = at + y * pieceWidth + x;
      const off = (first[i] ?? 0) - (second[i] ?? 0);
      sum += off;
      squares += off * off;
    }
  }
  const n = blockSide ** 2;
  return (squares - (sum * sum) / n) / (n - 1);
}
