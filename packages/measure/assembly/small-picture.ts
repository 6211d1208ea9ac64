// AssemblyScript, part of picture-kernel.ts: sums over the small pictures of frames, whose rows are 512 samples apart (the
// layout of src/frame-layout.ts). Samples are bytes or words of 12 bit at most, eight of them in one vector; all sums are of
// whole numbers and exact.

import { pieceWidth, smallWidth } from "./layout";

/** Steps of eight samples after which sums of squares of 13 bit are taken out of 32 bit. */
const safeSteps: i32 = 8;

/** Sums that are given back: five at most. */
export const sums: usize = memory.data(40, 16);

function give(place: i32, value: f64): void {
  store<f64>(sums + ((<usize>place) << 3), value);
}

/** Eight samples as words. */
function eight<T>(from: usize): v128 {
  if (sizeof<T>() == 1) return v128.load_ext<u8>(from);
  return v128.load(from);
}

function total(lanes: v128): f64 {
  return (
    <f64>v128.extract_lane<i32>(lanes, 0) +
    <f64>v128.extract_lane<i32>(lanes, 1) +
    <f64>v128.extract_lane<i32>(lanes, 2) +
    <f64>v128.extract_lane<i32>(lanes, 3)
  );
}

/** Sum of each row of the picture by area. */
export function rowSums(samples: usize, bytes: i32, rows: i32, out: usize): void {
  if (bytes == 1) rowSumsOf<u8>(samples, rows, out);
  else rowSumsOf<u16>(samples, rows, out);
}
function rowSumsOf<T>(samples: usize, rows: i32, out: usize): void {
  const size = <usize>sizeof<T>();
  for (let y = 0; y < rows; y += 1) {
    const from = samples + <usize>(y * pieceWidth) * size;
    let sum = i32x4.splat(0);
    for (let x: usize = 0; x < <usize>smallWidth; x += 8) {
      sum = i32x4.add(sum, i32x4.extadd_pairwise_i16x8_s(eight<T>(from + x * size)));
    }
    store<f64>(out + ((<usize>y) << 3), total(sum));
  }
}

/** Sum of the absolute differences of two pictures by area. */
export function differences(now: usize, past: usize, bytes: i32, rows: i32): f64 {
  return bytes == 1 ? differencesOf<u8>(now, past, rows) : differencesOf<u16>(now, past, rows);
}
function differencesOf<T>(now: usize, past: usize, rows: i32): f64 {
  const size = <usize>sizeof<T>();
  let all: f64 = 0;
  for (let y = 0; y < rows; y += 1) {
    const row = <usize>(y * pieceWidth) * size;
    let sum = i32x4.splat(0);
    for (let x: usize = 0; x < <usize>smallWidth; x += 8) {
      const off = i16x8.abs(i16x8.sub(eight<T>(now + row + x * size), eight<T>(past + row + x * size)));
      sum = i32x4.add(sum, i32x4.extadd_pairwise_i16x8_s(off));
    }
    all += total(sum);
  }
  return all;
}

/** Means of two by two pixels of the picture by area, times four and a gain. */
export function shrink(samples: usize, bytes: i32, firstRow: i32, rows: i32, gain: f64, out: usize): void {
  if (bytes == 1) shrinkOf<u8>(samples, firstRow, rows, gain, out);
  else shrinkOf<u16>(samples, firstRow, rows, gain, out);
}
function shrinkOf<T>(samples: usize, firstRow: i32, rows: i32, gain: f64, out: usize): void {
  const size = <usize>sizeof<T>();
  const gains = f64x2.splat(gain);
  let to = out;
  for (let y = 0; y < rows; y += 1) {
    const above = samples + <usize>((firstRow + 2 * y) * pieceWidth) * size;
    const below = above + <usize>pieceWidth * size;
    for (let x: usize = 0; x < <usize>smallWidth; x += 8) {
      const both = i16x8.add(eight<T>(above + x * size), eight<T>(below + x * size));
      const four = i32x4.extadd_pairwise_i16x8_s(both);
      v128.store(to, f64x2.mul(f64x2.convert_low_i32x4_s(four), gains));
      const high = v128.shuffle<i64>(four, four, 1, 1);
      v128.store(to + 16, f64x2.mul(f64x2.convert_low_i32x4_s(high), gains));
      to += 32;
    }
  }
}

/**
 * Of every second row, with a = older − now and b = past − now: the sums of a, b, a², a·b, b².
 */
export function mix(older: usize, past: usize, now: usize, bytes: i32, rows: i32): void {
  if (bytes == 1) mixOf<u8>(older, past, now, rows);
  else mixOf<u16>(older, past, now, rows);
}
function mixOf<T>(older: usize, past: usize, now: usize, rows: i32): void {
  const size = <usize>sizeof<T>();
  let a: f64 = 0;
  let b: f64 = 0;
  let aa: f64 = 0;
  let ab: f64 = 0;
  let bb: f64 = 0;
  for (let y = 0; y < rows; y += 2) {
    const row = <usize>(y * pieceWidth) * size;
    let sumA = i32x4.splat(0);
    let sumB = sumA;
    let sumAA = sumA;
    let sumAB = sumA;
    let sumBB = sumA;
    for (let x: usize = 0; x < <usize>smallWidth; x += 8) {
      const at = row + x * size;
      const late = eight<T>(now + at);
      const offA = i16x8.sub(eight<T>(older + at), late);
      const offB = i16x8.sub(eight<T>(past + at), late);
      sumA = i32x4.add(sumA, i32x4.extadd_pairwise_i16x8_s(offA));
      sumB = i32x4.add(sumB, i32x4.extadd_pairwise_i16x8_s(offB));
      sumAA = i32x4.add(sumAA, i32x4.dot_i16x8_s(offA, offA));
      sumAB = i32x4.add(sumAB, i32x4.dot_i16x8_s(offA, offB));
      sumBB = i32x4.add(sumBB, i32x4.dot_i16x8_s(offB, offB));
    }
    a += total(sumA);
    b += total(sumB);
    aa += total(sumAA);
    ab += total(sumAB);
    bb += total(sumBB);
  }
  give(0, a);
  give(1, b);
  give(2, aa);
  give(3, ab);
  give(4, bb);
}

/**
 * Steps across and down of the picture by area added to itself moved by whole pixels, where both are: the sums of
 * across², across · down, down². Rows from `top` and pixels from `left` on.
 */
export function detail(
  samples: usize,
  bytes: i32,
  top: i32,
  bottom: i32,
  left: i32,
  right: i32,
  movedAcross: i32,
  movedDown: i32,
): void {
  const by = movedDown * pieceWidth + movedAcross;
  if (bytes == 1) detailOf<u8>(samples, top, bottom, left, right, by);
  else detailOf<u16>(samples, top, bottom, left, right, by);
}
function detailOf<T>(samples: usize, top: i32, bottom: i32, left: i32, right: i32, by: i32): void {
  const size = <usize>sizeof<T>();
  const moved = <usize>by * size;
  const row = <usize>pieceWidth * size;
  let xx: f64 = 0;
  let xy: f64 = 0;
  let yy: f64 = 0;
  for (let y = top; y + 1 < bottom; y += 1) {
    let from = samples + <usize>(y * pieceWidth + left) * size;
    let left8 = right - left - 1;
    while (left8 >= 8) {
      let sumXX = i32x4.splat(0);
      let sumXY = sumXX;
      let sumYY = sumXX;
      for (let step = 0; step < safeSteps && left8 >= 8; step += 1) {
        const here = i16x8.add(eight<T>(from), eight<T>(from + moved));
        const next = i16x8.add(eight<T>(from + size), eight<T>(from + size + moved));
        const under = i16x8.add(eight<T>(from + row), eight<T>(from + row + moved));
        const across = i16x8.sub(next, here);
        const down = i16x8.sub(under, here);
        sumXX = i32x4.add(sumXX, i32x4.dot_i16x8_s(across, across));
        sumXY = i32x4.add(sumXY, i32x4.dot_i16x8_s(across, down));
        sumYY = i32x4.add(sumYY, i32x4.dot_i16x8_s(down, down));
        from += 8 * size;
        left8 -= 8;
      }
      xx += total(sumXX);
      xy += total(sumXY);
      yy += total(sumYY);
    }
    for (; left8 > 0; left8 -= 1) {
      const here = <i32>load<T>(from) + <i32>load<T>(from + moved);
      const across = <i32>load<T>(from + size) + <i32>load<T>(from + size + moved) - here;
      const down = <i32>load<T>(from + row) + <i32>load<T>(from + row + moved) - here;
      xx += <f64>(across * across);
      xy += <f64>(across * down);
      yy += <f64>(down * down);
      from += size;
    }
  }
  give(0, xx);
  give(1, xy);
  give(2, yy);
}

/** Counts the codes below `codes` of the picked pixels, beside the picture by area, on top of what `counts` holds. */
export function countCodes(samples: usize, bytes: i32, rows: i32, codes: u32, counts: usize): void {
  if (bytes == 1) countCodesOf<u8>(samples, rows, codes, counts);
  else countCodesOf<u16>(samples, rows, codes, counts);
}
function countCodesOf<T>(samples: usize, rows: i32, codes: u32, counts: usize): void {
  const size = <usize>sizeof<T>();
  for (let y = 0; y < rows; y += 1) {
    const from = samples + <usize>(y * pieceWidth + smallWidth) * size;
    for (let x: usize = 0; x < <usize>smallWidth; x += 1) {
      const code = <u32>load<T>(from + x * size);
      if (code >= codes) continue;
      const at = counts + ((<usize>code) << 2);
      store<u32>(at, load<u32>(at) + 1);
    }
  }
}

/** How many picked pixels differ from those of another frame by at least `least` codes. */
export function changed(now: usize, past: usize, bytes: i32, rows: i32, least: i32): i32 {
  return bytes == 1 ? changedOf<u8>(now, past, rows, least) : changedOf<u16>(now, past, rows, least);
}
function changedOf<T>(now: usize, past: usize, rows: i32, least: i32): i32 {
  const size = <usize>sizeof<T>();
  let found: i32 = 0;
  for (let y = 0; y < rows; y += 1) {
    const from = <usize>(y * pieceWidth + smallWidth) * size;
    for (let x = from; x < from + <usize>smallWidth * size; x += size) {
      if (abs(<i32>load<T>(now + x) - <i32>load<T>(past + x)) >= least) found += 1;
    }
  }
  return found;
}
