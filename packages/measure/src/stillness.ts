import type { Stretch } from "./measurement.ts";

/** Mean signal at or below which a picture is black, with next to nothing brighter (practice, no source). */
export const blackSignal = 0.02;
/** Shortest black stretch that is told. */
export const leastBlackSeconds = 0.5;
/** Shortest frozen stretch that is told: shorter ones are repeats. */
export const leastFrozenSeconds = 0.7;
/** Mean difference of the small picture, in 8 bit codes, below which nothing has changed; live sensors stay above. */
export const frozenDifference = 0.02;
/** Stretches kept of each kind. */
const mostStretches = 64;

/** Collects the stretches in which something holds without a break. */
export interface Holding {
  /** Says whether it holds from `fromSeconds` to `toSeconds`; times do not fall. */
  add(holds: boolean, fromSeconds: number, toSeconds: number): void;
  stretches(): readonly Stretch[];
}

/** Collects stretches of at least `leastSeconds`. */
export function holding(leastSeconds: number): Holding {
  const kept: Stretch[] = [];
  let open: { from: number; to: number } | undefined;
  const close = (): void => {
    // A tenth of a millisecond for the rounding of times.
    if (open !== undefined && open.to - open.from >= leastSeconds - 1e-4 && kept.length < mostStretches) {
      kept.push({ fromSeconds: open.from, toSeconds: open.to });
    }
    open = undefined;
  };
  return {
    add(holds, fromSeconds, toSeconds) {
      if (open !== undefined && fromSeconds > open.to + 1e-3) close();
      if (!holds) close();
      else if (open === undefined) open = { from: fromSeconds, to: toSeconds };
      else open.to = toSeconds;
    },
    stretches() {
      close();
      return kept;
    },
  };
}
