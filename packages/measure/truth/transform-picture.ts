import FFT from "fft.js";

/** A picture's spectrum: real and imaginary parts in turn, row by row, `width` by `height` terms. */
export interface Spectrum {
  readonly width: number;
  readonly height: number;
  readonly terms: Float64Array;
}

/** Transforms a complex picture in place with `fft.js`; rows first, then columns. Sides are powers of two. */
export function transformPicture({ width, height, terms }: Spectrum, inverse = false): void {
  for (let y = 0; y < height; y += 1) transformLine(terms, 2 * y * width, 2, width, inverse);
  for (let x = 0; x < width; x += 1) transformLine(terms, 2 * x, 2 * width, height, inverse);
}

function transformLine(terms: Float64Array, from: number, apart: number, length: number, inverse: boolean): void {
  const [line, out] = [new Float64Array(2 * length), new Float64Array(2 * length)];
  for (let i = 0; i < line.length; i += 1) line[i] = terms[from + (i >> 1) * apart + (i & 1)] ?? 0;
  const transform = new FFT(length);
  if (inverse) transform.inverseTransform(out, line);
  else transform.transform(out, line);
  for (let i = 0; i < line.length; i += 1) terms[from + (i >> 1) * apart + (i & 1)] = out[i] ?? 0;
}
