import { pictureKernel } from "../picture-kernel.ts";
import { bands, bins, type BlurSpectrum, comparedEdges } from "./blur-spectrum.ts";

/** Shutter angles that are tried, in degrees. */
export const triedDegrees: readonly number[] = Array.from({ length: 74 }, (_, i) => i * 5 + 10);

/** Texture may be this many times as strong along the motion as across it (11 dB), not more. */
const mostUneven = 14;
/** What coding leaves along the motion may be this many times the quietest cell. */
const mostFloor = 8;

/**
 * How well each tried angle explains one chunk: the logarithm of the likelihood against a picture without blur, as long
 * as `triedDegrees`. `resolution` is how far the size of the picture smears frequencies, in cycles per pixel. The model
 * and its fit are in assembly/blur-fit.ts.
 */
export function angleEvidence(chunk: BlurSpectrum, resolution: number): Float64Array {
  const { calls, numbers: room } = pictureKernel();
  const tried = triedDegrees.length;
  rooms ??= {
    power: room(bands * bins),
    count: room(bands * bins),
    lengths: room(tried),
    gains: room(bins * tried),
    evidence: room(tried),
  };
  const { power, count, lengths, gains, evidence } = rooms;
  power.set(chunk.power);
  count.set(chunk.count);
  lengths.set(triedDegrees.map((degrees) => lengthOf(chunk, degrees)));
  const [from, voices, to] = [power.byteOffset, count.byteOffset, evidence.byteOffset];
  calls.blurEvidence(from, voices, resolution, lengths.byteOffset, tried, gains.byteOffset, to);
  return evidence.slice();
}

/** Where the kernel works, whatever the chunk. */
let rooms: Readonly<Record<"power" | "count" | "lengths" | "gains" | "evidence", Float64Array>> | undefined;

/** Length in pixels of the blur at a shutter angle. */
const lengthOf = ({ step }: BlurSpectrum, degrees: number): number => (step * degrees) / 360;

/**
 * Whether each tried angle can be true at all: its blur would have weakened detail along the motion; when far more is
 * left than that, the texture would have to be many times as strong along the motion as across it. Guards against
 * textures that have rows of zeros of their own.
 */
export function allowedAngles(chunk: BlurSpectrum): readonly boolean[] {
  const { calls } = pictureKernel();
  let floor = Infinity;
  for (let i = 0; i < chunk.power.length; i += 1) {
    if ((chunk.count[i] ?? 0) >= 4 && (chunk.power[i] ?? 0) > 0) floor = Math.min(floor, chunk.power[i] ?? 0);
  }
  return triedDegrees.map((degrees) =>
    chunk.along.every((along, range) => {
      const [from, to] = [comparedEdges[range] ?? 0, comparedEdges[range + 1] ?? 0];
      const expected = calls.meanGain(from, to, lengthOf(chunk, degrees));
      // Noise and coding stand in both; only what is well above the floor is texture.
      return along - mostFloor * floor <= mostUneven * expected * (chunk.across[range] ?? 0);
    }),
  );
}
