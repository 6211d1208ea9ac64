import { pictureKernel } from "./picture-kernel.ts";

/** Rooms of the kernel for lines of one length: what goes in, and what comes out. */
const rooms = new Map<number, { readonly input: Float64Array; readonly out: Float64Array }>();

/**
 * Transforms a line of complex numbers, real and imaginary parts in turn, as many as a power of two (2 or more). The answer
 * lies in the kernel's memory and is overwritten by the next line of that length.
 */
export function transformLine(values: Float64Array): Float64Array {
  const { calls, tables, numbers } = pictureKernel();
  const { length } = values;
  const room = rooms.get(length) ?? { input: numbers(length), out: numbers(length) };
  rooms.set(length, room);
  room.input.set(values);
  calls.transformLine(room.input.byteOffset, room.out.byteOffset, tables(length / 2));
  return room.out;
}
