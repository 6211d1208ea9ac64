import { type FactField, factFields, type FactFold, type FoldedSoFar } from "./fact-fold.ts";
import type { ClockFold } from "./clock-fold.ts";
import type { ClipTimes, RecordStreams } from "./fold.ts";
import type { PositionFold } from "./position-fold.ts";
import type { TelemetryRecord } from "./record.ts";
import type { Sampled } from "./sampling.ts";
import { holdEnd, type Spacing, spacingOf, stepOf } from "./spacing.ts";

/** The folds of one source. */
export interface Folds {
  readonly facts: Readonly<Record<FactField, FactFold<unknown>>>;
  readonly positions: PositionFold;
  readonly clock: ClockFold;
}

/** What folding the records of a source tells of their times. */
export interface FoldedTimes {
  /** Starts of the records of the first stream, and how they lie in time. */
  readonly starts: ArrayLike<number>;
  readonly spacing: Spacing;
  /** Places of records that a hole may follow; left out where that was not looked for. */
  readonly holes?: readonly number[];
  /** Records of all streams, and those that cannot be read. */
  readonly records: number;
  readonly unread: number;
  /** Time the records of the first stream were held within the clip, and the end of the last, in microseconds. */
  readonly covered: number;
  readonly end: number;
}

/** Folds streams of records, one record after the other. */
export function foldRecords(
  { facts, positions, clock }: Folds,
  { streams, nameOf }: RecordStreams,
  clip: ClipTimes,
  sampled: Sampled | undefined,
): FoldedTimes {
  const spacing = spacingOf(streams[0]?.starts ?? []);
  let unread = 0;
  let covered = 0;
  let end = 0;
  const at: FoldedSoFar = { start: 0, place: 0, end: 0, records: 0, held: 0 };
  streams.forEach((stream, one) => {
    const median = stepOf(one === 0 ? spacing : spacingOf(stream.starts), sampled);
    const name = (place: number): string => nameOf(one, place);
    const endRuns = (): void => {
      for (const field of factFields) facts[field].change(undefined, at, name);
    };
    for (let place = 0; place < stream.starts.length; place += 1) {
      const record: TelemetryRecord | undefined = stream.record(place);
      if (record === undefined) {
        unread += 1;
        continue;
      }
      const ownEnd = holdEnd(
        stream.starts[place] as number,
        stream.starts[place + 1],
        stream.ends[place] as number,
        median,
      );
      const start = withinClip(stream.starts[place] as number, clip);
      const holds = withinClip(ownEnd, clip) - start;
      if (one === 0) {
        covered += holds;
        end = Math.max(end, ownEnd);
      }
      at.start = start;
      at.place = place;
      for (const field of factFields) {
        if (record[field] !== facts[field].stated) facts[field].change(record[field], at, name);
      }
      positions.add(record, start, () => name(place));
      if (record.clock !== undefined) clock.add(record.clock, stream.starts[place] as number);
      at.records += 1;
      at.held += holds;
      at.end = start + holds;
      // Records that all begin at once end in any order: none may speak for the one before it.
      if (median === 0) endRuns();
    }
    endRuns();
  });
  const records = streams.reduce((sum, stream) => sum + stream.starts.length, 0);
  return { starts: streams[0]?.starts ?? [], spacing, records, unread, covered, end };
}

/** A time of a record, moved to the nearest end of the clip when it lies outside. */
const withinClip = (time: number, clip: ClipTimes): number =>
  Math.max(0, clip.microseconds === undefined ? time : Math.min(time, clip.microseconds));
