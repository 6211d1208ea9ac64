import { type FrameLayout, pieceWidth, type Samples, smallWidth } from "./frame-layout.ts";
import { cannotTell, type Measured, type MeasuredExposure } from "./measurement.ts";

/** Signal at and above which a pixel counts as clipped (practice, no source). */
export const clippedSignal = 0.985;
/** Signal at and below which a pixel counts as crushed (practice, no source). */
export const crushedSignal = 0.01;
/** Jumps kept. */
const mostJumps = 64;

/** Codes between which the signal lies, for the declared range. */
export function signalRange(bitDepth: number, fullRange: boolean): { readonly black: number; readonly white: number } {
  const step = 2 ** (bitDepth - 8);
  return fullRange ? { black: 0, white: 2 ** bitDepth - 1 } : { black: 16 * step, white: 235 * step };
}

/** Shares of clipped and crushed pixels of one frame, counted on picked pixels whose codes are the camera's own. */
export function clippedAndCrushed(
  samples: Samples,
  layout: FrameLayout,
  fullRange: boolean,
): { readonly clipped: number; readonly crushed: number } {
  const { black, white } = signalRange(layout.bitDepth, fullRange);
  const top = black + clippedSignal * (white - black);
  const bottom = black + crushedSignal * (white - black);
  let [clipped, crushed] = [0, 0];
  for (let y = 0; y < layout.smallHeight; y += 1) {
    const from = y * pieceWidth + smallWidth;
    for (let i = from; i < from + smallWidth; i += 1) {
      const v = samples[i] ?? 0;
      if (v >= top) clipped += 1;
      else if (v <= bottom) crushed += 1;
    }
  }
  const all = smallWidth * layout.smallHeight;
  return { clipped: clipped / all, crushed: crushed / all };
}

/** Exposure over a clip, gathered frame by frame; memory does not grow with the clip. */
export interface ExposureGatherer {
  addShares(seconds: number, clipped: number, crushed: number): void;
  /** Mean brightness of each frame in 8 bit codes; `gap` when the frame does not follow the one before. */
  addMean(seconds: number, mean: number, gap: boolean): void;
  result(): Measured<MeasuredExposure>;
}

/** A step of mean brightness that counts as a jump: 8 % of the range within two frames, then staying. */
const jumpShare = 0.08;
/** Frames the brightness has to stay before and after a jump. */
const settled = 4;

/** A new gatherer of exposure. */
export function gatherExposure(fullRange: boolean): ExposureGatherer {
  const { black, white } = signalRange(8, fullRange);
  let [frames, clipped, crushed] = [0, 0, 0];
  let mostClipped = { atSeconds: 0, share: 0 };
  let mostCrushed = { atSeconds: 0, share: 0 };
  let [means, sum, darkest, brightest] = [0, 0, Infinity, -Infinity];
  const jumps: { atSeconds: number; changePercent: number }[] = [];
  let recent: { seconds: number; signal: number }[] = [];
  return {
    addShares(atSeconds, high, low) {
      frames += 1;
      clipped += high;
      crushed += low;
      if (high > mostClipped.share) mostClipped = { atSeconds, share: high };
      if (low > mostCrushed.share) mostCrushed = { atSeconds, share: low };
    },
    addMean(seconds, mean, gap) {
      const signal = (mean - black) / (white - black);
      means += 1;
      sum += signal;
      darkest = Math.min(darkest, signal);
      brightest = Math.max(brightest, signal);
      if (gap) recent = [];
      recent.push({ seconds, signal });
      if (recent.length > 2 * settled + 1) recent.shift();
      if (recent.length === 2 * settled + 1 && jumps.length < mostJumps) {
        const jump = jumpWithin(recent);
        if (jump === undefined) return;
        jumps.push(jump);
        recent = recent.slice(settled + 1);
      }
    },
    result() {
      if (frames === 0 || means === 0) return cannotTell("no picture was decoded");
      return {
        state: "read",
        clippedShare: clipped / frames,
        crushedShare: crushed / frames,
        mostClipped,
        mostCrushed,
        meanPercent: (100 * sum) / means,
        darkestPercent: 100 * darkest,
        brightestPercent: 100 * brightest,
        jumps,
      };
    },
  };
}

const spread = (part: readonly { readonly signal: number }[]): number =>
  Math.max(...part.map((p) => p.signal)) - Math.min(...part.map((p) => p.signal));

/** A step in the middle of a short run that is level on both sides. */
function jumpWithin(
  run: readonly { readonly seconds: number; readonly signal: number }[],
): { readonly atSeconds: number; readonly changePercent: number } | undefined {
  const [before, after] = [run.slice(0, settled), run.slice(settled + 1)];
  const change = (after[0]?.signal ?? 0) - (before.at(-1)?.signal ?? 0);
  if (Math.abs(change) < jumpShare || spread(before) > Math.abs(change) / 4 || spread(after) > Math.abs(change) / 4) {
    return undefined;
  }
  return { atSeconds: run[settled]?.seconds ?? 0, changePercent: 100 * change };
}
