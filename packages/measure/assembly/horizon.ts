// AssemblyScript, part of picture-kernel.ts: where the sky ends, in strips of the small picture; src/horizon.ts says for what.

import { pieceWidth, smallWidth } from "./layout";

/** Strips down the picture, each as wide as this many pixels. */
const stripWidth: i32 = 8;
/** Rows above and below an edge that are compared. */
const compared: i32 = 4;
/** Step from sky to ground, in 8 bit codes. */
const leastStep: f64 = 18;
/** Mean brightness of each row of one strip, 256 at most. */
const profile: usize = memory.data(2048, 16);

function row(y: i32): f64 {
  return load<f64>(profile + ((<usize>y) << 3));
}

/**
 * Two numbers a strip: the row at which the strongest step down in brightness lies, between rows by the parabola, NaN
 * when none is strong; and the root mean square of what a straight gradient leaves of the rows above it.
 */
export function skyEdges(samples: usize, bytes: i32, rows: i32, gain: f64, out: usize): void {
  for (let strip = 0; strip < smallWidth / stripWidth; strip += 1) {
    if (bytes == 1) fillProfile<u8>(samples, strip, rows, gain);
    else fillProfile<u16>(samples, strip, rows, gain);
    const edge = skyEdge(rows);
    store<f64>(out + ((<usize>strip) << 4), edge);
    store<f64>(out + ((<usize>strip) << 4), edge == edge ? structure(<i32>Math.floor(edge) - 2) : NaN, 8);
  }
}

function fillProfile<T>(samples: usize, strip: i32, rows: i32, gain: f64): void {
  const size = <usize>sizeof<T>();
  for (let y = 0; y < rows; y += 1) {
    let sum: i32 = 0;
    const from = samples + <usize>(y * pieceWidth + strip * stripWidth) * size;
    for (let i: usize = 0; i < <usize>stripWidth; i += 1) sum += <i32>load<T>(from + i * size);
    store<f64>(profile + ((<usize>y) << 3), <f64>sum * gain);
  }
}

function step(y: i32): f64 {
  let sum: f64 = 0;
  for (let i = 0; i < compared; i += 1) sum += row(y - 1 - i) - row(y + i);
  return sum / <f64>compared;
}

function skyEdge(rows: i32): f64 {
  let best = 0;
  let highest: f64 = 0;
  for (let y = 2 * compared; y <= rows - 2 * compared; y += 1) {
    const value = step(y);
    if (value > highest) {
      best = y;
      highest = value;
    }
  }
  if (highest < leastStep) return NaN;
  const a = step(best - 1);
  const c = step(best + 1);
  const bend = a - 2 * highest + c;
  return <f64>best + (bend < 0 ? (0.5 * (a - c)) / bend : 0);
}

function structure(end: i32): f64 {
  const n = max(0, end);
  if (n < 3) return 0;
  const middle = <f64>(n - 1) / 2;
  let average: f64 = 0;
  for (let y = 0; y < n; y += 1) average += row(y);
  average /= <f64>n;
  let slope: f64 = 0;
  let places: f64 = 0;
  for (let y = 0; y < n; y += 1) {
    const off = <f64>y - middle;
    slope += off * (row(y) - average);
    places += off * off;
  }
  let squares: f64 = 0;
  for (let y = 0; y < n; y += 1) {
    const left = row(y) - average - (slope / places) * (<f64>y - middle);
    squares += left * left;
  }
  return Math.sqrt(squares / <f64>n);
}
