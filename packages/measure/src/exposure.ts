import { type CodeCounter, countCodes, pixelsBelow, pixelsFrom, signalRange } from "./code-values.ts";
import type { FrameLayout, Samples } from "./frame-layout.ts";
import { lightOf } from "./light.ts";
import { cannotTell, type Measured, type MeasuredExposure } from "./measurement.ts";
import { ribbonOf } from "./ribbon.ts";

/** Signal at and above which a pixel counts as clipped (practice, no source). */
export const clippedSignal = 0.985;
/** Signal at and below which a pixel counts as crushed (practice, no source). */
export const crushedSignal = 0.01;
/** Jumps kept. */
const mostJumps = 64;

/** Shares of clipped and crushed pixels of one frame by the declared range, from the counts of its codes. */
export function clippedAndCrushed(
  counts: Uint32Array,
  pixels: number,
  bitDepth: number,
  fullRange: boolean,
): { readonly clipped: number; readonly crushed: number } {
  const { black, white } = signalRange(bitDepth, fullRange);
  const top = Math.ceil(black + clippedSignal * (white - black));
  const bottom = Math.floor(black + crushedSignal * (white - black));
  return { clipped: pixelsFrom(counts, top) / pixels, crushed: pixelsBelow(counts, bottom + 1) / pixels };
}

/** Exposure over a clip, gathered frame by frame; memory does not grow with the clip. */
export interface ExposureGatherer {
  /** Counts the codes of a frame whose mean brightness is `mean` in 8 bit codes. */
  addCodes(seconds: number, samples: Samples, mean: number): void;
  /** Mean brightness of each frame in 8 bit codes; `gap` when the frame does not follow the one before. */
  addMean(seconds: number, mean: number, gap: boolean): void;
  result(): Measured<MeasuredExposure>;
}

/** A step of mean brightness that counts as a jump: 8 % of the range within two frames, then staying. */
const jumpShare = 0.08;
/** Frames the brightness has to stay before and after a jump. */
const settled = 4;

/** A new gatherer of exposure. */
export function gatherExposure(layout: FrameLayout, fullRange: boolean, transfer?: string): ExposureGatherer {
  const { black, white } = signalRange(8, fullRange);
  const codes: CodeCounter = countCodes(layout);
  const light = lightOf(transfer);
  const ribbon = ribbonOf<MeasuredExposure["ribbon"][number]>();
  let [frames, clipped, crushed] = [0, 0, 0];
  let mostClipped = { atSeconds: 0, share: 0 };
  let mostCrushed = { atSeconds: 0, share: 0 };
  let [means, sum, darkest, brightest] = [0, 0, Infinity, -Infinity];
  const jumps: MeasuredExposure["jumps"][number][] = [];
  let recent: { seconds: number; signal: number }[] = [];
  return {
    addCodes(atSeconds, samples, mean) {
      const counts = codes.add(samples);
      const { clipped: high, crushed: low } = clippedAndCrushed(counts, codes.pixels, layout.bitDepth, fullRange);
      frames += 1;
      clipped += high;
      crushed += low;
      if (high > mostClipped.share) mostClipped = { atSeconds, share: high };
      if (low > mostCrushed.share) mostCrushed = { atSeconds, share: low };
      const meanPercent = (100 * (mean - black)) / (white - black);
      ribbon.add({ atSeconds, meanPercent, clippedShare: high, crushedShare: low });
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
        const { atSeconds, from, to } = jump;
        const stops = light === undefined ? Number.NaN : Math.log2(light(to) / light(from));
        jumps.push({
          atSeconds,
          changePercent: 100 * (to - from),
          ...(Number.isFinite(stops) ? { changeStops: stops } : {}),
        });
        recent = recent.slice(settled + 1);
      }
    },
    result() {
      const found = codes.result();
      if (found === undefined || means === 0) return cannotTell("no picture was decoded");
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
        codes: found,
        ribbon: ribbon.points(),
      };
    },
  };
}

const spread = (part: readonly { readonly signal: number }[]): number =>
  Math.max(...part.map((p) => p.signal)) - Math.min(...part.map((p) => p.signal));

/** A step in the middle of a short run that is level on both sides. */
function jumpWithin(
  run: readonly { readonly seconds: number; readonly signal: number }[],
): { readonly atSeconds: number; readonly from: number; readonly to: number } | undefined {
  const [before, after] = [run.slice(0, settled), run.slice(settled + 1)];
  const [from, to] = [before.at(-1)?.signal ?? 0, after[0]?.signal ?? 0];
  const change = to - from;
  if (Math.abs(change) < jumpShare || spread(before) > Math.abs(change) / 4 || spread(after) > Math.abs(change) / 4) {
    return undefined;
  }
  return { atSeconds: run[settled]?.seconds ?? 0, from, to };
}
