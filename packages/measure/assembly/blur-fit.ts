// AssemblyScript, part of picture-kernel.ts: how well each length of blur explains the power along the motion. What the lengths
// stand for is said in src/shutter/blur-fit.ts.

import { at, bends, fillCells, fillGains, partCells, partEnd, parts } from "./blur-cells";
import { powers, put, rowBytes, slopes, voices } from "./blur-cells";
import { findStep, pull, step, unknowns, usual } from "./blur-equations";
import { exponentials, joined, logarithms, minus, over, plus, times, twice } from "./pairs";
import { bandEdges, bands, bins } from "./spectrum";

/** A band with fewer cells that hold something is left out. */
const leastCells: i32 = 24;
/**
 * Share of the cells of a spectrum that speak independently: neighbours overlap through the fading at the edges, bands
 * share their edges in the picture.
 */
const independence: f64 = 0.25;
const firstRounds: i32 = 25;
const nextRounds: i32 = 6;

/** The numbers that fit best so far, and those on trial. */
const numbers: usize = memory.data(40, 16);
const trial: usize = memory.data(40, 16);
/** The models of both: a row of the texture's share of the model, and a row of the power against the model. */
const models: usize = memory.data(4096, 16);
/** Misfit of each cell; that of each part by the last fit, and by the one without blur. */
const misfits: usize = memory.data(1024, 16);
const partMisfits: usize = memory.data(24, 16);
const plainMisfits: usize = memory.data(24, 16);
const plainGains: usize = memory.data(1024, 16);

/**
 * How well each of the `tried` lengths (pixels) explains a spectrum of `bands` rows: the logarithm of the likelihood
 * against a picture without blur. The model of power along the motion is texture · sinc²(length·f) + floor; texture falls
 * smoothly (three numbers a band), the floor of noise and coding is a line (two numbers a band). `resolution` is how far
 * the size of the picture smears frequencies, in cycles per pixel; `gains` has room for a row a length.
 */
export function blurEvidence(
  power: usize,
  count: usize,
  resolution: f64,
  lengths: usize,
  tried: i32,
  gains: usize,
  evidence: usize,
): void {
  fillGains(plainGains, 0, resolution);
  for (let t = 0; t < tried; t += 1) fillGains(gains + <usize>t * rowBytes, at(lengths, t), resolution);
  memory.fill(evidence, 0, (<usize>tried) << 3);
  for (let band = 0; band < bands; band += 1) {
    const from = <usize>band * rowBytes;
    const middle = (at(bandEdges, band) + at(bandEdges, band + 1)) / 2;
    if (fillCells(power + from, count + from, middle) < leastCells) continue;
    start();
    fit(plainGains, firstRounds);
    memory.copy(plainMisfits, partMisfits, 24);
    // Each length starts from what fitted the one before, the first afresh.
    start();
    for (let t = 0; t < tried; t += 1) {
      fit(gains + <usize>t * rowBytes, t == 0 ? firstRounds : nextRounds);
      for (let part = 0; part < parts; part += 1) {
        const weight = at(partCells, part) * independence;
        const gained = Math.log(at(partMisfits, part) / at(plainMisfits, part));
        put(evidence, t, at(evidence, t) - (weight / 2) * gained);
      }
    }
  }
}

/** Numbers to start from: the texture as strong as the lowest cells, the floor as the quietest. */
function start(): void {
  let used: f64 = 0;
  for (let part = 0; part < parts; part += 1) used += at(partCells, part);
  const lowest = Math.ceil(used / 8);
  let seen: f64 = 0;
  let low: f64 = 0;
  let quietest: f64 = Infinity;
  for (let bin = 0; bin < bins; bin += 1) {
    if (at(voices, bin) == 0) continue;
    if (seen < lowest) low += at(powers, bin);
    quietest = Math.min(quietest, at(powers, bin));
    seen += 1;
  }
  put(numbers, 0, Math.log(low / lowest));
  put(numbers, 1, -1.5);
  put(numbers, 2, -1);
  put(numbers, 3, Math.log(quietest));
  put(numbers, 4, 0);
}

/** Fisher scoring of Whittle's likelihood, from the numbers that are there. */
function fit(gains: usize, rounds: i32): void {
  let best = models;
  let other = models + 2 * rowBytes;
  let likelihood = likelihoodOf(gains, numbers, best);
  let damping: f64 = 1e-3;
  for (let round = 0; round < rounds; round += 1) {
    if (!findStep(numbers, best, damping)) break;
    for (let j = 0; j < unknowns; j += 1) {
      put(trial, j, at(numbers, j) + Math.max(-2, Math.min(2, at(step, j))));
    }
    const better = likelihoodOf(gains, trial, other);
    if (better > likelihood) {
      const was = best;
      best = other;
      other = was;
      memory.copy(numbers, trial, 40);
      const gained = better - likelihood;
      likelihood = better;
      damping = Math.max(1e-6, damping / 4);
      if (gained < 0.01) break;
    } else damping *= 8;
    if (damping > 1e4) break;
  }
  judge(best);
}

/** Exponents beyond these belong to no picture. */
function limited(x: v128): v128 {
  return f64x2.pmax(f64x2.pmin(x, twice(60)), twice(-600));
}

/** Fills in the model for these numbers, whose exponentials are the dear part, and says how well it fits. */
function likelihoodOf(gains: usize, q: usize, model: usize): f64 {
  const strength = twice(at(q, 0));
  const slope = twice(at(q, 1));
  const bend = twice(at(q, 2));
  // The floor grows by the same from bin to bin, as its logarithm is a line: from -1 to 1 times the tilt.
  const first = exponentials(limited(f64x2.replace_lane(twice(at(q, 3) - at(q, 4)), 1, (2 * at(q, 4)) / <f64>bins)));
  const growth = f64x2.extract_lane(first, 1);
  let floor = times(twice(f64x2.extract_lane(first, 0)), f64x2.replace_lane(twice(1), 1, growth));
  let sum = twice(0);
  for (let i: usize = 0; i < rowBytes; i += 16) {
    const detail = plus(plus(strength, times(slope, v128.load(slopes + i))), times(bend, v128.load(bends + i)));
    const texture = times(exponentials(limited(detail)), v128.load(gains + i));
    const whole = plus(texture, floor);
    const one = over(twice(1), whole);
    const ratio = times(v128.load(powers + i), one);
    v128.store(model + i, times(texture, one));
    v128.store(model + rowBytes + i, ratio);
    sum = minus(sum, times(v128.load(voices + i), plus(logarithms(whole), ratio)));
    floor = times(floor, twice(growth * growth));
  }
  let all = joined(sum);
  for (let j = 0; j < unknowns; j += 1) {
    const off = at(q, j) - at(usual, j);
    all -= 0.5 * at(pull, j) * (off * off);
  }
  return all;
}

/** Mean misfit of each part: near 1 when only chance is left, far above when the texture has structure of its own. */
function judge(model: usize): void {
  for (let i: usize = 0; i < rowBytes; i += 16) {
    const ratio = v128.load(model + rowBytes + i);
    const misfit = minus(minus(ratio, twice(1)), logarithms(ratio));
    v128.store(misfits + i, times(times(twice(2), v128.load(voices + i)), misfit));
  }
  let bin = 0;
  for (let part = 0; part < parts; part += 1) {
    let sum: f64 = 0;
    for (const end = partEnd(part); bin < end; bin += 1) sum += at(misfits, bin);
    put(partMisfits, part, sum / Math.max(1, at(partCells, part)) + 0.5);
  }
}
