import type { RecordClock } from "../telemetry/record.ts";

/** First moment of satellite time, 6 January 1980, in seconds since 1970 (IS-GPS-200, section 3.3.4; from memory). */
const satelliteEpochSeconds = 315_964_800;

/**
 * Moments from which satellite time runs this many whole seconds ahead of UTC, newest first (IERS Bulletin C; from
 * memory). No leap second was added after January 2017.
 */
const leapSeconds: readonly (readonly [string, number])[] = [
  ["2017-01-01", 18],
  ["2015-07-01", 17],
  ["2012-07-01", 16],
  ["2009-01-01", 15],
];

/** UTC in microseconds since 1970 from satellite seconds since 1980. */
export function utcFromSatelliteSeconds(seconds: number): number {
  const unix = seconds + satelliteEpochSeconds;
  const leap = leapSeconds.find(([from]) => unix * 1000 >= Date.parse(`${from}T00:00:00Z`))?.[1] ?? 14;
  return Math.round((unix - leap) * 1e6);
}

/** Times between which a recording can have been made: 2000 to 2100. */
const leastMicroseconds = Date.UTC(2000, 0, 1) * 1000;
const mostMicroseconds = Date.UTC(2100, 0, 1) * 1000;

/** A UTC clock of a record; undefined when the time is not one a recording can have. */
export function utcClock(microseconds: number, stepMicroseconds: number): RecordClock | undefined {
  if (!(microseconds >= leastMicroseconds && microseconds < mostMicroseconds)) return undefined;
  const text = new Date(Math.floor(microseconds / 1000)).toISOString();
  return { text: text.endsWith(".000Z") ? `${text.slice(0, -5)}Z` : text, microseconds, stepMicroseconds };
}
