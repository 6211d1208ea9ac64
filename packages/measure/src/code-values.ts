import type { MeasuredCodes } from "@goodgate/model";
import { type FrameLayout, type Samples, smallWidth } from "./frame-layout.ts";
import { pictureKernel } from "./picture-kernel.ts";

/** Codes between which the signal lies, for the declared range. */
export function signalRange(bitDepth: number, fullRange: boolean): { readonly black: number; readonly white: number } {
  const step = 2 ** (bitDepth - 8);
  return fullRange ? { black: 0, white: 2 ** bitDepth - 1 } : { black: 16 * step, white: 235 * step };
}

/** Codes that EBU R 103 lets pass; in 10 bit they are no multiples of those in 8 bit. */
const tolerated = (bitDepth: number): { readonly least: number; readonly most: number } =>
  bitDepth <= 8 ? { least: 5, most: 246 } : { least: 20 * 2 ** (bitDepth - 10), most: 984 * 2 ** (bitDepth - 10) };

/** How often each code stands among the picked pixels, whose codes are the camera's own. */
export interface CodeCounter {
  /** Takes in one frame and returns how many pixels hold each code in it; overwritten by the next. */
  add(samples: Samples): Uint32Array;
  /** Pixels of one frame. */
  readonly pixels: number;
  result(): MeasuredCodes | undefined;
}

/** A new counter over the picked pixels of each frame. */
export function countCodes(layout: FrameLayout): CodeCounter {
  const { bitDepth, smallHeight } = layout;
  const codes = 2 ** bitDepth;
  const now = countsOf(codes);
  const all = new Float64Array(codes);
  let frames = 0;
  return {
    pixels: smallWidth * smallHeight,
    add(samples) {
      const { calls, frame } = pictureKernel();
      now.fill(0);
      calls.countCodes(frame(samples), samples.BYTES_PER_ELEMENT, smallHeight, codes, now.byteOffset);
      for (let code = 0; code < codes; code += 1) all[code] = (all[code] ?? 0) + (now[code] ?? 0);
      frames += 1;
      return now;
    },
    result() {
      if (frames === 0) return undefined;
      const pixels = frames * smallWidth * smallHeight;
      const { black, white } = signalRange(bitDepth, false);
      const { least, most } = tolerated(bitDepth);
      return {
        bitDepth,
        least: all.findIndex((n) => n > 0),
        most: all.findLastIndex((n) => n > 0),
        belowNarrowShare: pixelsBelow(all, black) / pixels,
        aboveNarrowShare: pixelsFrom(all, white + 1) / pixels,
        outsideToleratedShare: (pixelsBelow(all, least) + pixelsFrom(all, most + 1)) / pixels,
      };
    },
  };
}

/** Room of the kernel for the counts of one frame: no two frames are counted at once. */
let room: Float64Array | undefined;
function countsOf(codes: number): Uint32Array {
  // Two counts in the room of one number.
  room ??= pictureKernel().numbers(mostCodes / 2);
  return new Uint32Array(room.buffer, room.byteOffset, codes);
}
const mostCodes = 2 ** 12;

type Counts = Uint32Array | Float64Array;

/** Pixels with a code below `end`. */
export function pixelsBelow(counts: Counts, end: number): number {
  let sum = 0;
  for (let code = 0; code < Math.min(end, counts.length); code += 1) sum += counts[code] ?? 0;
  return sum;
}

/** Pixels with code `from` or a higher one. */
export function pixelsFrom(counts: Counts, from: number): number {
  let sum = 0;
  for (let code = Math.max(0, from); code < counts.length; code += 1) sum += counts[code] ?? 0;
  return sum;
}
