import { type FrameLayout, pieceHeight, pieceWidth, type Samples } from "./frame-layout.ts";
import { median, quantile } from "./numbers.ts";
import { pictureKernel } from "./picture-kernel.ts";

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

/**
 * Visits every block of a piece with its mean code, the number of what else is said of it, and its first sample. Method:
 * Haar detail of each two by two pixels, and the plane-corrected spread of their means (assembly/piece.ts).
 */
export function eachBlock(
  samples: Samples,
  { heldWidth, heldHeight, smallHeight }: FrameLayout,
  visit: (mean: number, which: number, at: number) => void,
): void {
  const { calls, frame } = pictureKernel();
  const said = blocksSaid();
  const [across, down] = [Math.floor(heldWidth / blockSide), Math.floor(heldHeight / blockSide)];
  const bytes = samples.BYTES_PER_ELEMENT;
  calls.blocks(frame(samples) + smallHeight * pieceWidth * bytes, bytes, across, down, said.byteOffset);
  for (let i = 0; i < across * down; i += 1) {
    const [x, y] = [i % across, Math.floor(i / across)];
    visit(said[numbersOfBlock * i] ?? 0, i, (smallHeight + y * blockSide) * pieceWidth + x * blockSide);
  }
}

/** What the kernel said of block `which` of the piece that was visited last. */
export function blockSaid(which: number): Block {
  const said = blocksSaid();
  const at = numbersOfBlock * which;
  return { coarse: said[at + 1] ?? 0, fine: said[at + 2] ?? 0, detail: said[at + 3] ?? 0 };
}

/** Mean, and what a block says. */
const numbersOfBlock = 4;
const mostBlocksOfPiece = (pieceWidth / blockSide) * (pieceHeight / blockSide);
let room: Float64Array | undefined;
const blocksSaid = (): Float64Array => (room ??= pictureKernel().numbers(numbersOfBlock * mostBlocksOfPiece));
