import { cannotTell, type Measured, type MeasuredAngle } from "../measurement.ts";
import { mean, median, quantile } from "../numbers.ts";
import { allowedAngles, angleEvidence, triedDegrees } from "./blur-fit.ts";
import { filledShare, lineShare } from "../periodicity.ts";
import { type BlurGatherer, type BlurSpectrum, gatherBlur } from "./blur-spectrum.ts";

/** Motion below which blur is not sought, in pixels a frame: at 180 degrees it would be three pixels long. */
export const leastStepPixels = 6;
/** Blur shorter than this has its first zero beyond what lens and coding leave. */
export const leastBlurPixels = 2.6;
/** Blur this many times as long has been taken for too short (soft fields, 90 degrees at 12.4 pixels a frame). */
const surely = 1.3;
/** Chunks of time that are fitted alone; more are merged into those that move alike. */
const mostChunks = 12;
/** A chunk lasts this long and holds this many pairs at most, while new ones can still be opened. */
const chunkSeconds = 0.9;
const chunkPairs = 4;
/** Pictures whose motion differs by more than this share go to another chunk. */
const alike = 0.1;
const leastChunks = 3;
const leastPairs = 6;
const leastChunkPairs = 2;
/** Draws of the bootstrap over chunks. */
const draws = 300;
/** Half width of the interval that stays however well the chunks agree: grid, lens and codec, found on known pans. */
const leastHalfWidth = (degrees: number): number => 4 + 0.025 * degrees;
/** What weak evidence leaves open besides: in the dark, texture a little above the noise was read 13 degrees off at 60. */
const weakHalfWidth = (evidence: number): number => 1000 / evidence;
/** An interval wider than this says nothing. */
const mostWidth = (degrees: number): number => 30 + 0.35 * degrees;
/** Evidence below which blur cannot be told from texture. */
const leastEvidence = 15;
/** Share of chunks that have to agree with the whole. */
const leastAgreement = 0.55;

/** Share of detail in single lines of the spectrum above which the gaps between them pass for blur. */
const mostLines = 0.35;
/** A spectrum whose detail above the noise fills less of it than this has gaps that are not the blur's. */
const leastFilled = 0.005;
/** Share of the motion by which parts of the picture may move otherwise: it passes into the angle as it is. */
const mostUneven = 0.06;
/** Of so many pairs one is looked at for repetition. */
const linesEvery = 3;
/** Smaller spectra are too coarse to tell lines from chance. */
const leastLinesSide = 128;

/** Gathers pairs of frames that move, and reads the shutter angle from all of them. */
export interface AngleGatherer {
  /** Adds one pair: its power spectrum, its motion in pixels of that spectrum a frame, and that in the file's pixels. */
  add(atSeconds: number, power: Float64Array, width: number, height: number, motion: PairStep): void;
  /** Adds how far the parts of a pair move otherwise than the whole, as a share of its motion; NaN when not known. */
  addParts(unevenness: number): void;
  readonly pairs: number;
  result(): Measured<MeasuredAngle>;
}

/** Motion of a pair. */
export interface PairStep {
  readonly dx: number;
  readonly dy: number;
  /** Pixels of the file for one pixel of the spectrum. */
  readonly scale: number;
}

interface Chunk {
  readonly gatherer: BlurGatherer;
  readonly fromSeconds: number;
  toSeconds: number;
  readonly filePixels: number;
}

/**
 * A new gatherer. Method: the power spectrum along the motion has the zeros of the blur, a box as long as the step times
 * angle / 360 (zeros of the blur's spectrum: Gennery 1973, Cannon 1976); the step comes from phase correlation. All
 * lengths are tried and the likelihoods of chunks that move at different speeds are added by angle; the interval is a
 * bootstrap over chunks.
 */
export function gatherAngle(resolution: number): AngleGatherer {
  const chunks: Chunk[] = [];
  let pairs = 0;
  let [asked, repeating, wavy] = [0, 0, 0];
  const parts: number[] = [];
  return {
    get pairs() {
      return pairs;
    },
    addParts(unevenness) {
      if (Number.isFinite(unevenness)) parts.push(unevenness);
    },
    add(atSeconds, power, width, height, { dx, dy, scale }) {
      const step = Math.hypot(dx, dy);
      const fits = (chunk: Chunk | undefined): chunk is Chunk =>
        chunk !== undefined && Math.abs(step / chunk.gatherer.step - 1) <= alike;
      const last = chunks.at(-1);
      let chunk =
        fits(last) && atSeconds - last.fromSeconds < chunkSeconds && last.gatherer.pairs < chunkPairs
          ? last
          : undefined;
      if (chunk === undefined && chunks.length < mostChunks) {
        chunk = { gatherer: gatherBlur(step), fromSeconds: atSeconds, toSeconds: atSeconds, filePixels: step * scale };
        chunks.push(chunk);
      }
      chunk ??= chunks.filter(fits).sort((a, b) => a.gatherer.pairs - b.gatherer.pairs)[0];
      if (chunk === undefined) return;
      chunk.gatherer.add(power, width, height, dx, dy);
      chunk.toSeconds = Math.max(chunk.toSeconds, atSeconds);
      if (pairs % linesEvery === 0 && Math.min(width, height) >= leastLinesSide) {
        asked += 1;
        if (lineShare(power, width, height) > mostLines) repeating += 1;
        else if (filledShare(power, width, height) < leastFilled) wavy += 1;
      }
      pairs += 1;
    },
    result() {
      // A few pictures of a fence amid others spoil their own chunk only; a third of them spoils the sum.
      if (repeating > 0 && repeating >= asked / 3)
        return cannotTell("the texture repeats itself: its own gaps pass for blur");
      if (wavy > 0 && repeating + wavy >= asked / 3)
        return cannotTell("the picture is made of a few waves: the gaps between them pass for blur");
      if (parts.length > 0 && median(parts) > mostUneven)
        return cannotTell("parts of the picture move at different speeds: each has a blur of its own");
      return angleOf(chunks, pairs, resolution);
    },
  };
}

function angleOf(chunks: readonly Chunk[], pairs: number, resolution: number): Measured<MeasuredAngle> {
  const used = chunks.filter((chunk) => chunk.gatherer.pairs >= leastChunkPairs);
  if (pairs === 0) return cannotTell("no stretch moves fast and evenly enough with enough texture");
  if (used.length < leastChunks || pairs < leastPairs) {
    return cannotTell(`only ${pairs} pairs of frames move enough; ${leastPairs} in ${leastChunks} places are needed`);
  }
  const spectra = used.map((chunk) => chunk.gatherer.spectrum());
  const curves = spectra.map((spectrum) => allowedEvidence(spectrum, resolution));
  const total = sumOf(curves);
  const best = topOf(total);
  const degrees = triedDegrees[0] === undefined || best === undefined ? undefined : best.degrees;
  if (degrees === undefined || best === undefined) return cannotTell("the texture hides the blur");
  const typicalStep = median(spectra.map((s) => s.step));
  const largestStep = Math.max(...spectra.map((s) => s.step));
  const shortest =
    (360 * leastBlurPixels) /
    quantile(
      spectra.map((s) => s.step),
      0.75,
    );
  if ((degrees * largestStep) / 360 < leastBlurPixels || degrees < shortest) {
    return cannotTell(
      `blur is shorter than ${leastBlurPixels} pixels: the angle is below about ${Math.round(surely * shortest)}`,
    );
  }
  if (best.height < leastEvidence) return cannotTell("the blur does not stand out from texture and coding");
  const tops = curves.map((curve) => topOf(curve)?.degrees ?? 0);
  const agreeing = tops.filter((top) => Math.abs(top - degrees) <= 10 + 0.12 * degrees).length;
  if (agreeing / curves.length < leastAgreement) return cannotTell("parts of the clip give different blur");
  const weak = weakHalfWidth(best.height);
  const { low, high } = interval(curves, degrees, weak);
  if (high - low > mostWidth(degrees)) {
    return cannotTell(`the angle lies anywhere from ${Math.round(low)} to ${Math.round(high)} degrees`);
  }
  if (low + weak <= shortest && typicalStep * degrees < 360 * 1.3 * leastBlurPixels) {
    return cannotTell(
      `blur is hardly longer than ${leastBlurPixels} pixels: the angle is below about ${Math.round(high)}`,
    );
  }
  return {
    state: "read",
    degrees: Math.min(360, degrees),
    low: Math.min(350, low),
    high: Math.min(380, high),
    pairs,
    stretches: used.map((chunk, i) => ({
      fromSeconds: chunk.fromSeconds,
      toSeconds: chunk.toSeconds,
      degrees: Math.min(360, tops[i] ?? degrees),
      pixelsPerFrame: chunk.filePixels,
    })),
  };
}

/** Far below any evidence, yet finite, so that sums stay numbers. */
const impossible = -1e6;

function allowedEvidence(spectrum: BlurSpectrum, resolution: number): Float64Array {
  const allowed = allowedAngles(spectrum);
  return angleEvidence(spectrum, resolution).map((value, i) => (allowed[i] === true ? value : impossible));
}

function sumOf(curves: readonly Float64Array[]): Float64Array {
  const total = new Float64Array(triedDegrees.length);
  for (const curve of curves) for (let i = 0; i < total.length; i += 1) total[i] = (total[i] ?? 0) + (curve[i] ?? 0);
  return total;
}

/** The top of a curve, between the tried angles by a parabola; undefined when no angle is possible. */
function topOf(curve: Float64Array): { readonly degrees: number; readonly height: number } | undefined {
  let best = 0;
  for (let i = 1; i < curve.length; i += 1) if ((curve[i] ?? 0) > (curve[best] ?? 0)) best = i;
  const height = curve[best] ?? 0;
  if (height <= impossible / 2) return undefined;
  const [a, b, c] = [curve[best - 1] ?? impossible, height, curve[best + 1] ?? impossible];
  const bend = a - 2 * b + c;
  const off = a > impossible / 2 && c > impossible / 2 && bend < 0 ? (0.5 * (a - c)) / bend : 0;
  const spacing = (triedDegrees[1] ?? 0) - (triedDegrees[0] ?? 0);
  return { degrees: (triedDegrees[best] ?? 0) + off * spacing, height };
}

/** Bootstrap over chunks, joined with what the sum itself leaves open. */
function interval(
  curves: readonly Float64Array[],
  degrees: number,
  weak: number,
): { readonly low: number; readonly high: number } {
  const random = steadyRandom();
  const found: number[] = [];
  for (let n = 0; n < draws; n += 1) {
    const drawn = curves.map(() => curves[Math.floor(random() * curves.length)] ?? new Float64Array(0));
    const top = topOf(sumOf(drawn));
    if (top !== undefined) found.push(top.degrees);
  }
  const half = leastHalfWidth(degrees);
  // Chunks see the same kind of texture; a tenth more on either side stands for what they share.
  const [low, high] = [quantile(found, 0.025), quantile(found, 0.975)];
  const middle = mean([low, high]);
  const stretch = 1.2;
  return {
    low: Math.max(0, Math.min(degrees - half, middle - ((middle - low) * stretch + 0.5 * half)) - weak),
    high: Math.max(degrees + half, middle + ((high - middle) * stretch + 0.5 * half)) + weak,
  };
}

/** The same draws each time, so that a clip always gets the same answer. */
function steadyRandom(): () => number {
  let state = 12345;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return state / 4294967296;
  };
}
