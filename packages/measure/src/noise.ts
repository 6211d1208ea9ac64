import { type FrameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { signalRange } from "./code-values.ts";
import { cannotTell, type Measured, type MeasuredNoise, type NoiseLevel } from "./measurement.ts";
import {
  type Block,
  blockSaid,
  blockSide,
  eachBlock,
  evenBlocks,
  leastBlocks,
  levels,
  medianOfDetail,
  mostCoarseness,
  roundingVariance,
  textureForNoise,
  usableSignal,
} from "./noise-blocks.ts";
import { mean, median } from "./numbers.ts";

/** Blocks kept of one level at most; enough for a hundredth of a decibel. */
const mostBlocks = 4096;
/** Noise of the brief's reference, percent of the signal range in the shadows (practice, no source). */
export const referenceSigmaPercent = 0.8;

/** Gathers random noise from even blocks of the pieces at full resolution. */
export interface NoiseGatherer {
  /** Takes in the piece of one frame. */
  add(samples: Samples): void;
  /** Takes in the same piece of two neighbouring frames of a picture that stands still. */
  addStill(first: Samples, second: Samples): void;
  result(): Measured<MeasuredNoise>;
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
      eachBlock(samples, layout, (code, which) => {
        const signal = (code - black) / span;
        if (signal < usableSignal.least || signal > usableSignal.most) return;
        const level = Math.min(levels - 1, Math.floor(signal * levels));
        const blocks = byLevel[level];
        if (blocks === undefined) return;
        seen[level] = (seen[level] ?? 0) + 1;
        if (blocks.length < mostBlocks) blocks.push(blockSaid(which));
      });
    },
    addStill(first, second) {
      const squares: number[] = [];
      eachBlock(first, layout, (code, _which, at) => {
        const signal = (code - black) / span;
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
  let textured = 0;
  byLevel.forEach((blocks, level) => {
    const even = evenBlocks(blocks);
    if (even === undefined) return;
    const brightness = (level + 0.5) / levels;
    const deviation = (variance: number): number => Math.sqrt(Math.max(0, variance - roundingVariance)) / span;
    // Texture adds to the whole detail and not to the diagonal; coding smooths the diagonal first. The truth lies
    // between the two, and they agree on an uncoded even picture.
    const whole = deviation(median(even.map((block) => block.detail)) * medianOfDetail);
    const fine = deviation(mean(even.map((block) => block.fine)));
    if (whole > mostCoarseness * fine) {
      textured += 1;
      return;
    }
    const sigma = Math.sqrt(whole * fine);
    fines.push(fine);
    perLevel.push({
      brightnessPercent: 100 * brightness,
      sigmaPercent: 100 * sigma,
      signalToNoiseDecibels: sigma === 0 ? 99 : Math.min(99, 20 * Math.log10(brightness / sigma)),
      blocks: even.length,
    });
  });
  if (perLevel.length === 0 && textured > 0) return cannotTell(textureForNoise);
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
