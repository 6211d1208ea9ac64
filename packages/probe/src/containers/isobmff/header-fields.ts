import { wide } from "./boxes.ts";

/** The matrix that leaves a picture as it is: a, b, c, d. */
export const identity: readonly number[] = [1, 0, 0, 1];

/** Reads a, b, c, d of a matrix in 16.16 fixed point; the order in the file is a b u c d v x y w. */
export const readMatrix = (view: DataView, at: number): readonly number[] => [
  view.getInt32(at) / 65536,
  view.getInt32(at + 4) / 65536,
  view.getInt32(at + 12) / 65536,
  view.getInt32(at + 16) / 65536,
];

/** A length in ticks; undefined for 0 or all ones, which both mean unknown, and for one too large to be exact. */
export function durationField(view: DataView, at: number, long: boolean): number | undefined {
  const ticks = long ? wide(view, at) : view.getUint32(at);
  const unknown = ticks === 0 || (!long && ticks === 0xffffffff) || !Number.isSafeInteger(ticks);
  return unknown ? undefined : ticks;
}
