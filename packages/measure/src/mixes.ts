/** How one frame lies between its neighbours. */
export interface MixLook {
  /** Weight of the frame before, in the mix of both neighbours that comes nearest; not bounded. */
  readonly share: number;
  /** Mean square of what that mix leaves. */
  readonly left: number;
  /** Mean square of the difference of the neighbours. */
  readonly span: number;
}

/** What is needed of one run of frames; every list has one place for each frame. */
export interface MixRun {
  readonly mixes: readonly (MixLook | undefined)[];
  /** Pixels each frame moved against the one before, to the right and down; NaN where not sought or not found. */
  readonly across: Float64Array;
  readonly down: Float64Array;
}

/** How many frames were judged, and what was found. */
export interface MixCounts {
  /** Frames of which it is known whether they are mixes. */
  readonly judged: number;
  readonly mixed: number;
  /**
   * Frames that are as near to a mix, amid motion that is too slow or in which real frames may be so, too; and judged
   * ones that leave far more or less than the next although they moved alike, as in conversions whose frames mix others
   * than their neighbours.
   */
  readonly doubtful: number;
}

/** Weights between which a frame counts as lying between its neighbours; beyond them it repeats one or lies elsewhere. */
const between = { least: 0.15, most: 0.85 } as const;
/** A mix leaves at most this share of the difference of its neighbours. */
const mostResidue = 0.15;
/** A mix leaves at most this share of what real frames leave beside it. Found: mixes to 0.2, real frames from 0.45. */
const besideResidue = 0.2;
/** Real frames leave this at least when the motion tells them from mixes. */
const leastResidue = 0.03;
/** Neighbours of a mix differ as much as those of the frames beside it, or up to five times as much. */
const spans = { least: 0.2, most: 1.25 } as const;
/** Real frames that moved alike leave nearly the same: found to 1.4 times, in conversions of the rate 2 to 5 times. */
const unlike = 1.6;
/** Steps below this, in pixels of the small picture, are so small that coding in both directions mixes neighbours. */
const leastStep = 0.35;
/** Real frames leave less than this amid such steps; amid fast mixes, two pictures at once, steps may be read as nought. */
const slowResidue = 0.1;
/** Steps that differ by no more than this share are even. */
const evenShare = 0.3;

/**
 * Counts the frames that are a mix of the two beside them. Between real frames of a pan texture moves on, so that their
 * mean shows it twice and a real frame differs from it, the less the slower the pan; a mix differs by coding alone.
 * How much real frames differ depends on scene and speed: each frame is held against those beside it, which moved alike.
 * Amid shaking real frames at full speed, between two turns, come as near to a mean: they are left in doubt.
 */
export function countMixes(run: MixRun): MixCounts {
  let [judged, mixed, doubtful] = [0, 0, 0];
  for (let k = 2; k + 2 < run.mixes.length; k += 1) {
    const [before, own, after] = [run.mixes[k - 1], run.mixes[k], run.mixes[k + 1]];
    if (before === undefined || own === undefined || after === undefined) continue;
    const left = residue(own);
    const beside = Math.min(residue(before), residue(after));
    if (left < mostResidue && left < besideResidue * beside && beside >= leastResidue) {
      const alike =
        Math.min(before.span, after.span) >= spans.least * own.span &&
        Math.max(before.span, after.span) <= spans.most * own.span;
      if (
        alike &&
        !(beside < slowResidue && isSlow(run, k)) &&
        ((isBetween(before) && isBetween(after)) || movesOn(run, k))
      ) {
        judged += 1;
        mixed += 1;
      } else doubtful += 1;
    } else if (left >= leastResidue) {
      judged += 1;
      if (isBetween(own) && isBetween(after) && isUnlike(left, residue(after), own.span / after.span)) doubtful += 1;
    } else doubtful += 1;
  }
  return { judged, mixed, doubtful };
}

/** Whether the picture hardly moves all around a frame, as far as steps tell. */
const isSlow = ({ across, down }: MixRun, k: number): boolean =>
  [-1, 0, 1, 2].every((off) => Math.hypot(across[k + off] ?? Number.NaN, down[k + off] ?? Number.NaN) < leastStep);

/** Whether two frames whose neighbours differ as much leave much more and less of themselves; mixes beside them apart. */
const isUnlike = (own: number, next: number, span: number): boolean =>
  next >= leastResidue && Math.max(own / next, next / own) > unlike && span <= spans.most && span >= 1 / spans.most;

const isBetween = ({ share }: MixLook): boolean => share >= between.least && share <= between.most;

/** What the nearest mix leaves, as a share; a frame nearer to one neighbour leaves less of itself, which is made good. */
function residue({ share, left, span }: MixLook): number {
  if (span === 0 || share < between.least || share > between.most) return 1;
  return Math.min(1, left / span / (4 * share * (1 - share)) ** 2);
}

/** Whether the picture moves evenly up to the frame before and from the one behind, and does not turn between them. */
function movesOn({ across, down }: MixRun, k: number): boolean {
  const step = (of: number) => ({ x: across[of] ?? Number.NaN, y: down[of] ?? Number.NaN });
  const [into, from] = [step(k - 1), step(k + 2)];
  const length = Math.hypot(into.x, into.y);
  if (!(Math.hypot(from.x - into.x, from.y - into.y) <= evenShare * length)) return false;
  return [step(k), step(k + 1)].every(({ x, y }) => !(x * into.x + y * into.y < -evenShare * length ** 2));
}
