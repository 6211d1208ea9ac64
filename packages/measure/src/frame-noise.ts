import { signalRange } from "./code-values.ts";
import type { FrameLayout, Samples } from "./frame-layout.ts";
import {
  type Block,
  blockDetail,
  blockMean,
  eachBlock,
  evenBlocks,
  leastBlocks,
  levels,
  medianOfDetail,
  roundingVariance,
  usableSignal,
} from "./noise-blocks.ts";
import { mean, median } from "./numbers.ts";

/** Noise of one brightness in one frame, in codes. */
export interface LevelNoise {
  readonly level: number;
  /** From the finest diagonal detail, which a lens leaves least of in texture. */
  readonly sigma: number;
  /** All detail of the blocks against that: 1 for noise alone, more where fine texture is mixed in. */
  readonly coarseness: number;
  readonly blocks: number;
  /** Mean square over squared mean of the blocks' detail: 1 and a little when all were coded alike. */
  readonly unevenness: number;
}

/** Reads the noise of each brightness from the even blocks of one frame. */
export function frameNoise(samples: Samples, layout: FrameLayout, fullRange: boolean): readonly LevelNoise[] {
  const { black, white } = signalRange(layout.bitDepth, fullRange);
  const byLevel: Block[][] = Array.from({ length: levels }, () => []);
  eachBlock(layout, (at) => {
    const signal = (blockMean(samples, at) - black) / (white - black);
    if (signal < usableSignal.least || signal > usableSignal.most) return;
    byLevel[Math.min(levels - 1, Math.floor(signal * levels))]?.push(blockDetail(samples, at));
  });
  const found: LevelNoise[] = [];
  byLevel.forEach((blocks, level) => {
    const even = evenBlocks(blocks);
    if (even === undefined || even.length < leastBlocks) return;
    const details = even.map((block) => block.detail);
    const whole = median(details) * medianOfDetail - roundingVariance;
    const fine = mean(even.map((block) => block.fine)) - roundingVariance;
    const average = mean(details);
    found.push({
      level,
      sigma: Math.sqrt(Math.max(0, fine)),
      coarseness: Math.sqrt(Math.max(0, whole) / Math.max(1e-9, fine)),
      blocks: even.length,
      unevenness: mean(details.map((detail) => detail * detail)) / Math.max(1e-9, average * average),
    });
  });
  return found;
}
