import { gatherMotion, isSure, leastPeak } from "./apparent-motion.ts";
import { signalRange } from "./code-values.ts";
import { conversionOf, type ConversionLook } from "./conversion.ts";
import { gatherDrift, linksPerSecond } from "./drift.ts";
import { gatherExposure } from "./exposure.ts";
import { flickerOf, leastFlickerSeconds, strongestFlicker } from "./flicker.ts";
import { type FrameLayout, pieceWidth, samePiece, type Samples, smallWidth } from "./frame-layout.ts";
import { powerOfTwoWithin } from "./fourier.ts";
import { gatherHorizon } from "./horizon.ts";
import { pairMotion, pairRooms } from "./global-motion.ts";
import type { MixLook } from "./mixes.ts";
import {
  type ClipOutline,
  type Measured,
  type MeasuredFlicker,
  type MeasuredRepeats,
  type Measurement,
  cannotTell,
} from "./measurement.ts";
import { gatherNoise } from "./noise.ts";
import { gatherBeforeCoding } from "./noise-before-coding.ts";
import { unevenness } from "./parts-motion.ts";
import { type DetailGatherer, gatherDetail } from "./picture-detail.ts";
import { countRepeats, leastMixedShare, type RepeatCounts, repeatsOf } from "./repeats.ts";
import { gatherAngle, leastStepPixels } from "./shutter/shutter-angle.ts";
import { gatherSharpness } from "./sharpness.ts";
import { pictureKernel } from "./picture-kernel.ts";
import { motionWidth, rowBands, smallPicture } from "./small-picture.ts";
import {
  blackSignal,
  frozenBridgeSeconds,
  frozenDifference,
  frozenShare,
  holding,
  leastBlackSeconds,
  leastFrozenSeconds,
} from "./stillness.ts";

/** Pairs for blur and sharpness, a second of what is looked at closely. */
const pairsPerSecond = 7;
/** From as many pairs on they come half as often, from three times as many a quarter: the first say most of it. */
const manyPairs = 16;
/** Pairs for blur at most: enough for a degree or two. */
const mostPairs = 160;
/** Of so many pairs one is asked whether its parts move alike; pictures smaller than this have no parts. */
const partsEvery = 4;
const leastPartsSide = 128;
/** Counts of pixels and pieces for noise, a second. */
const countsPerSecond = 4;
const noisePerSecond = 4;
/** Looks for a horizon, a second. */
const horizonsPerSecond = 2;
/** Pieces for noise at most. */
const mostNoisePieces = 60;
/** A shift of more than this share of the piece leaves too little in common. */
const mostShift = 0.3;
/** Larger steps are looked at in a picture made smaller, so that the zeros of the blur stand wide enough apart. */
const widestStep = 44;
/** Two pictures in one have the blur and the step of neither: what comes out is no angle of the file's frames. */
const mixedForAngle = "pictures mix two: their blur is not one exposure's";
/** Motion below this (pixels of the file a frame) and difference below that: the picture stands still. */
const stillPixels = 0.05;

/** Looks at frames as they come and keeps only sums. */
export interface Look {
  /** Begins a stretch that starts at `fromSeconds`. */
  begin(fromSeconds: number): void;
  /** Looks at frame `index` of the stretch; the samples may be overwritten when two more have been looked at. */
  frame(samples: Samples, index: number): void;
  /** Ends the stretch; `keyFrames` are those of its frames that are coded without others. */
  end(keyFrames: ReadonlySet<number>): void;
  result(): Omit<Measurement, "coverage" | "combing">;
}

/** One run of frames while it is gathered. */
interface Run {
  readonly fromSeconds: number;
  readonly bands: Float64Array;
  readonly differences: Float64Array;
  readonly across: Float64Array;
  readonly down: Float64Array;
  readonly mixes: (MixLook | undefined)[];
  readonly close: DetailGatherer;
  frames: number;
}

/** A new look at one clip. */
export function look(about: ClipOutline, layout: FrameLayout): Look {
  const fps = about.frameRate;
  const fullRange = about.fullRange ?? false;
  const scale = about.width / smallWidth;
  const rowScale = about.height / layout.smallHeight;
  const exposure = gatherExposure(layout, fullRange, about.transfer);
  const noise = gatherNoise(layout, fullRange);
  const beforeCoding = gatherBeforeCoding(layout, fullRange);
  const horizon = gatherHorizon(layout, about.width, about.height);
  const motion = gatherMotion(fps);
  const sharpness = gatherSharpness();
  const blackHolds = holding(leastBlackSeconds);
  const frozenHolds = holding(leastFrozenSeconds, frozenBridgeSeconds);
  const counts: RepeatCounts[] = [];
  const conversions: ConversionLook[] = [];
  const flickers: Measured<MeasuredFlicker>[] = [];
  const range = signalRange(8, fullRange);
  const blackLevel = range.black + blackSignal * (range.white - range.black);
  const [pairWidth, pairHeight] = [powerOfTwoWithin(layout.heldWidth), powerOfTwoWithin(layout.heldHeight)];
  const angle = gatherAngle(1.2 / Math.max(1, pairWidth));
  const { runFrames, closeFrames } = layout;
  const every = (perSecond: number): number => Math.max(1, Math.round(fps / perSecond));
  const pairEvery = 2 * Math.max(1, Math.round(every(pairsPerSecond) / 2));
  // An odd distance lets key frames and others have their turn.
  const noiseEvery = every(noisePerSecond) | 1;
  let noisePieces = 0;
  let slowPairs = 0;
  let small = smallPicture(layout);
  const drift = gatherDrift(motionWidth, small.motionHeight, fullRange, about.transfer);
  let stretchFrom = 0;
  let run: Run | undefined;
  let kept: Samples | undefined;
  let keptIndex = -2;
  let lastStep: { dx: number; dy: number } | undefined;

  const openRun = (fromSeconds: number): Run => ({
    fromSeconds,
    bands: new Float64Array(runFrames * rowBands),
    differences: new Float64Array(runFrames).fill(Number.NaN),
    across: new Float64Array(runFrames).fill(Number.NaN),
    down: new Float64Array(runFrames).fill(Number.NaN),
    mixes: [],
    close: gatherDetail(layout.smallHeight, closeFrames),
    frames: 0,
  });
  const closeRun = (): void => {
    if (run === undefined || run.frames === 0) return;
    const { frames, fromSeconds } = run;
    const differences = run.differences.subarray(0, frames);
    const across = run.across.subarray(0, frames);
    const down = run.down.subarray(0, frames);
    counts.push(countRepeats({ fromSeconds, differences, across, down, mixes: run.mixes }, fps));
    conversions.push(conversionOf({ ...run.close.seen, differences, across, down }, fps));
    if (frames / fps >= leastFlickerSeconds - 0.5 / fps)
      flickers.push(flickerOf(run.bands.subarray(0, frames * rowBands), fps, range.black));
    run = undefined;
  };
  /** The step from the frame before to this one, in pixels of the file; undefined when the two do not match. */
  const stepOf = (): { dx: number; dy: number } | undefined => {
    const found = pairMotion(small.before(), small.last(), motionWidth, small.motionHeight);
    if (found === undefined || !isSure(found)) return undefined;
    return { dx: found.dx * 2 * scale, dy: found.dy * 2 * rowScale };
  };
  const lookAtPair = (samples: Samples, seconds: number): void => {
    const step = lastStep;
    if (kept === undefined || pairWidth < 64 || pairHeight < 64 || step === undefined) return;
    const length = Math.hypot(step.dx, step.dy);
    if (length < stillPixels && noisePieces < mostNoisePieces) noise.addStill(kept, samples);
    const shrink = Math.max(1, Math.min(4, Math.ceil(length / widestStep)));
    const [w, h] = [powerOfTwoWithin(pairWidth / shrink), powerOfTwoWithin(pairHeight / shrink)];
    if (Math.abs(step.dx) > mostShift * w * shrink || Math.abs(step.dy) > mostShift * h * shrink) return;
    // Slow pictures tell of focus alone, which needs few of them.
    slowPairs = length < leastStepPixels ? slowPairs + 1 : 0;
    if (slowPairs > 0 && slowPairs % 4 !== 1) return;
    const near = { dx: step.dx / shrink, dy: step.dy / shrink };
    const [first, second] = pairRooms(w, h);
    copyPiece(kept, layout, w, h, shrink, first);
    copyPiece(samples, layout, w, h, shrink, second);
    const pair = pairMotion(first, second, w, h, near);
    if (pair === undefined) return;
    sharpness.add(seconds, pair.power, w, h, pair.dx, pair.dy);
    const off = Math.hypot(pair.dx * shrink - step.dx, pair.dy * shrink - step.dy);
    const own = Math.hypot(pair.dx, pair.dy);
    if (own < leastStepPixels || pair.peak < leastPeak || off > 2 + 0.2 * length || angle.pairs >= mostPairs) return;
    if (angle.pairs % partsEvery === 0 && Math.min(w, h) >= leastPartsSide) {
      angle.addParts(unevenness(first, second, w, h, pair));
    }
    angle.add(seconds, pair.power, w, h, { dx: pair.dx, dy: pair.dy, scale: shrink });
  };

  const repeatsFound = (): Measured<MeasuredRepeats> => repeatsOf(counts, fps, conversions);
  const mixesPictures = (): boolean => {
    const repeats = repeatsFound();
    return repeats.state === "read" && (repeats.blendedShare ?? 0) >= leastMixedShare;
  };

  return {
    begin(fromSeconds) {
      stretchFrom = fromSeconds;
      small = smallPicture(layout);
      keptIndex = -2;
      drift.gap();
    },
    frame(samples, index) {
      const seconds = stretchFrom + index / fps;
      run ??= openRun(seconds);
      const place = run.frames;
      small.take(samples);
      run.bands.set(small.bands, place * rowBands);
      run.differences[place] = small.difference;
      run.frames += 1;
      exposure.addMean(seconds, small.mean, index === 0);
      blackHolds.add(small.mean <= blackLevel, seconds, seconds + 1 / fps);
      frozenHolds.add(
        index > 0 && small.difference <= frozenDifference && small.changedShare() <= frozenShare,
        seconds - 1 / fps,
        seconds,
      );
      if (index % every(countsPerSecond) === 0) exposure.addCodes(seconds, samples, small.mean);
      if (index % every(horizonsPerSecond) === 0) horizon.add(seconds, samples);
      if (index % every(linksPerSecond) === 0) drift.add(seconds, small.last());
      if (place < closeFrames && index > 0) {
        const step = stepOf();
        lastStep = step;
        motion.add(
          seconds,
          step === undefined ? undefined : step.dx / about.width,
          step === undefined ? undefined : step.dy / about.width,
        );
        run.across[place] = step === undefined ? Number.NaN : step.dx / scale;
        run.down[place] = step === undefined ? Number.NaN : step.dy / rowScale;
        if (place > 1) run.mixes[place - 1] = small.mix();
        if (samePiece(index - 1) && keptIndex === index - 1) lookAtPair(samples, seconds);
      } else motion.gap();
      if (place < closeFrames) run.close.add(samples, small.mean - range.black, run.across, run.down);
      const pairStep = pairEvery * (angle.pairs >= 3 * manyPairs ? 4 : angle.pairs >= manyPairs ? 2 : 1);
      if (place < closeFrames && samePiece(index) && index % pairStep === 0) {
        kept = samples;
        keptIndex = index;
      }
      if (place < closeFrames && index % noiseEvery === noiseEvery >> 1 && noisePieces < mostNoisePieces) {
        noisePieces += 1;
        noise.add(samples);
      }
      // Key frames come once a second or more often; the first is not yet what the encoder settles to.
      if (place < (counts.length === 0 ? closeFrames : fps) && !beforeCoding.full) beforeCoding.add(samples, index);
      if (run.frames >= runFrames) closeRun();
    },
    end(keyFrames) {
      beforeCoding.end(keyFrames);
      closeRun();
      motion.gap();
    },
    result: () => ({
      shutterAngle: mixesPictures() ? cannotTell(mixedForAngle) : angle.result(),
      noise: noise.result(),
      noiseBeforeCoding: beforeCoding.result(),
      repeats: repeatsFound(),
      flicker: strongestFlicker(flickers),
      exposure: exposure.result(),
      drift: drift.result(),
      horizon: horizon.result(),
      black: blackHolds.stretches(),
      frozen: frozenHolds.stretches(),
      sharpness: sharpness.result(),
      motion: motion.result(),
    }),
  };
}

/** The middle of the full-resolution piece in 8 bit codes, made smaller by whole steps, to memory of the kernel. */
function copyPiece(
  samples: Samples,
  layout: FrameLayout,
  width: number,
  height: number,
  shrink: number,
  out: Float64Array,
): void {
  const { calls, frame } = pictureKernel();
  const left = (layout.heldWidth - width * shrink) >> 1;
  const top = layout.smallHeight + ((layout.heldHeight - height * shrink) >> 1);
  const at = frame(samples) + (top * pieceWidth + left) * layout.bytesPerSample;
  calls.smaller(
    at,
    layout.bytesPerSample,
    width,
    height,
    shrink,
    2 ** (8 - layout.bitDepth) / shrink ** 2,
    out.byteOffset,
  );
}
