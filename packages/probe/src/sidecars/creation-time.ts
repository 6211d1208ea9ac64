import type { CreationTime } from "@goodgate/model";
import { clockSuspicion } from "../containers/isobmff/creation-time.ts";

/** Minutes of the widest offset in use (UTC+14). */
const mostOffsetMinutes = 14 * 60;
/** Two sources of one clock may be this far apart: rounding, and the time a camera needs to write its header. */
export const clockToleranceSeconds = 5;
/** Zone offsets are whole quarters of an hour. */
const zoneStepSeconds = 15 * 60;
/** A camera cannot have recorded after its file was last written; a day covers any zone a file system may be in. */
const futureMilliseconds = 24 * 3600 * 1000;

/** Longest text taken for a time; a full one with padding has some 40 characters. */
const longestTime = 100;

const form =
  /^\s*(\d{4})[-:./](\d{1,2})[-:./](\d{1,2})(?:[T ]+(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9})(?:[.,](\d{3}))?)?)?)?\s*(Z|[+-]\d{2}:?\d{2})?\s*$/i;

/**
 * Reads a date and time as containers, XMP, XML and EXIF write it: ISO 8601 or `2031:04:05 08:07:08`, with or without
 * zone. Undefined for anything that is no calendar date and for all-zero dates. Independent of the machine's zone.
 */
export function parseCreationTime(text: string): CreationTime | undefined {
  const match = text.length > longestTime ? null : form.exec(text);
  if (match === null) return undefined;
  const [year, month, day, hour, minute, second] = [1, 2, 3, 4, 5, 6].map((place) => Number(match[place] ?? "0")) as [
    number,
    number,
    number,
    number,
    number,
    number,
  ];
  if (year < 1 || month < 1 || month > 12 || day < 1 || hour > 23 || minute > 59 || second > 60) return undefined;
  if (day > new Date(Date.UTC(year, month, 0)).getUTCDate()) return undefined;
  // Cue clocks write microseconds as a second group: `08,123,456`.
  const fraction = `${match[7] ?? ""}${match[8] ?? ""}`;
  const local =
    Date.UTC(year, month - 1, day, hour, minute, second) + Math.floor(Number(`0.${fraction || "0"}`) * 1000);
  const zone = match[9];
  const plain =
    `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}T${two(hour)}:${two(minute)}:${two(second)}` +
    (fraction === "" ? "" : `.${fraction}`);
  const suspect = clockSuspicion(local);
  const judged = (time: CreationTime): CreationTime => (suspect === undefined ? time : { ...time, suspect });
  if (zone === undefined) return judged({ text: plain, zone: "unknown", epochMilliseconds: local });
  if (zone.toUpperCase() === "Z") return judged({ text: `${plain}Z`, zone: "utc", epochMilliseconds: local });
  const minutes = (zone[0] === "-" ? -1 : 1) * (Number(zone.slice(1, 3)) * 60 + Number(zone.slice(-2)));
  if (Math.abs(minutes) > mostOffsetMinutes) return undefined;
  return judged({
    text: `${plain}${zone.slice(0, 3)}:${zone.slice(-2)}`,
    zone: "offset",
    epochMilliseconds: local - minutes * 60_000,
  });
}

const two = (value: number): string => String(value).padStart(2, "0");

/** Marks a clock that is more than a day ahead of when the file was last written (0 when that is not known). */
export function doubtFuture(time: CreationTime, modifiedMilliseconds: number): CreationTime {
  if (time.suspect !== undefined || modifiedMilliseconds <= 0) return time;
  return time.epochMilliseconds > modifiedMilliseconds + futureMilliseconds
    ? { ...time, suspect: "in the future" }
    : time;
}

/**
 * Whether two clocks speak of one moment: within five seconds, or within five seconds of a whole quarter of an hour
 * apart when the zone of at least one is not certain (a container's UTC is often local time in truth).
 */
export function sameMoment(a: CreationTime, b: CreationTime): boolean {
  const apart = Math.abs(a.epochMilliseconds - b.epochMilliseconds) / 1000;
  if (apart <= clockToleranceSeconds) return true;
  if (a.zone === "offset" && b.zone === "offset") return false;
  if (apart > (mostOffsetMinutes + 12 * 60) * 60) return false;
  const beside = apart % zoneStepSeconds;
  return Math.min(beside, zoneStepSeconds - beside) <= clockToleranceSeconds;
}
