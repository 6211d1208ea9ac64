/** The largest power of two that is not above `size`; 0 below 1. */
export const powerOfTwoWithin = (size: number): number => (size < 1 ? 0 : 2 ** Math.floor(Math.log2(size)));

const windows = new Map<number, Float64Array>();

/** Hann's window of one length: fades both ends to nothing, so that edges of the picture leave no trace. */
export function hannWindow(size: number): Float64Array {
  const known =
    windows.get(size) ??
    Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size));
  windows.set(size, known);
  return known;
}
