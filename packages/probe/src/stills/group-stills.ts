import { type Still, type StillSet, toNumber, valueOf } from "@goodgate/model";
import { byCodeUnits, extensionOf, folderOf } from "../card/kinds.ts";
import { numberedName } from "../card/numbering.ts";

/** Frames of a bracket or burst start within this of each other (cases: start gaps of 2 s at most). */
const tightSeconds = 2;
/** Brackets hold two to nine frames; the usual ones three, five or seven. */
const mostBracketFrames = 9;
/** Least spread of exposure in a bracket; below it a camera on automatic has merely followed the light. */
const leastBracketStops = 0.6;
/** A third of a stop is the finest step of a camera; half of it tells steps apart. */
const sameStops = 1 / 6;
/** From so many evenly spaced frames on it is a timelapse. */
const leastTimelapseFrames = 5;
/** From so many frames on shots in quick order are a burst. */
const leastBurstFrames = 3;
/** Whole-second clocks shift an interval by up to a second. */
const clockSlackSeconds = 1;
/** A hole of more intervals than this ends a timelapse. */
const mostMissedFrames = 10;

/** From so many numbered pictures without times on they are the frames of one film. House limit. */
const leastSequenceFrames = 12;

interface Shot {
  readonly still: Still;
  /** Seconds since 1970 by the camera's clock. */
  readonly at: number;
  /** Exposure in stops: log2(t·ISO/N²); undefined when a part is not known. */
  readonly stops: number | undefined;
}

/**
 * Finds brackets, bursts and timelapses among photographs by their times and exposures, and image sequences among
 * pictures without a time by their numbers. The stills come back in the same order, each with the set it belongs to.
 * A sequence has no rate: no still states one, and the 25 that ffprobe names for any picture is its own default.
 */
export function groupStills(stills: readonly Still[]): {
  readonly stills: readonly Still[];
  readonly sets: readonly StillSet[];
} {
  const byFolder = new Map<string, Shot[]>();
  for (const still of stills) {
    const taken = valueOf(still.takenAt);
    if (taken === undefined) continue;
    const shots = byFolder.get(folderOf(still.name)) ?? [];
    shots.push({ still, at: taken.epochMilliseconds / 1000, stops: exposureStops(still) });
    byFolder.set(folderOf(still.name), shots);
  }
  const found: { readonly kind: StillSet["kind"]; readonly shots: readonly Shot[] }[] = [];
  for (const folder of [...byFolder.keys()].sort(byCodeUnits)) {
    const shots = (byFolder.get(folder) ?? []).sort((a, b) => a.at - b.at || byCodeUnits(a.still.name, b.still.name));
    found.push(...setsOf(shots));
  }
  found.push(...sequencesOf(stills));
  const counts = { bracket: 0, burst: 0, timelapse: 0, sequence: 0 };
  const sets = found.map(({ kind, shots }) => {
    counts[kind] += 1;
    return describe(`${kind} ${counts[kind]}`, kind, shots);
  });
  const setOf = new Map(sets.flatMap((set) => set.names.map((name) => [name, set.id] as const)));
  return {
    stills: stills.map((still) => {
      const set = setOf.get(still.name);
      return set === undefined ? still : { ...still, set };
    }),
    sets,
  };
}

function exposureStops(still: Still): number | undefined {
  const [time, iso, aperture] = [valueOf(still.shutterSeconds), valueOf(still.iso), valueOf(still.fNumber)];
  if (time === undefined || iso === undefined) return undefined;
  // Drones with a fixed lens may leave the aperture out: it is the same in every frame then.
  return Math.log2((toNumber(time) * iso) / (aperture ?? 1) ** 2);
}

function setsOf(
  shots: readonly Shot[],
): readonly { readonly kind: StillSet["kind"]; readonly shots: readonly Shot[] }[] {
  const sets: { readonly kind: StillSet["kind"]; readonly shots: readonly Shot[] }[] = [];
  let start = 0;
  while (start < shots.length) {
    const tight = runLength(shots, start, (gap) => gap <= tightSeconds);
    const run = shots.slice(start, start + tight);
    const period = bracketPeriod(run);
    if (period !== undefined) {
      for (let at = 0; at < run.length; at += period) {
        const shotsOfOne = run.slice(at, at + period);
        if (shotsOfOne.length > 1) sets.push({ kind: "bracket", shots: shotsOfOne });
      }
      start += tight;
      continue;
    }
    if (run.length >= leastBurstFrames && medianGap(run) < 1) {
      sets.push({ kind: "burst", shots: run });
      start += tight;
      continue;
    }
    const even = evenLength(shots, start);
    if (even >= leastTimelapseFrames) {
      sets.push({ kind: "timelapse", shots: shots.slice(start, start + even) });
      start += even;
    } else start += 1;
  }
  return sets;
}

function runLength(shots: readonly Shot[], start: number, goesOn: (gap: number) => boolean): number {
  let end = start + 1;
  while (end < shots.length && goesOn((shots[end] as Shot).at - (shots[end - 1] as Shot).at)) end += 1;
  return end - start;
}

const gapsOf = (shots: readonly Shot[]): readonly number[] =>
  shots.slice(1).map((shot, place) => shot.at - (shots[place] as Shot).at);

function medianGap(shots: readonly Shot[]): number {
  const gaps = [...gapsOf(shots)].sort((a, b) => a - b);
  return gaps[Math.floor(gaps.length / 2)] ?? 0;
}

/** Frames after which the exposures of a run repeat; undefined when the run is no bracket or row of brackets. */
function bracketPeriod(run: readonly Shot[]): number | undefined {
  if (run.length < 2) return undefined;
  const stops = run.map((shot) => shot.stops);
  if (stops.some((value) => value === undefined)) return undefined;
  const known = stops as readonly number[];
  for (let period = 2; period <= Math.min(mostBracketFrames, run.length); period += 1) {
    const first = known.slice(0, period);
    if (Math.max(...first) - Math.min(...first) < leastBracketStops) continue;
    const repeats = known.every((value, place) => Math.abs(value - (known[place % period] as number)) < sameStops);
    // A run no longer than one period repeats nothing; all its exposures must then differ.
    const distinct = first.every((a, place) =>
      first.every((b, other) => place === other || Math.abs(a - b) >= sameStops),
    );
    if (repeats && distinct) return period;
  }
  return undefined;
}

/** Frames from `start` that keep one interval, single frames missing allowed. */
function evenLength(shots: readonly Shot[], start: number): number {
  const first = shots.slice(start, start + leastTimelapseFrames);
  if (first.length < leastTimelapseFrames) return 0;
  const interval = medianGap(first);
  if (interval <= 0) return 0;
  const slack = Math.max(interval * 0.05, clockSlackSeconds);
  return runLength(shots, start, (gap) => {
    const missed = Math.max(1, Math.round(gap / interval));
    return missed <= mostMissedFrames && Math.abs(gap - missed * interval) <= slack && gap > interval * 0.4;
  });
}

/** Pictures of one folder, kind and raster whose numbers run on, and of which none says when it was taken. */
function sequencesOf(
  stills: readonly Still[],
): readonly { readonly kind: "sequence"; readonly shots: readonly Shot[] }[] {
  const counts = new Map<string, { readonly number: number; readonly shot: Shot }[]>();
  for (const still of stills) {
    const numbered = numberedName(still.name);
    if (numbered === undefined || still.takenAt.state === "read") continue;
    const raster = `${valueOf(still.width) ?? "?"}x${valueOf(still.height) ?? "?"}`;
    const key = [folderOf(still.name), extensionOf(still.name), numbered.around, numbered.digits, raster].join("\n");
    const count = counts.get(key) ?? [];
    count.push({ number: numbered.number, shot: { still, at: 0, stops: exposureStops(still) } });
    counts.set(key, count);
  }
  return [...counts.keys()].sort(byCodeUnits).flatMap((key) => {
    const count = (counts.get(key) ?? []).sort((a, b) => a.number - b.number);
    const runs: Shot[][] = [];
    count.forEach(({ number, shot }, place) => {
      const before = count[place - 1];
      const goesOn = before !== undefined && number - before.number <= mostMissedFrames + 1;
      if (goesOn) runs.at(-1)?.push(shot);
      else runs.push([shot]);
    });
    return runs
      .filter((shots) => shots.length >= leastSequenceFrames)
      .map((shots) => ({ kind: "sequence" as const, shots }));
  });
}

function describe(id: string, kind: StillSet["kind"], shots: readonly Shot[]): StillSet {
  const numbers = shots.map(({ still }) => numberedName(still.name));
  const [first] = numbers;
  const counted = numbers.flatMap((one) => (one !== undefined && one.around === first?.around ? [one.number] : []));
  const present = new Set(counted);
  const [least, most] = [Math.min(...counted), Math.max(...counted)];
  const missing: number[] = [];
  // A counter that rolled over leaves a hole as wide as the count itself, which says nothing.
  if (counted.length === shots.length && most - least < shots.length * 2) {
    for (let number = least; number <= most; number += 1) if (!present.has(number)) missing.push(number);
  }
  const stops = shots.map((shot) => shot.stops);
  const base = stops[0];
  const relative =
    base === undefined || stops.some((value) => value === undefined)
      ? {}
      : { exposureStops: stops.map((value) => Math.round(((value ?? 0) - base) * 1000) / 1000) };
  const interval = kind === "timelapse" ? { intervalSeconds: typicalInterval(shots) } : {};
  return { id, kind, names: shots.map((shot) => shot.still.name), ...interval, ...relative, missingNumbers: missing };
}

/** The interval over the whole length, with missed frames counted: finer than any one gap of a whole-second clock. */
function typicalInterval(shots: readonly Shot[]): number {
  const median = medianGap(shots);
  if (median <= 0) return 0;
  const intervals = gapsOf(shots).reduce((sum, gap) => sum + Math.max(1, Math.round(gap / median)), 0);
  const whole = (shots.at(-1)?.at ?? 0) - (shots[0]?.at ?? 0);
  return Math.round((whole / intervals) * 1000) / 1000;
}
