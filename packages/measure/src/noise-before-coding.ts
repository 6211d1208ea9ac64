import { signalRange } from "./code-values.ts";
import { mostCoarseness, textureForNoise } from "./noise-blocks.ts";
import { frameNoise, type LevelNoise } from "./frame-noise.ts";
import { type FrameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { cannotTell, type Measured, type MeasuredNoiseBeforeCoding } from "./measurement.ts";
import { weightedQuantile } from "./numbers.ts";

/** Pieces kept at most: key frames are among them once a second or so, and which they are is told afterwards. */
const mostFrames = 150;
/** Key frames of a stretch that are looked at, evenly spread: enough where every frame is one. */
const mostKeyFrames = 12;
/** Weakest tenth against the middle block of noise that was rounded to codes and not coded; chi square gives 0.607. */
const uncodedWeakest = 0.615;
/** Below this the coding has emptied whole blocks, and what is left says little of what there was. */
const leastWeakest = 0.15;
/** Frames whose weakest blocks are this near to the best are taken with it. */
const alike = 0.12;
/** Deviation in 8 bit codes below which rounding to codes rules. */
const leastSigma = 0.45;
/** Even blocks that have to be left, and brightness levels of which they are. */
const leastBlocks = 100;
/** Half of the interval in decibels, however well the frames agree: found over encoders, settings and textures. */
const halfDecibels = 1.6;
/** And a share of what was added back, which is told from the weakest blocks alone. */
const halfOfLost = 0.25;

/** Gathers the noise of single frames until it is known which of them are key frames. */
export interface BeforeCodingGatherer {
  readonly full: boolean;
  /** Takes in the piece of frame `index` of the stretch. */
  add(samples: Samples, index: number): void;
  /** Ends the stretch and says which of its frames are key frames. */
  end(keyFrames: ReadonlySet<number>): void;
  result(): Measured<MeasuredNoiseBeforeCoding>;
}

/**
 * A new gatherer. Key frames are coded without their neighbours, so that what survives in them is one quantiser's work:
 * it takes little from blocks it codes finely and nearly all from those it empties, and how far the weakest of what is
 * left fall behind, between blocks that had the same noise, tells how much went (dead zone of a quantiser: Sullivan
 * 1996; statistics of coded noise after Robertson and Stevenson 2005). The curve was found on known noise
 * (scripts/bench/measure.ts).
 */
export function gatherBeforeCoding(layout: FrameLayout, fullRange: boolean): BeforeCodingGatherer {
  const { black, white } = signalRange(layout.bitDepth, fullRange);
  const codesPerEightBit = 2 ** (layout.bitDepth - 8);
  const pieceOnly: FrameLayout = { ...layout, smallHeight: 0 };
  const pieceFrom = layout.smallHeight * pieceWidth;
  // Keeping a piece costs a fiftieth of looking at it.
  const waiting = new Map<number, Samples>();
  const spare: Samples[] = [];
  const found: (readonly LevelNoise[])[] = [];
  let looked = 0;
  return {
    get full() {
      return looked >= mostFrames;
    },
    add(samples, index) {
      looked += 1;
      const piece = samples.subarray(pieceFrom);
      const room = spare.pop() ?? roomFor(piece);
      room.set(piece);
      waiting.set(index, room);
    },
    end(keyFrames) {
      const keys = [...waiting].filter(([index]) => keyFrames.has(index));
      const spacing = Math.max(1, keys.length / mostKeyFrames);
      for (let i = 0; i < keys.length; i += spacing) {
        const piece = keys[Math.floor(i)]?.[1];
        if (piece !== undefined) found.push(frameNoise(piece, pieceOnly, fullRange));
      }
      spare.push(...waiting.values());
      waiting.clear();
    },
    result: () => beforeCodingOf(found, white - black, codesPerEightBit),
  };
}

/** Fresh room for a piece; what it holds before does not matter, and is not cleared. */
function roomFor(piece: Samples): Samples {
  const { buffer, byteOffset } = Buffer.allocUnsafeSlow(piece.byteLength);
  return piece instanceof Uint8Array
    ? new Uint8Array(buffer, byteOffset, piece.length)
    : new Uint16Array(buffer, byteOffset, piece.length);
}

/**
 * Decibels that coding took from noise whose weakest tenth of blocks stands like this against the middle one: a first
 * part that any quantiser takes, and what it takes from the blocks it empties. Found on known noise.
 */
export function lostDecibels(weakest: number): number {
  const short = Math.max(0, uncodedWeakest - weakest);
  return Math.min(0.75, 15 * short) + 4.6 * short;
}

/** The weakest tenth of a frame: mean over its levels, each with the weight of its blocks. */
function weakestOf(levels: readonly LevelNoise[]): number {
  const blocks = levels.reduce((sum, level) => sum + level.blocks, 0);
  return levels.reduce((sum, level) => sum + level.blocks * level.weakest, 0) / blocks;
}

function beforeCodingOf(
  frames: readonly (readonly LevelNoise[])[],
  span: number,
  codesPerEightBit: number,
): Measured<MeasuredNoiseBeforeCoding> {
  const told = frames.filter((levels) => levels.length > 0);
  if (told.length === 0) return cannotTell("no key frame with even areas was looked at");
  // The frames that were coded most finely say most; the first of a clip often is far worse than the rest.
  const weakest = told.map(weakestOf);
  const limit = Math.max(leastWeakest, Math.max(...weakest) - alike);
  const taken = told.filter((_, i) => (weakest[i] ?? 0) >= limit).flat();
  // Brightness levels count by their even blocks: where these are few, edges lie in many of them.
  const middleOf = (levels: readonly LevelNoise[], of: (level: LevelNoise) => number, share = 0.5): number =>
    weightedQuantile(
      levels.map((level) => ({ value: of(level), weight: level.blocks })),
      share,
    );
  if (middleOf(taken, (level) => level.coarseness) > mostCoarseness) return cannotTell(textureForNoise);
  const kept = taken.filter((level) => level.coarseness <= mostCoarseness);
  if (kept.reduce((sum, { blocks }) => sum + blocks, 0) < leastBlocks) {
    return cannotTell("the coding took most of the noise away");
  }
  const sigma = middleOf(kept, (level) => level.sigma);
  if (sigma < leastSigma * codesPerEightBit)
    return cannotTell("what noise is left is lost in the rounding of code values");
  // One level of one frame has few blocks; all of them together tell what went.
  const lost = lostDecibels(weakestOf(kept));
  const percent = (100 * 10 ** (lost / 20)) / span;
  const middle = percent * sigma;
  const half = 10 ** ((halfDecibels + halfOfLost * lost) / 20);
  return {
    state: "read",
    sigmaPercent: middle,
    lowPercent: Math.min(middle / half, percent * middleOf(kept, (level) => level.sigma, 0.25)),
    highPercent: Math.max(middle * half, percent * middleOf(kept, (level) => level.sigma, 0.75)),
    lostDecibels: lost,
  };
}
