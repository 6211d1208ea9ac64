import FFT from "fft.js";

/** A picture's spectrum: real and imaginary parts in turn, row by row, `width` by `height` terms. */
export interface Spectrum {
  readonly width: number;
  readonly height: number;
  readonly terms: Float64Array;
}

const transforms = new Map<number, FFT>();

/** The transform of one size, a power of two; its tables are kept. */
export function transformOf(size: number): FFT {
  const known = transforms.get(size) ?? new FFT(size);
  transforms.set(size, known);
  return known;
}

/** The largest power of two that is not above `size`; 0 below 1. */
export const powerOfTwoWithin = (size: number): number => (size < 1 ? 0 : 2 ** Math.floor(Math.log2(size)));

/** Transforms a complex picture in place; rows first, then columns. Sides are powers of two. */
export function transformPicture({ width, height, terms }: Spectrum, inverse = false): void {
  const across = transformOf(width);
  const [row, rowOut] = roomsOf(2 * width);
  for (let y = 0; y < height; y += 1) {
    const from = 2 * y * width;
    takeRow(terms, from, row);
    if (inverse) across.inverseTransform(rowOut, row);
    else across.transform(rowOut, row);
    terms.set(rowOut, from);
  }
  const down = transformOf(height);
  const [column, columnOut] = roomsOf(2 * height);
  for (let x = 0; x < width; x += 1) {
    takeColumn(terms, 2 * x, 2 * width, column);
    if (inverse) down.inverseTransform(columnOut, column);
    else down.transform(columnOut, column);
    putColumn(columnOut, terms, 2 * x, 2 * width);
  }
}

// Short loops stand alone: V8 compiles each once in a few milliseconds; a function of several is compiled anew in each of
// its loops, which took a third of the time on the first seconds of a clip.

/** Views of the row would be rubbish to collect, thousands a second. */
function takeRow(terms: Float64Array, from: number, row: Float64Array): void {
  for (let i = 0; i < row.length; i += 1) row[i] = terms[from + i] ?? 0;
}

function takeColumn(terms: Float64Array, from: number, stride: number, column: Float64Array): void {
  let at = from;
  for (let i = 0; i < column.length; i += 2) {
    column[i] = terms[at] ?? 0;
    column[i + 1] = terms[at + 1] ?? 0;
    at += stride;
  }
}

function putColumn(column: Float64Array, terms: Float64Array, to: number, stride: number): void {
  let at = to;
  for (let i = 0; i < column.length; i += 2) {
    terms[at] = column[i] ?? 0;
    terms[at + 1] = column[i + 1] ?? 0;
    at += stride;
  }
}

const rooms = new Map<number, readonly [Float64Array, Float64Array]>();

/** Memory that is used again and again. */
function roomsOf(size: number): readonly [Float64Array, Float64Array] {
  const known = rooms.get(size) ?? [new Float64Array(size), new Float64Array(size)];
  rooms.set(size, known);
  return known;
}

const windows = new Map<number, Float64Array>();

/** Hann's window of one length: fades both ends to nothing, so that edges of the picture leave no trace. */
export function hannWindow(size: number): Float64Array {
  const known =
    windows.get(size) ??
    Float64Array.from({ length: size }, (_, i) => 0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / size));
  windows.set(size, known);
  return known;
}
