// AssemblyScript, part of picture-kernel.ts: the piece of a frame at full resolution, whose rows are 512 samples apart.

import { pieceWidth } from "./layout";

const blockSide: i32 = 8;

/** A part of the piece made smaller by whole steps: sums of `step` by `step` samples, times a gain. */
export function smaller(samples: usize, bytes: i32, width: i32, height: i32, step: i32, gain: f64, out: usize): void {
  if (bytes == 1) smallerOf<u8>(samples, width, height, step, gain, out);
  else smallerOf<u16>(samples, width, height, step, gain, out);
}
function smallerOf<T>(samples: usize, width: i32, height: i32, step: i32, gain: f64, out: usize): void {
  const size = <usize>sizeof<T>();
  const row = <usize>pieceWidth * size;
  let to = out;
  for (let y = 0; y < height; y += 1) {
    let from = samples + <usize>(y * step) * row;
    for (let x = 0; x < width; x += 1) {
      let sum: i32 = 0;
      for (let j: usize = 0; j < <usize>step; j += 1) {
        for (let i: usize = 0; i < <usize>step; i += 1) sum += <i32>load<T>(from + j * row + i * size);
      }
      store<f64>(to, <f64>sum * gain);
      to += 8;
      from += <usize>step * size;
    }
  }
}

/**
 * What src/noise-blocks.ts says of each block of eight by eight samples, row by row, four numbers a block: its mean, the
 * variance of the means of its quarters, the mean square of its finest detail, and that of all detail.
 */
export function blocks(samples: usize, bytes: i32, across: i32, down: i32, out: usize): void {
  if (bytes == 1) blocksOf<u8>(samples, across, down, out);
  else blocksOf<u16>(samples, across, down, out);
}
function blocksOf<T>(samples: usize, across: i32, down: i32, out: usize): void {
  const size = <usize>sizeof<T>();
  let to = out;
  for (let y = 0; y < down; y += 1) {
    for (let x = 0; x < across; x += 1) {
      block<T>(samples + <usize>((y * pieceWidth + x) * blockSide) * size, to);
      to += 32;
    }
  }
}

/** Haar detail of each two by two pixels, and the plane-corrected spread of their means. */
function block<T>(at: usize, to: usize): void {
  const size = <usize>sizeof<T>();
  const row = <usize>pieceWidth * size;
  const half: i32 = blockSide / 2;
  const n: f64 = <f64>(half * half);
  let fine: f64 = 0;
  let detail: f64 = 0;
  let sum: f64 = 0;
  let squares: f64 = 0;
  let slopeX: f64 = 0;
  let slopeY: f64 = 0;
  for (let y = 0; y < half; y += 1) {
    let i = at + <usize>(2 * y) * row;
    for (let x = 0; x < half; x += 1) {
      const a = <f64>load<T>(i);
      const b = <f64>load<T>(i + size);
      const c = <f64>load<T>(i + row);
      const d = <f64>load<T>(i + row + size);
      const diagonal = (a - b - c + d) / 2;
      const across = (a - b + c - d) / 2;
      const down = (a + b - c - d) / 2;
      const mean = (a + b + c + d) / 4;
      fine += diagonal * diagonal;
      detail += diagonal * diagonal + across * across + down * down;
      sum += mean;
      squares += mean * mean;
      slopeX += mean * (<f64>x - <f64>(half - 1) / 2);
      slopeY += mean * (<f64>y - <f64>(half - 1) / 2);
      i += 2 * size;
    }
  }
  // Sum of squares of the places along one side: (half² − 1) / 12 each.
  const places = (n * (n - 1)) / 12;
  const planar = (slopeX * slopeX + slopeY * slopeY) / places;
  const coarse = Math.max(0, squares - (sum * sum) / n - planar) / (n - 3);
  // A slope shows in across and down too: a step of s a pixel gives s² each.
  const sloped = (slopeX * slopeX + slopeY * slopeY) / (places * places) / 4;
  store<f64>(to, sum / n);
  store<f64>(to, coarse, 8);
  store<f64>(to, fine / n, 16);
  store<f64>(to, Math.max(0, detail / n - sloped) / 3, 24);
}
