import type { ExtraTrackSource, TimedSample } from "../contracts.ts";
import type { ClipTimes } from "./fold.ts";

/** A track up to this size is read whole: an hour of one-a-second text, eleven minutes of text per frame. */
export const wholeTrackBytes = 4 * 1024 * 1024;
/** Samples of one track that are read at most; a sample a frame at 240 frames/s for over an hour. */
const mostSamples = 1_000_000;
/** Longest run of neighbouring samples read at one place of a track that mixes kinds of samples. */
const longestRun = 64;

/** What is said of a track of which not every sample was read. */
export interface Sampled {
  readonly says: string;
  /** From sample to sample in the track. */
  readonly stepMicroseconds: number;
  /** From one place that was read to the next. */
  readonly everyMicroseconds: number;
}

/** Samples to read of a track. */
export interface ChosenSamples {
  /** Undefined: all of them. */
  readonly which?: readonly number[];
  readonly sampled?: Sampled;
}

/**
 * Chooses what to read: everything of a track up to 4 MiB; of a larger one the first, the last and one sample a second,
 * further apart when that would still be more than 4 MiB. A track that mixes kinds of samples (`mixed`) is read in short
 * runs, so that every kind is met.
 */
export function chooseSamples(track: ExtraTrackSource, clip: ClipTimes, mixed: boolean): ChosenSamples {
  const count = track.sampleCount;
  if (track.totalBytes <= wholeTrackBytes && count <= mostSamples) return {};
  // Without a length of the clip, 30 samples are taken for a second.
  const clipSeconds = clip.microseconds === undefined || clip.microseconds <= 0 ? count / 30 : clip.microseconds / 1e6;
  const perSecond = count / Math.max(1, clipSeconds);
  const run = mixed ? Math.max(1, Math.min(longestRun, Math.ceil(perSecond / 12))) : 1;
  const bytesPerPlace = (track.totalBytes / Math.max(1, count)) * run;
  const mostPlaces = Math.max(2, Math.floor(wholeTrackBytes / Math.max(1, bytesPerPlace)));
  const seconds = Math.max(1, Math.ceil(clipSeconds / mostPlaces), Math.ceil(run / Math.max(1, perSecond)));
  const step = Math.max(run, perSecond * seconds);
  const which: number[] = [];
  for (let place = 0; place < count && which.length < mostSamples; place += step) {
    const from = Math.floor(place);
    const to = Math.min(from + run, count, from + mostSamples - which.length);
    for (let at = from; at < to; at += 1) which.push(at);
  }
  if (which[which.length - 1] !== count - 1 && count > 0) which.push(count - 1);
  const says = seconds === 1 ? "one a second" : `one every ${seconds} s`;
  return { which, sampled: { says, stepMicroseconds: 1e6 / perSecond, everyMicroseconds: (1e6 * step) / perSecond } };
}

/** Samples in time order, with the number each has in the track. */
export interface NumberedSamples {
  readonly samples: readonly TimedSample[];
  readonly numbers: readonly number[];
}

/** Reads the chosen samples; a reader that gives fewer than asked for is taken at its word. */
export async function readChosen(track: ExtraTrackSource, chosen: ChosenSamples): Promise<NumberedSamples> {
  const samples = await track.read(chosen.which);
  const numbers = samples.map((_, place) => chosen.which?.[place] ?? place);
  const order = samples.map((_, place) => place);
  const start = (place: number): number => (samples[place] as TimedSample).startMicroseconds;
  if (order.some((place) => place > 0 && start(place) < start(place - 1))) {
    order.sort((a, b) => start(a) - start(b) || a - b);
  }
  return {
    samples: order.map((place) => samples[place] as TimedSample),
    numbers: order.map((place) => numbers[place] as number),
  };
}
