import { differenceAt, firstWave, type LossOf, lossOf, together, turned, weight } from "./conversion-pattern.ts";
import { mean, median } from "./numbers.ts";
import { alongOf, type DetailSeen } from "./picture-detail.ts";
import { isFound, isNone, leastApart, type Look } from "./conversion-verdict.ts";
import { type WaveFinder, waveFinder } from "./waves.ts";

/** What is needed of the frames of one run that were looked at closely; every list has one place for each frame. */
export interface ConversionRun extends DetailSeen {
  /** Difference of each frame from the one before; the first is NaN. */
  readonly differences: Float64Array;
  /** Pixels of the small picture each frame moved against the one before; NaN where not sought or not found. */
  readonly across: Float64Array;
  readonly down: Float64Array;
}

/** Whether a run shows pictures of another rate, each frame a mix of the two beside its time. */
export type ConversionLook =
  | {
      readonly state: "found";
      /** Pictures a second before the conversion. */
      readonly fromFramesPerSecond: number;
      /** Share of the frames that are mixes. */
      readonly mixedShare: number;
    }
  | { readonly state: "none" }
  | { readonly state: "open" };

/** Rates that clips are converted from; half the rate of the clip besides. */
const tradeRates = [24, 25, 30, 50, 60] as const;
/** Source pictures for each frame, least and most: beyond them no conversion mixes two. */
const ratios = { least: 0.19, most: 2.55 } as const;
/** A rate this near to a whole one, as a share, is meant to be it: 29.97 runs beside 23.976. */
const nearWhole = 0.0015;
/** Fewest frames, and fewest rounds of the pattern, that tell it. */
const leastFrames = 24;
const leastRounds = 1.8;
/** Turns for each frame at which coding itself pulses, in groups of two, three and four frames. */
const codingTurns = [1 / 2, 1 / 3, 1 / 4] as const;
/** Slower patterns look like texture that changes on its way through the picture. */
const slowTurns = 0.1;
/** Frames that differ from the one before by less than this share of the middle one repeat it. */
const leastDifference = 0.12;
/** How far the place of a frame has to be from a source picture for a mix. */
const mixedFrom = 0.05;

/**
 * Looks for a conversion of the rate by mixing. Such a mix shows everything twice, moved by the way D between two source
 * pictures: power at frequency f falls by the factor 1 − 4w(1−w)·sin²(πfD), which returns with the source rate. The
 * pattern is known up to its phase, and its size from mixing some of the pictures with themselves.
 */
export function conversionOf(run: ConversionRun, framesPerSecond: number): ConversionLook {
  const looks = looksOf(run, framesPerSecond);
  const best = looks.filter(isFound).sort((a, b) => b.along.share - a.along.share)[0];
  if (best !== undefined) {
    const mixed = run.detail.filter((_, k) => isMixed(k * best.turns + best.phase)).length;
    return { state: "found", fromFramesPerSecond: best.from, mixedShare: mixed / run.detail.length };
  }
  return { state: looks.length > 0 && looks.every(isNone) ? "none" : "open" };
}

/**
 * What all runs say together: found when most that can tell agree, none when all that can tell say so. Long clips have
 * many runs, of which one may be taken in by chance.
 */
export function joined(looks: readonly ConversionLook[]): ConversionLook {
  const finds = looks.flatMap((look) => (look.state === "found" ? [look] : []));
  const others = looks.filter(({ state }) => state === "none").length;
  if (finds.length === 0) return { state: others > 0 ? "none" : "open" };
  const alike = (rate: number) => finds.filter(({ fromFramesPerSecond }) => fromFramesPerSecond === rate);
  const agreeing =
    finds.map(({ fromFramesPerSecond }) => alike(fromFramesPerSecond)).sort((a, b) => b.length - a.length)[0] ?? [];
  if (2 * agreeing.length <= finds.length + others) return { state: "open" };
  return {
    state: "found",
    fromFramesPerSecond: agreeing[0]?.fromFramesPerSecond ?? 0,
    mixedShare: mean(agreeing.map(({ mixedShare }) => mixedShare)),
  };
}

const isMixed = (place: number): boolean => Math.abs(place - Math.round(place)) > mixedFrom;

/** One look for each rate the clip could be converted from; none when there is too little to see. */
export function looksOf(run: ConversionRun, framesPerSecond: number): readonly Look[] {
  const frames = run.detail.length;
  const way = wayOf(run);
  if (frames < leastFrames || way === undefined || run.ghosts.length === 0) return [];
  const [x, y] = [way.across / way.length, way.down / way.length];
  const usual = leastDifference * median(run.differences.subarray(1, frames));
  const difference = (k: number): number => run.differences[k] ?? Number.NaN;
  const series = [
    waveFinder(logarithms(frames, (k) => energy(run, k, x, y))),
    waveFinder(logarithms(frames, (k) => energy(run, k, x, y) / energy(run, k, -y, x))),
    waveFinder(logarithms(frames, (k) => (difference(k) > usual ? difference(k) ** 2 : Number.NaN))),
  ] as const;
  if (series.some(({ known }) => known < leastFrames)) return [];
  const whole = Math.round(framesPerSecond);
  const rate = Math.abs(whole / framesPerSecond - 1) < nearWhole ? whole : framesPerSecond;
  const rates = [...new Set<number>([...tradeRates, rate / 2])].filter((from) => {
    const share = from / rate;
    return share >= ratios.least && share <= ratios.most && Math.abs(share - Math.round(share)) > 1e-6;
  });
  const loss = lossOf(run.ghosts, x, y);
  const taken = rates.flatMap((from) => [folded(from / rate), folded((2 * from) / rate)]);
  const noise = series.map((finder) => largestBeside(finder, taken, frames)) as [number, number, number];
  return rates.map((from) => lookFor(from, from / rate, frames, way, loss, series, noise));
}

interface Way {
  readonly across: number;
  readonly down: number;
  readonly length: number;
  readonly strays: number;
}

/** The middle step of the run. */
function wayOf({ across, down }: ConversionRun): Way | undefined {
  const known = [...across.keys()].filter((k) => Number.isFinite(across[k]));
  if (known.length < leastFrames / 2) return undefined;
  const x = median(known.map((k) => across[k] ?? 0));
  const y = median(known.map((k) => down[k] ?? 0));
  const length = Math.max(1e-6, Math.hypot(x, y));
  const off = median(known.map((k) => Math.hypot((across[k] ?? 0) - x, (down[k] ?? 0) - y)));
  return { across: x, down: y, length, strays: off / length };
}

/** Detail along a direction, freed of the brightness of the whole: lamps that pulse. */
function energy({ detail, light }: ConversionRun, k: number, x: number, y: number): number {
  const of = detail[k];
  return of === undefined ? Number.NaN : alongOf(of, x, y) / Math.max(1, light[k] ?? 0) ** 2;
}

const logarithms = (frames: number, of: (frame: number) => number): Float64Array =>
  Float64Array.from({ length: frames }, (_, k) => {
    const value = of(k);
    return value > 0 ? Math.log(value) : Number.NaN;
  });

/** The frequency that looking at whole frames makes of one: 0 to a half. */
const folded = (turns: number): number => Math.abs(turns - Math.round(turns));

/** Size of the largest wave beside the frequencies that are taken. */
function largestBeside(finder: WaveFinder, taken: readonly number[], frames: number): number {
  let largest = 1e-6;
  for (let turns = 0.06; turns < 0.5; turns += 0.03) {
    if (taken.every((of) => Math.abs(turns - of) >= 1.2 / frames)) largest = Math.max(largest, finder.at(turns).size);
  }
  return largest;
}

function lookFor(
  from: number,
  turns: number,
  frames: number,
  { length, strays }: Way,
  lossFor: LossOf,
  series: readonly [WaveFinder, WaveFinder, WaveFinder],
  noise: readonly [number, number, number],
): Look {
  const [along, ratio, apart] = [series[0].at(turns), series[1].at(turns), series[2].at(turns)];
  const [loss, lossAcross] = lossFor(length / turns);
  const waveOf = (of: number): number => firstWave((place) => Math.log(1 - of * weight(place))).cosine;
  const expected = Math.max(1e-6, waveOf(loss));
  const expectedRatio = Math.max(1e-6, expected - waveOf(lossAcross));
  // Detail is greatest at a source picture.
  const phase = Math.atan2(-along.sine, along.cosine) / (2 * Math.PI);
  const distance = turned(
    firstWave((place) => differenceAt(place, turns)),
    phase,
  );
  const expectedApart = Math.hypot(distance.cosine, distance.sine);
  const apartAlong = expectedApart < 0.05 ? 0 : together(apart, distance) / expectedApart;
  const at = folded(turns);
  return {
    from,
    turns,
    told: frames * at >= leastRounds,
    slow: at < slowTurns,
    silent: expectedApart < leastApart || Math.abs(at - 0.5) < 1e-6,
    suspect: at < slowTurns || codingTurns.some((of) => Math.abs(at - of) < 1 / frames),
    strays,
    loss,
    expected,
    along,
    apart,
    ratioShare: ratio.share,
    ratioKept: expectedRatio / expected,
    size: along.size / expected,
    ratioSize: together(ratio, turned({ cosine: 1, sine: 0 }, phase)) / expectedRatio,
    expectedApart,
    apartSize: apartAlong / Math.max(0.05, expectedApart),
    phase,
    agrees: apart.size === 0 ? 0 : apartAlong / apart.size,
    aboveNoise: Math.max(along.size / noise[0], ratio.size / noise[1]),
    apartAboveNoise: apart.size / noise[2],
    noise: noise[0],
  };
}
