// AssemblyScript, part of picture-kernel.ts: one band of a spectrum along the motion, laid out for the fit of blur-fit.ts, and
// what blur leaves of its power. A row holds one number for each bin; bins are taken in pairs.

import { joined, plus, sincSquared, times, twice } from "./pairs";
import { bins } from "./spectrum";

export const rowBytes: usize = (<usize>bins) << 3;
/** Power of each cell, and the terms behind it: none where nothing is known. */
export const powers: usize = memory.data(1024, 16);
export const voices: usize = memory.data(1024, 16);
/** What slope and bend of the texture and tilt of the floor are multiplied with in each cell. */
export const slopes: usize = memory.data(1024, 16);
export const bends: usize = memory.data(1024, 16);
export const tilts: usize = memory.data(1024, 16);

/** Parts of the spectrum whose misfit is judged each by itself, and their cells that hold something. */
export const parts: i32 = 3;
export const partCells: usize = memory.data(24, 16);
/**
 * Bins at which they end (0.07, 0.18 and 0.5 cycles per pixel): zeros of long blur lie low, and what coding does to the
 * rest must not drown them.
 */
const partEnds: usize = memory.data<i32>([18, 47, 128]);
/** Terms a cell counts for at most: beyond, texture's own structure decides, not chance. */
const mostVoices: f64 = 64;
/** What blur is taken to leave at least. */
const leastGain: f64 = 1e-6;

export function at(list: usize, place: i32): f64 {
  return load<f64>(list + ((<usize>place) << 3));
}
export function put(list: usize, place: i32, value: f64): void {
  store<f64>(list + ((<usize>place) << 3), value);
}
export function partEnd(part: i32): i32 {
  return load<i32>(partEnds + ((<usize>part) << 2));
}

/** Lays out the band whose middle lies `across` cycles per pixel from the motion; returns how many cells hold something. */
export function fillCells(power: usize, count: usize, across: f64): i32 {
  let all = 0;
  let bin = 0;
  for (let part = 0; part < parts; part += 1) {
    let used = 0;
    for (const end = partEnd(part); bin < end; bin += 1) {
      // Nothing is told by what does not change along the motion.
      const known = bin > 0 && at(count, bin) > 0 && at(power, bin) > 0;
      if (known) used += 1;
      put(powers, bin, known ? at(power, bin) : 1);
      put(voices, bin, known ? Math.min(at(count, bin), mostVoices) : 0);
      const u = <f64>bin / <f64>(2 * bins);
      const whole = Math.sqrt(u * u + across * across);
      put(slopes, bin, Math.log(whole / 0.1));
      put(bends, bin, (whole - 0.1) * 5);
      put(tilts, bin, (u - 0.25) * 4);
    }
    put(partCells, part, <f64>used);
    all += used;
  }
  return all;
}

/** sinc² of the blur in each bin, smeared as far as the picture's size lets frequencies be told apart. */
export function fillGains(row: usize, length: f64, resolution: f64): void {
  for (let bin = 0; bin < bins; bin += 2) {
    const u = f64x2.replace_lane(twice(<f64>bin), 1, <f64>(bin + 1));
    let gain = twice(0);
    for (let side: f64 = -1; side <= 1; side += 1) {
      const frequency = plus(times(u, twice(1 / <f64>(2 * bins))), twice(side * resolution));
      gain = plus(gain, times(twice(side == 0 ? 0.5 : 0.25), sincSquared(times(frequency, twice(length)))));
    }
    v128.store(row + ((<usize>bin) << 3), f64x2.max(gain, twice(leastGain)));
  }
}

/** Mean share that blur of a length leaves of the power between two frequencies. */
export function meanGain(from: f64, to: f64, length: f64): f64 {
  let sum = twice(0);
  for (let i: f64 = 0; i < 16; i += 2) {
    const place = f64x2.replace_lane(twice(i + 0.5), 1, i + 1.5);
    const frequency = plus(twice(from), times(twice((to - from) / 16), place));
    sum = plus(sum, sincSquared(times(frequency, twice(length))));
  }
  return joined(sum) / 16;
}
