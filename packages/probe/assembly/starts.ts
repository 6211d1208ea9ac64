// AssemblyScript, part of cue-kernel.ts: the starts of cues, and how they lie in time.
import { i32At } from "./bytes";

/** Starts that are looked at, or cues that are handed over, at a time. */
export const mostBlock = 1024;

/** Starts of cues, and the byte the text of each begins at. */
export const starts: usize = memory.data(8 * mostBlock, 8);
export const texts: usize = memory.data(4 * mostBlock, 8);

/** Different steps from start to start that are counted, and how many are so far. */
const mostSteps = 12;
export const steps: usize = memory.data(8 * mostSteps, 8);
export const stepCounts: usize = memory.data(4 * mostSteps, 8);
export let stepsFound: i32 = 0;

/** Counts the steps that are more than nothing between so many starts; false when there are too many different ones. */
export function countSteps(count: i32): bool {
  for (let at: i32 = 1; at < count; at += 1) {
    const to = starts + ((<usize>at) << 3);
    const step = load<f64>(to) - load<f64>(to - 8);
    if (!(step > 0)) continue;
    let found: i32 = 0;
    while (found < stepsFound && load<f64>(steps + ((<usize>found) << 3)) != step) found += 1;
    if (found == mostSteps) return false;
    if (found == stepsFound) {
      store<f64>(steps + ((<usize>found) << 3), step);
      store<i32>(stepCounts + ((<usize>found) << 2), 0);
      stepsFound += 1;
    }
    store<i32>(stepCounts + ((<usize>found) << 2), i32At(stepCounts, found) + 1);
  }
  return true;
}

/** Finds, of so many starts, those that the next follows by more than `limit`; how many, and which is in `texts`. */
export function findHoles(count: i32, limit: f64): i32 {
  let found: i32 = 0;
  for (let at: i32 = 0; at + 1 < count; at += 1) {
    const from = starts + ((<usize>at) << 3);
    if (!(load<f64>(from + 8) - load<f64>(from) > limit)) continue;
    store<i32>(texts + ((<usize>found) << 2), at);
    found += 1;
  }
  return found;
}
