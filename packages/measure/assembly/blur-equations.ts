// AssemblyScript, part of picture-kernel.ts: one step of the fit of blur-fit.ts, as five equations.

import { at, bends, put, rowBytes, slopes, tilts, voices } from "./blur-cells";
import { joined, minus, plus, times, twice } from "./pairs";

/** Numbers of the model: strength, slope and bend of the texture, strength and tilt of the floor. */
export const unknowns: i32 = 5;
/** What textures and floors usually have, and the pull of the numbers towards it, in units of a tenth of a cell's worth. */
export const usual: usize = memory.data<f64>([0, -2, -1, 0, 0]);
export const pull: usize = memory.data<f64>([1e-5, 5, 5, 1e-5, 40]);

/** The step that was found, one number for each unknown. */
export const step: usize = memory.data(40, 16);
/** The equations, each with what it comes to as last number. */
const equations: usize = memory.data(240, 16);
const equationBytes: usize = 48;
/** A row for each unknown, and one of what is off. */
const rows: usize = memory.data(6144, 16);

/** Finds the next step of Fisher scoring from `numbers`, whose model is given; false when there is none. */
export function findStep(numbers: usize, model: usize, damping: f64): bool {
  fillRows(model);
  for (let j = 0; j < unknowns; j += 1) {
    const equation = equations + <usize>j * equationBytes;
    sumProducts(rows + <usize>j * rowBytes, equation);
    const pulled = at(pull, j);
    put(equation, unknowns, at(equation, unknowns) - pulled * (at(numbers, j) - at(usual, j)));
    put(equation, j, (at(equation, j) + pulled) * (1 + damping) + 1e-9);
  }
  return solve();
}

/** What a change of each unknown changes in each cell, and how far the power is off, as shares of the model. */
function fillRows(model: usize): void {
  for (let i: usize = 0; i < rowBytes; i += 16) {
    const texture = v128.load(model + i);
    const floor = minus(twice(1), texture);
    const to = rows + i;
    v128.store(to, texture);
    v128.store(to + rowBytes, times(texture, v128.load(slopes + i)));
    v128.store(to + 2 * rowBytes, times(texture, v128.load(bends + i)));
    v128.store(to + 3 * rowBytes, floor);
    v128.store(to + 4 * rowBytes, times(floor, v128.load(tilts + i)));
    v128.store(to + 5 * rowBytes, minus(v128.load(model + rowBytes + i), twice(1)));
  }
}

/** Sums of one row times every row, each cell as often as it has voices; all in one pass. */
function sumProducts(row: usize, sums: usize): void {
  let sum0 = twice(0);
  let sum1 = sum0;
  let sum2 = sum0;
  let sum3 = sum0;
  let sum4 = sum0;
  let sum5 = sum0;
  for (let i: usize = 0; i < rowBytes; i += 16) {
    const weighed = times(v128.load(voices + i), v128.load(row + i));
    const other = rows + i;
    sum0 = plus(sum0, times(weighed, v128.load(other)));
    sum1 = plus(sum1, times(weighed, v128.load(other + rowBytes)));
    sum2 = plus(sum2, times(weighed, v128.load(other + 2 * rowBytes)));
    sum3 = plus(sum3, times(weighed, v128.load(other + 3 * rowBytes)));
    sum4 = plus(sum4, times(weighed, v128.load(other + 4 * rowBytes)));
    sum5 = plus(sum5, times(weighed, v128.load(other + 5 * rowBytes)));
  }
  put(sums, 0, joined(sum0));
  put(sums, 1, joined(sum1));
  put(sums, 2, joined(sum2));
  put(sums, 3, joined(sum3));
  put(sums, 4, joined(sum4));
  put(sums, 5, joined(sum5));
}

/** Takes each unknown out of all other equations of a small positive system; false when it has no answer. */
function solve(): bool {
  for (let c = 0; c < unknowns; c += 1) {
    const own = equations + <usize>c * equationBytes;
    const pivot = at(own, c);
    if (!(Math.abs(pivot) > 1e-300)) return false;
    for (let r = 0; r < unknowns; r += 1) {
      if (r == c) continue;
      const other = equations + <usize>r * equationBytes;
      const factor = at(other, c) / pivot;
      for (let k = c; k <= unknowns; k += 1) put(other, k, at(other, k) - factor * at(own, k));
    }
  }
  for (let j = 0; j < unknowns; j += 1) {
    const own = equations + <usize>j * equationBytes;
    put(step, j, at(own, unknowns) / at(own, j));
  }
  return true;
}
