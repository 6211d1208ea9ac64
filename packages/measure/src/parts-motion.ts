import { isSure } from "./apparent-motion.ts";
import { pairMotion, type Shift } from "./global-motion.ts";

/** Parts across and down that are looked at each by itself. */
const partsAcross = 2;
const partsDown = 2;
/** Parts whose motion has to be known for a word about all of them. */
const leastParts = 3;

/**
 * How far the parts of a picture move otherwise than the whole, as a share of its motion: the second largest of four, so
 * that one thing that passes in one corner does not count. Near 0 for a pan, a tenth and more for ground with depth, for
 * turning and zooming. NaN when the motion of too few parts is known. `whole` is the motion of the whole picture.
 */
export function unevenness(
  first: Float64Array,
  second: Float64Array,
  width: number,
  height: number,
  whole: Shift,
): number {
  const [w, h] = [width / partsAcross, height / partsDown];
  const [a, b] = [new Float64Array(w * h), new Float64Array(w * h)];
  const length = Math.hypot(whole.dx, whole.dy);
  const off: number[] = [];
  for (let part = 0; part < partsAcross * partsDown; part += 1) {
    const from = Math.floor(part / partsAcross) * h * width + (part % partsAcross) * w;
    copyPart(first, width, from, w, a);
    copyPart(second, width, from, w, b);
    const found = pairMotion(a, b, w, h);
    if (found !== undefined && isSure(found)) off.push(Math.hypot(found.dx - whole.dx, found.dy - whole.dy) / length);
  }
  return off.length < leastParts ? Number.NaN : (off.sort((x, y) => y - x)[1] ?? Number.NaN);
}

function copyPart(picture: Float64Array, stride: number, from: number, width: number, out: Float64Array): void {
  for (let to = 0, at = from; to < out.length; to += width, at += stride) out.set(picture.subarray(at, at + width), to);
}
