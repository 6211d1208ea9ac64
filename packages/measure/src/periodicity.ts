import { quantileInPlace } from "./numbers.ts";
import { pictureKernel } from "./picture-kernel.ts";

/**
 * Share of a picture's detail that stands in single lines of its spectrum, 0 to 1: near 0 for leaves, grass and rock,
 * most of it for stripes, tiles and fences. `power` is laid out as by `pairMotion`; terms weigh with the square of their
 * frequency, so that fine detail counts like coarse.
 */
export function lineShare(power: Float64Array, width: number, height: number): number {
  const kernel = pictureKernel();
  const { power: spare, terms } = kernel.rooms(width, height);
  return kernel.calls.lineShare(kernel.placed(power, spare), width, height, terms);
}

/** Place of the noise among the terms in order: so many lie below it in any picture whose detail fills a part only. */
const noisePlace = 0.2;
/** Terms this many times above those at that place stand out of noise and coding (chance alone: six in a million). */
const aboveNoise = 18;

/**
 * Share of the terms that would hold all detail above the noise if they were alike, 0 to 1 (participation ratio): one or
 * two thousandths for water whose waves run in some directions, a hundredth and more for roofs, leaves and clouds.
 */
export function filledShare(power: Float64Array, width: number, height: number): number {
  const kernel = pictureKernel();
  const { power: spare, terms: foundAt, cross: squaredAt } = kernel.rooms(width, height);
  const terms = kernel.calls.soughtTerms(kernel.placed(power, spare), width, height, foundAt, squaredAt);
  const [found, squared] = [kernel.view(foundAt, terms), kernel.view(squaredAt, terms)];
  const noise = aboveNoise * quantileInPlace(found.slice(), noisePlace);
  let all = 0;
  let squares = 0;
  for (let i = 0; i < terms; i += 1) {
    const above = (found[i] ?? 0) - noise;
    if (above <= 0) continue;
    const detail = above * (squared[i] ?? 0);
    all += detail;
    squares += detail * detail;
  }
  return squares === 0 ? 1 : (all * all) / squares / terms;
}
