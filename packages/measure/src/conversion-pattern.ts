import { alongOf, type Ghost } from "./picture-detail.ts";

// What a conversion by mixing shows: each frame is a weighted mean of the two source pictures around its time.

/** A wave by its parts cos and sin. */
export interface Turning {
  readonly cosine: number;
  readonly sine: number;
}

/** Four times the product of both weights of a mix: 0 at a source picture, 1 midway between two. */
export const weight = (place: number): number => 4 * place * (1 - place);

/**
 * Logarithm of how far apart the frame at a place and the one before it, `turns` source pictures earlier, lie: each
 * source interval in between counts with the square of its part, and neighbouring ones undo a little of each other.
 */
export function differenceAt(place: number, turns: number): number {
  let from = place - turns;
  let [sum, last] = [0, 0];
  while (from < place - 1e-9) {
    const to = Math.min(place, Math.floor(from + 1e-9) + 1);
    const part = to - from;
    sum += part * part - 0.5 * part * last;
    last = part;
    from = to;
  }
  return Math.log(sum);
}

/** First wave of a function of the place between two source pictures, 0 to 1. */
export function firstWave(of: (place: number) => number): Turning {
  let [cosine, sine] = [0, 0];
  const points = 32;
  for (let i = 0; i < points; i += 1) {
    const place = (i + 0.5) / points;
    const value = (2 * of(place)) / points;
    cosine += value * Math.cos(2 * Math.PI * place);
    sine += value * Math.sin(2 * Math.PI * place);
  }
  return { cosine, sine };
}

/** The same wave, begun later in its round by `phase`, in turns. */
export function turned({ cosine, sine }: Turning, phase: number): Turning {
  const [c, s] = [Math.cos(2 * Math.PI * phase), Math.sin(2 * Math.PI * phase)];
  return { cosine: cosine * c + sine * s, sine: sine * c - cosine * s };
}

/** How far two waves go together. */
export const together = (a: Turning, b: Turning): number => a.cosine * b.cosine + a.sine * b.sine;

/** Shares of detail, along and across a direction, that an even mix of two pictures `moved` pixels apart takes away. */
export type LossOf = (moved: number) => readonly [along: number, across: number];

/** A loss is never whole: noise is left. */
const mostLoss = 0.95;
/** Within a pixel the loss grows nearly with the square of the way. */
const startPower = 1.8;

/** Losses from a frame mixed with itself by several ways; in a conversion, one near to its source. */
export function lossOf(ghosts: readonly Ghost[], x: number, y: number): LossOf {
  const points = ghosts
    .map((ghost) => ({ moved: ghost.moved, losses: [lost(ghost, x, y), lost(ghost, -y, x)] as const }))
    .sort((a, b) => a.moved - b.moved);
  return (moved) => {
    const last = points.length - 1;
    const above = points.findIndex((point) => point.moved >= moved);
    const high = points[above < 0 ? last : above];
    const low = points[above < 0 ? last : above - 1];
    if (high === undefined) return [0, 0];
    if (low === undefined) {
      const share = (moved / high.moved) ** startPower;
      return [high.losses[0] * share, high.losses[1] * share];
    }
    const share = high === low ? 0 : (moved - low.moved) / (high.moved - low.moved);
    const between = (of: 0 | 1): number => low.losses[of] * (1 - share) + high.losses[of] * share;
    return [between(0), between(1)];
  };
}

const lost = ({ plain, doubled }: Ghost, x: number, y: number): number =>
  Math.max(0, Math.min(mostLoss, 1 - alongOf(doubled, x, y) / Math.max(1e-9, alongOf(plain, x, y))));
