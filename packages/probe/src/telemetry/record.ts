import type { Rate, Seconds } from "@goodgate/model";

/** A value as a record states it, or the text that breaks the grammar or the plausible range. */
export type Stated<T> = { readonly value: T } | { readonly fault: string };

/** A moment as a record writes it. */
export interface RecordClock {
  /** As written. */
  readonly text: string;
  /** Microseconds since 1970 as if the text were UTC. */
  readonly microseconds: number;
  /** Smallest step the writing can express, in microseconds: 1000000 for whole seconds. */
  readonly stepMicroseconds: number;
}

/**
 * What one record (a cue of text, a sample of a data track) states. A field that is undefined was not mentioned. Fields
 * are written by the dialect that reads the record and only read afterwards.
 */
export interface TelemetryRecord {
  shutterSeconds: Stated<Seconds> | undefined;
  iso: Stated<number> | undefined;
  fNumber: Stated<number> | undefined;
  exposureBias: Stated<number> | undefined;
  whiteBalanceKelvin: Stated<number> | undefined;
  ndStops: Stated<number> | undefined;
  gainDecibels: Stated<number> | undefined;
  shutterAngle: Stated<number> | undefined;
  focalLength35mm: Stated<number> | undefined;
  digitalZoom: Stated<number> | undefined;
  colourMode: Stated<string> | undefined;
  heightMetres: Stated<number> | undefined;
  yawDegrees: Stated<number> | undefined;
  captureRate: Stated<Rate> | undefined;
  latitudeDegrees: Stated<number> | undefined;
  longitudeDegrees: Stated<number> | undefined;
  altitudeMetres: Stated<number> | undefined;
  clock: RecordClock | undefined;
  /** Whether latitude and longitude were told apart only by their order. */
  axesByOrder: boolean;
}

/** A record that mentions nothing yet. */
export const emptyRecord = (): TelemetryRecord => ({
  shutterSeconds: undefined,
  iso: undefined,
  fNumber: undefined,
  exposureBias: undefined,
  whiteBalanceKelvin: undefined,
  ndStops: undefined,
  gainDecibels: undefined,
  shutterAngle: undefined,
  focalLength35mm: undefined,
  digitalZoom: undefined,
  colourMode: undefined,
  heightMetres: undefined,
  yawDegrees: undefined,
  captureRate: undefined,
  latitudeDegrees: undefined,
  longitudeDegrees: undefined,
  altitudeMetres: undefined,
  clock: undefined,
  axesByOrder: false,
});

/** Whether a record mentions exposure settings or a place; less than that is not telemetry of a camera. */
export const mentionsSettings = (record: TelemetryRecord): boolean =>
  record.iso !== undefined ||
  record.shutterSeconds !== undefined ||
  record.fNumber !== undefined ||
  (record.latitudeDegrees !== undefined && record.longitudeDegrees !== undefined);

/** Records of one kind in time order. */
export interface RecordStream {
  /** Start of each record in microseconds from the first shown picture, never falling. */
  readonly starts: ArrayLike<number>;
  /** End of each record as its carrier states it. */
  readonly ends: ArrayLike<number>;
  /**
   * Reads one record; undefined when it cannot be read. Called once for each place, in order; the record is only good
   * until the next call, since readers of text change one record from cue to cue.
   */
  record(place: number): TelemetryRecord | undefined;
}
