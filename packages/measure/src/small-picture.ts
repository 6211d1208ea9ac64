import { type FrameLayout, type Samples, smallWidth } from "./frame-layout.ts";
import type { MixLook } from "./mixes.ts";
import { pictureKernel } from "./picture-kernel.ts";

/** Bands across the picture whose brightness is followed. */
export const rowBands = 16;
/** Size of the picture in which motion is sought; sides are powers of two. */
export const motionWidth = 128;

/** Reads the two small pictures of each frame; everything is in code values of 8 bit, whatever the depth. */
export interface SmallPicture {
  /** Takes in the next frame, whose samples have to stay as they are until two more have been taken in. */
  take(samples: Samples): void;
  /** Mean brightness of each band of rows of the last frame. */
  readonly bands: Float64Array;
  readonly mean: number;
  /** Mean absolute difference from the frame before; NaN on the first. */
  readonly difference: number;
  /** Share of picked pixels that differ from the frame before by two codes or more; 1 on the first. */
  changedShare(): number;
  /** Pictures for the search of motion: the last and the one before, made when they are asked for. */
  readonly motionHeight: number;
  last(): Float64Array;
  before(): Float64Array;
  /** How the last-but-one frame lies between its neighbours, brightness of the whole apart; undefined before the third. */
  mix(): MixLook | undefined;
}

/** A reader of small pictures, for one stretch. */
export function smallPicture(layout: FrameLayout): SmallPicture {
  const { smallHeight } = layout;
  const motionHeight = 2 ** Math.floor(Math.log2(smallHeight / 2));
  const firstRow = 2 * Math.floor((smallHeight - 2 * motionHeight) / 4);
  const size = smallWidth * smallHeight;
  const none: Samples = layout.bytesPerSample === 1 ? new Uint8Array(0) : new Uint16Array(0);
  let [now, past, older] = [none, none, none];
  const motionSize = motionWidth * motionHeight;
  /** The two motion pictures made last, with the number of the frame each shows. */
  const made = [0, 1].map(() => ({ of: -1, picture: new Float64Array(motionSize) }));
  const bands = new Float64Array(rowBands);
  const rowsOf = new Float64Array(rowBands);
  const bandOf = Uint8Array.from({ length: smallHeight }, (_, y) => Math.floor((y * rowBands) / smallHeight));
  for (const band of bandOf) rowsOf[band] = (rowsOf[band] ?? 0) + 1;
  const scale = 2 ** (8 - layout.bitDepth);
  const leastChange = 2 / scale;
  const { calls, frame, rooms, view } = pictureKernel();
  // Rooms of pictures that nobody looks at between two of their motions.
  const smaller = view(rooms(motionWidth, motionHeight).first, motionSize);
  const rows = view(rooms(motionWidth, motionHeight).second, smallHeight);
  const differencesOf = (one: Samples, other: Samples): number =>
    calls.differences(frame(one, 0), frame(other, 1), one.BYTES_PER_ELEMENT, smallHeight);
  const changedOf = (one: Samples, other: Samples): number =>
    calls.changed(frame(one, 0), frame(other, 1), one.BYTES_PER_ELEMENT, smallHeight, leastChange);
  let taken = 0;
  let mean = 0;
  let difference = Number.NaN;
  const motionPicture = (number: number, samples: Samples): Float64Array => {
    const room = made.find(({ of }) => of === number) ?? made.reduce((a, b) => (a.of < b.of ? a : b));
    if (room.of !== number && samples.length > 0) {
      room.of = number;
      calls.shrink(frame(samples), samples.BYTES_PER_ELEMENT, firstRow, motionHeight, scale / 4, smaller.byteOffset);
      room.picture.set(smaller);
    }
    return room.picture;
  };
  return {
    bands,
    motionHeight,
    get mean() {
      return mean;
    },
    get difference() {
      return difference;
    },
    changedShare: () => (taken < 2 ? 1 : changedOf(now, past) / size),
    last: () => motionPicture(taken, now),
    before: () => motionPicture(taken - 1, past),
    take(samples) {
      older = past;
      past = now;
      now = samples;
      bands.fill(0);
      calls.rowSums(frame(samples), samples.BYTES_PER_ELEMENT, smallHeight, rows.byteOffset);
      let whole = 0;
      for (let y = 0; y < smallHeight; y += 1) {
        const band = bandOf[y] ?? 0;
        const sum = rows[y] ?? 0;
        whole += sum;
        bands[band] = (bands[band] ?? 0) + sum;
      }
      for (let b = 0; b < rowBands; b += 1)
        bands[b] = ((bands[b] ?? 0) * scale) / Math.max(1, (rowsOf[b] ?? 0) * smallWidth);
      mean = (whole * scale) / size;
      difference = taken === 0 ? Number.NaN : (differencesOf(samples, past) * scale) / size;
      taken += 1;
    },
    mix: () => (taken < 3 ? undefined : mixOf(older, past, now, smallHeight, scale)),
  };
}

/** Least squares of `past` as a mix of the other two and a change of brightness, on every second row. */
function mixOf(older: Samples, past: Samples, now: Samples, rows: number, gain: number): MixLook {
  const { calls, frame, sums } = pictureKernel();
  calls.mix(frame(older, 0), frame(past, 1), frame(now, 2), now.BYTES_PER_ELEMENT, rows);
  const [sumA = 0, sumB = 0, aa = 0, ab = 0, bb = 0] = sums;
  const n = smallWidth * Math.ceil(rows / 2);
  const span = aa - (sumA * sumA) / n;
  const joint = ab - (sumA * sumB) / n;
  const whole = bb - (sumB * sumB) / n;
  const share = span <= 0 ? 1 : joint / span;
  const left = Math.max(0, whole - share * joint);
  return { share, left: (left * gain * gain) / n, span: (Math.max(0, span) * gain * gain) / n };
}
