import type { Wave } from "./waves.ts";

/** What is seen at the frequency of one source rate, and what it would show. */
export interface Look {
  readonly from: number;
  /** Source pictures for each frame. */
  readonly turns: number;
  /** Enough frames for its pattern. */
  readonly told: boolean;
  /** Coding pulses or texture drifts at its frequency. */
  readonly suspect: boolean;
  /** Texture drifts as slowly. */
  readonly slow: boolean;
  /** Differences would not pulse. */
  readonly silent: boolean;
  /** Middle distance of the steps from the middle one, as a share of it. */
  readonly strays: number;
  readonly loss: number;
  readonly expected: number;
  /** Waves of detail along the motion, of that against detail across, and of the differences. */
  readonly along: Wave;
  readonly apart: Wave;
  readonly ratioShare: number;
  /** Size expected of the ratio, as a share of that of detail alone: fast motion takes detail both ways. */
  readonly ratioKept: number;
  readonly size: number;
  readonly ratioSize: number;
  /** Size of the expected wave of differences. */
  readonly expectedApart: number;
  readonly apartSize: number;
  readonly phase: number;
  readonly agrees: number;
  /** Waves against the largest where no conversion has any, and that one. */
  readonly aboveNoise: number;
  readonly apartAboveNoise: number;
  readonly noise: number;
}

/**
 * When a conversion is found. Sizes are shares of what it would show, shares those of all change that the wave makes up,
 * `phase` how well detail and differences agree about the places of the source pictures, 1 at best.
 */
const found = {
  size: 0.4,
  share: 0.5,
  ratioSize: 0.3,
  ratioShare: 0.4,
  differences: 0.2,
  phase: 0.9,
  aboveNoise: 2,
} as const;
/** The same where coding pulses or texture drifts. */
const sure = { ...found, size: 0.6, share: 0.75, differences: 0.4 } as const;
/** The same where motion is so fast that detail across it is lost as well: the ratio of both says little. */
const fast = {
  ...found,
  size: 0.55,
  share: 0.3,
  ratioSize: 0,
  ratioShare: 0,
  differences: 0.3,
  phase: 0.95,
  aboveNoise: 4,
} as const;
/** Share of the pulse that the ratio keeps at least, when it says anything. */
const leastKept = 0.4;
/** The same by detail alone: differences pulse little at some rates (60 in 25, 30 in 24) and not at all at others. */
const alone = { ...found, size: 0.6, share: 0.85, ratioSize: 0.5, ratioShare: 0.8, aboveNoise: 3.5 } as const;
/** Differences that pulse by this share and stand elsewhere speak against it. */
const against = { share: 0.3, phase: 0.5 } as const;
/** More than this of what is expected is something else. */
const mostSize = 2.5;
/** Motion along no single line (zoom, turning): the expected size is not known, and all else has to be plain. */
const anyWay = { share: 0.6, size: 0.04, phase: 0.95, aboveNoise: 3 } as const;
/** Loss of detail in an even mix that must be expected at least, to find a conversion. */
const leastLoss = 0.05;
/** Most that is seen of what is expected when there is no conversion; more of detail when it is lost among the noise. */
const quiet = { loss: 0.1, detail: 0.12, noisyDetail: 0.25, aboveNoise: 2, differences: 0.2, noise: 0.3 } as const;
/** From so many source pictures for each frame on they lie so near together that coding at low rates evens them out. */
const dense = 1.3;
/** The same for those: much has to be expected, or next to nothing seen. */
const denseQuiet = { ...quiet, loss: 0.25 } as const;
const denseSilent = { ...quiet, loss: 0.15, detail: 0.06, noisyDetail: 0.06, noise: 0.1 } as const;
/** Middle distance of the steps from the middle one, as a share of it: up to here, and from here on, one direction. */
const uneven = { most: 0.6, least: 0.3 } as const;

/** Differences that are expected to pulse less than this say nothing; nor do they at half the rate, where all are alike. */
export const leastApart = 0.1;

type Least = { readonly [key in keyof typeof found]: number };

/** Whether a look shows a conversion from its rate. */
export function isFound(look: Look): boolean {
  const { told, suspect, slow, apart, agrees } = look;
  if (!told) return false;
  const isFast = look.ratioKept < leastKept && !suspect;
  const least = isFast ? fast : suspect ? sure : found;
  const byBoth = showsDetail(look, least) && apart.share >= least.differences && agrees >= least.phase;
  const refuted = !look.silent && apart.share >= against.share && agrees < against.phase;
  return byBoth || (!slow && !refuted && showsDetail(look, alone)) || (!suspect && showsAnyWay(look));
}

const showsDetail = (look: Look, least: Least): boolean =>
  look.loss >= leastLoss &&
  look.size >= least.size &&
  look.size <= mostSize &&
  look.along.share >= least.share &&
  look.ratioSize >= least.ratioSize &&
  look.ratioShare >= least.ratioShare &&
  look.aboveNoise >= least.aboveNoise;

const showsAnyWay = ({ strays, along, apart, agrees, noise, apartAboveNoise }: Look): boolean =>
  strays >= uneven.least &&
  Math.min(along.share, apart.share) >= anyWay.share &&
  along.size >= anyWay.size &&
  agrees >= anyWay.phase &&
  along.size >= anyWay.aboveNoise * noise &&
  apartAboveNoise >= anyWay.aboveNoise;

/** Whether a look rules one out: it would have shown, and nothing of it is seen. */
export function isNone(look: Look): boolean {
  if (!look.told || look.strays > uneven.most) return false;
  if (look.turns < dense) return isQuiet(look, quiet);
  return isQuiet(look, denseQuiet) || isQuiet(look, denseSilent);
}

function isQuiet(look: Look, most: { readonly [key in keyof typeof quiet]: number }): boolean {
  const { loss, size, aboveNoise, noise, expected, apart, expectedApart } = look;
  const still = size <= most.detail || (size <= most.noisyDetail && aboveNoise < most.aboveNoise);
  const even = apart.size <= most.differences * Math.max(0.5, expectedApart);
  return loss >= most.loss && still && even && noise <= most.noise * expected;
}
