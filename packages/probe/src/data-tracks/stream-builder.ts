import { emptyRecord, type Stated, type TelemetryRecord } from "../telemetry/record.ts";
import type { DataTrackContent } from "./reader.ts";

/** Records kept of one stream; a value a frame at 240 frames/s fills this in over an hour. */
const mostRecords = 1_000_000;

type Stream = DataTrackContent["streams"][number];

/** Gathers the records of one stream of a data track. */
export interface StreamBuilder {
  /** Adds a record; times in microseconds must not fall. */
  add(start: number, end: number, sampleNumber: number, record: TelemetryRecord): void;
  readonly count: () => number;
  finish(): Stream;
}

/** An empty stream. Past a million records further ones are let go. */
export function streamBuilder(): StreamBuilder {
  const starts: number[] = [];
  const ends: number[] = [];
  const sampleNumbers: number[] = [];
  const records: TelemetryRecord[] = [];
  return {
    add(start, end, sampleNumber, record) {
      if (starts.length >= mostRecords) return;
      starts.push(start);
      ends.push(end);
      sampleNumbers.push(sampleNumber);
      records.push(record);
    },
    count: () => starts.length,
    finish: () => ({ starts, ends, sampleNumbers, record: (place) => records[place] }),
  };
}

/** A record of a few fields. */
export const recordOf = (fields: Partial<TelemetryRecord>): TelemetryRecord => ({ ...emptyRecord(), ...fields });

/** A degree of latitude or longitude as stated, or a fault outside ±`most`. */
export const statedDegrees = (value: number, most: 90 | 180): Stated<number> =>
  Number.isFinite(value) && Math.abs(value) <= most ? { value } : { fault: String(value) };

/** A number as stated, or a fault outside the range. */
export const statedWithin = (value: number, least: number, most: number): Stated<number> =>
  Number.isFinite(value) && value >= least && value <= most ? { value } : { fault: String(value) };
