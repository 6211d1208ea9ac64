import type { Stretch } from "./measurement.ts";

/** Mean signal at or below which a picture is black, with next to nothing brighter (practice, no source). */
export const blackSignal = 0.02;
/** Shortest black stretch that is told. */
export const leastBlackSeconds = 0.5;
/** Shortest frozen stretch that is told: shorter ones are repeats. */
export const leastFrozenSeconds = 0.7;
/**
 * Share of pixels that may change by two codes in a frozen picture: coding polishes a few. Noise of a live sensor that
 * is strong enough to be seen changes more.
 */
export const frozenShare = 0.003;
/** Mean difference that a frozen picture may have, in 8 bit codes. */
export const frozenDifference = 0.25;
/** A break of this length at most is bridged: a key frame codes the frozen picture anew. */
export const frozenBridgeSeconds = 0.045;
/** Stretches kept of each kind. */
const mostStretches = 64;

/** Collects the stretches in which something holds without a break. */
export interface Holding {
  /** Says whether it holds from `fromSeconds` to `toSeconds`; times do not fall. */
  add(holds: boolean, fromSeconds: number, toSeconds: number): void;
  stretches(): readonly Stretch[];
}

/** Collects stretches of at least `leastSeconds`; breaks of up to `bridgeSeconds` do not end one. */
export function holding(leastSeconds: number, bridgeSeconds = 0): Holding {
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
      const breaks = open === undefined ? 0 : (holds ? fromSeconds : toSeconds) - open.to;
      if (breaks > bridgeSeconds + 1e-3) close();
      if (!holds) return;
      if (open === undefined) open = { from: fromSeconds, to: toSeconds };
      else open.to = toSeconds;
    },
    stretches() {
      close();
      return kept;
    },
  };
}
