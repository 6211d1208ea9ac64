import { type FrameLayout, pieceWidth, type Samples, smallWidth } from "./frame-layout.ts";

/** Bands across the picture whose brightness is followed. */
export const rowBands = 16;
/** Size of the picture in which motion is sought; sides are powers of two. */
export const motionWidth = 128;

/** Reads the two small pictures of each frame; everything is in code values of 8 bit, whatever the depth. */
export interface SmallPicture {
  /** Takes in the next frame. */
  take(samples: Samples): void;
  /** Mean brightness of each band of rows of the last frame. */
  readonly bands: Float64Array;
  readonly mean: number;
  /** Mean absolute difference from the frame before; NaN on the first. */
  readonly difference: number;
  /** Share of picked pixels that differ from the frame before by two codes or more; 1 on the first. */
  readonly changedShare: number;
  /** Pictures for the search of motion: the last and the one before. */
  readonly motionHeight: number;
  readonly last: Float64Array;
  readonly before: Float64Array;
  /** How far the last-but-one frame is a mix of its neighbours: share of energy that a mix leaves, 1 when it is none. */
  mixResidue(): number;
}

/** A reader of small pictures, for one stretch. */
export function smallPicture(layout: FrameLayout): SmallPicture {
  const { smallHeight } = layout;
  const motionHeight = 2 ** Math.floor(Math.log2(smallHeight / 2));
  const firstRow = 2 * Math.floor((smallHeight - 2 * motionHeight) / 4);
  const size = smallWidth * smallHeight;
  let [now, past, older] = [new Uint16Array(size), new Uint16Array(size), new Uint16Array(size)];
  let [motionNow, motionPast] = [
    new Float64Array(motionWidth * motionHeight),
    new Float64Array(motionWidth * motionHeight),
  ];
  const bands = new Float64Array(rowBands);
  const scale = 2 ** (8 - layout.bitDepth);
  const leastChange = 2 / scale;
  let taken = 0;
  let mean = 0;
  let difference = Number.NaN;
  let changedShare = 1;
  const picked = new Uint16Array(size);
  return {
    bands,
    motionHeight,
    get mean() {
      return mean;
    },
    get difference() {
      return difference;
    },
    get changedShare() {
      return changedShare;
    },
    get last() {
      return motionNow;
    },
    get before() {
      return motionPast;
    },
    take(samples) {
      [now, past, older] = [older, now, past];
      [motionNow, motionPast] = [motionPast, motionNow];
      bands.fill(0);
      let apart = 0;
      let changed = 0;
      for (let y = 0; y < smallHeight; y += 1) {
        const from = y * pieceWidth;
        const to = y * smallWidth;
        let sum = 0;
        for (let x = 0; x < smallWidth; x += 1) {
          const v = samples[from + x] ?? 0;
          const was = past[to + x] ?? 0;
          now[to + x] = v;
          sum += v;
          apart += v > was ? v - was : was - v;
          const pick = samples[from + smallWidth + x] ?? 0;
          const off = pick - (picked[to + x] ?? 0);
          if (off >= leastChange || off <= -leastChange) changed += 1;
          picked[to + x] = pick;
        }
        const band = Math.floor((y * rowBands) / smallHeight);
        bands[band] = (bands[band] ?? 0) + sum;
      }
      let whole = 0;
      for (let b = 0; b < rowBands; b += 1) {
        const rows = Math.ceil(((b + 1) * smallHeight) / rowBands) - Math.ceil((b * smallHeight) / rowBands);
        whole += bands[b] ?? 0;
        bands[b] = ((bands[b] ?? 0) * scale) / Math.max(1, rows * smallWidth);
      }
      mean = (whole * scale) / size;
      difference = taken === 0 ? Number.NaN : (apart * scale) / size;
      changedShare = taken === 0 ? 1 : changed / size;
      taken += 1;
      for (let y = 0; y < motionHeight; y += 1) {
        const top = (firstRow + 2 * y) * smallWidth;
        for (let x = 0; x < motionWidth; x += 1) {
          const i = top + 2 * x;
          const sum = (now[i] ?? 0) + (now[i + 1] ?? 0) + (now[i + smallWidth] ?? 0) + (now[i + smallWidth + 1] ?? 0);
          motionNow[y * motionWidth + x] = (sum * scale) / 4;
        }
      }
    },
    mixResidue() {
      if (taken < 3) return 1;
      let [across, along] = [0, 0];
      for (let y = 0; y < smallHeight; y += 2) {
        for (let x = 0; x < smallWidth; x += 1) {
          const i = y * smallWidth + x;
          const span = (older[i] ?? 0) - (now[i] ?? 0);
          across += span * ((past[i] ?? 0) - (now[i] ?? 0));
          along += span * span;
        }
      }
      if (along === 0) return 1;
      const share = across / along;
      // A repeat is no mix.
      if (share < 0.15 || share > 0.85) return 1;
      let left = 0;
      for (let y = 0; y < smallHeight; y += 2) {
        for (let x = 0; x < smallWidth; x += 1) {
          const i = y * smallWidth + x;
          const off = (past[i] ?? 0) - (now[i] ?? 0) - share * ((older[i] ?? 0) - (now[i] ?? 0));
          left += off * off;
        }
      }
      return left / along;
    },
  };
}
