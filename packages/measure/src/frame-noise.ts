import { signalRange } from "./code-values.ts";
import type { FrameLayout, Samples } from "./frame-layout.ts";
import {
  type Block,
  blockSaid,
  eachBlock,
  evenBlocks,
  leastBlocks,
  levels,
  medianOfDetail,
  roundingVariance,
  usableSignal,
} from "./noise-blocks.ts";
import { mean, median, quantile } from "./numbers.ts";

/** Blocks whose finest detail is more than this against the middle one hold an edge: chance makes one in 1,500 so. */
const mostOfMiddle = 2.6;

/** Noise of one brightness in one frame, in codes. */
export interface LevelNoise {
  readonly level: number;
  /** From the finest diagonal detail, which a lens leaves least of in texture. */
  readonly sigma: number;
  /** All detail of the blocks against that: 1 for noise alone, more where fine texture is mixed in. */
  readonly coarseness: number;
  readonly blocks: number;
  /**
   * Finest detail of the weakest tenth of the blocks against the middle one: 0.61 for white noise. Coding that empties
   * blocks lowers it; texture in some blocks only lifts the strongest.
   */
  readonly weakest: number;
}

/** Reads the noise of each brightness from the even blocks of one frame. */
export function frameNoise(samples: Samples, layout: FrameLayout, fullRange: boolean): readonly LevelNoise[] {
  const { black, white } = signalRange(layout.bitDepth, fullRange);
  const byLevel: Block[][] = Array.from({ length: levels }, () => []);
  eachBlock(samples, layout, (code, which) => {
    const signal = (code - black) / (white - black);
    if (signal < usableSignal.least || signal > usableSignal.most) return;
    byLevel[Math.min(levels - 1, Math.floor(signal * levels))]?.push(blockSaid(which));
  });
  const found: LevelNoise[] = [];
  byLevel.forEach((blocks, level) => {
    const even = evenBlocks(blocks);
    if (even === undefined || even.length < leastBlocks) return;
    const whole = median(even.map((block) => block.detail)) * medianOfDetail - roundingVariance;
    const fines = even.map((block) => block.fine);
    const middle = median(fines);
    const fine = mean(fines.filter((value) => value <= mostOfMiddle * middle)) - roundingVariance;
    found.push({
      level,
      sigma: Math.sqrt(Math.max(0, fine)),
      coarseness: Math.sqrt(Math.max(0, whole) / Math.max(1e-9, fine)),
      blocks: even.length,
      weakest: quantile(fines, 0.1) / Math.max(1e-9, middle),
    });
  });
  return found;
}
