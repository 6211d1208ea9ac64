import { cueKernel, mostBlock } from "./cue-kernel.ts";
import { type Steps, stepsInOrder } from "./spacing.ts";

/** Visits starts in blocks that lie in the kernel, each beginning with the last start of the one before. */
function eachBlock(starts: Float64Array, visit: (count: number, first: number) => boolean): boolean {
  const kernel = cueKernel();
  for (let first = 0; first + 1 < starts.length; first += mostBlock - 1) {
    const block = starts.subarray(first, first + mostBlock);
    kernel.starts.set(block);
    if (!visit(block.length, first)) return false;
  }
  return true;
}

/** The different steps between starts with how often each occurs, when there are few. */
export function scanSteps(starts: Float64Array): Steps | undefined {
  const kernel = cueKernel();
  kernel.stepsFound.value = 0;
  if (!eachBlock(starts, (count) => kernel.countSteps(count) !== 0)) return undefined;
  const found = kernel.stepsFound.value;
  return stepsInOrder([...kernel.steps.subarray(0, found)], [...kernel.stepCounts.subarray(0, found)]);
}

/** Places of starts that the next follows by more than a time. */
export function scanHoles(starts: Float64Array, microseconds: number): number[] {
  const kernel = cueKernel();
  const places: number[] = [];
  eachBlock(starts, (count, first) => {
    const found = kernel.findHoles(count, microseconds);
    for (let hole = 0; hole < found; hole += 1) places.push(first + (kernel.texts[hole] as number));
    return true;
  });
  return places;
}
