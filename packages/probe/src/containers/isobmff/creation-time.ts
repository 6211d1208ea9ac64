import type { CreationTime } from "@goodgate/model";

/** Seconds from 1904-01-01, where the clock of `mvhd` starts, to 1970-01-01 (ISO/IEC 14496-12, section 8.2.2). */
export const secondsTo1970 = 2_082_844_800;

/** The latest year a clock is believed to show; past it the number is noise. */
const latestYear = 2099;

const isoText = (milliseconds: number): string => new Date(milliseconds).toISOString().replace(/\.000Z$/, "Z");

/**
 * Why a clock cannot be believed. A clock that lost its power restarts at the first hour of its own first year: 1980
 * (FAT file system), 2000, or the year of the firmware (common practice, no source).
 */
export function clockSuspicion(localMilliseconds: number): string | undefined {
  const at = new Date(localMilliseconds);
  const year = at.getUTCFullYear();
  const opening = at.getUTCMonth() === 0 && at.getUTCDate() === 1 && at.getUTCHours() === 0;
  if (opening && (year === 1980 || year === 2000 || (year >= 2010 && year <= 2030))) return "start of an epoch";
  return year < 2000 ? "before digital cameras recorded such files" : undefined;
}

/** What a header clock says: a time, or why it says nothing. */
export function headerClock(since1904: number): CreationTime | { readonly unset: string } | { readonly wrong: string } {
  if (since1904 === 0) return { unset: "the clock field is 0, which means not set" };
  if (since1904 === secondsTo1970) return { unset: "the clock field is 1970-01-01 00:00:00, the start of an epoch" };
  if (since1904 < secondsTo1970) {
    // A time before 1970 can only be a count from 1970 written where one from 1904 belongs.
    const epochMilliseconds = since1904 * 1000;
    return { text: isoText(epochMilliseconds), zone: "utc", epochMilliseconds, suspect: "epoch of another system" };
  }
  const epochMilliseconds = (since1904 - secondsTo1970) * 1000;
  if (!(epochMilliseconds < Date.UTC(latestYear + 1, 0))) return { wrong: `the clock field is past ${latestYear}` };
  const suspect = clockSuspicion(epochMilliseconds);
  const time = { text: isoText(epochMilliseconds), zone: "utc" as const, epochMilliseconds };
  return suspect === undefined ? time : { ...time, suspect };
}

/**
 * Reads a date as metadata keys write it: ISO 8601 with `Z`, `+hh:mm`, `+hhmm` or no zone. Undefined for another form
 * or a day that does not exist.
 */
export function parseCreationDate(text: string): CreationTime | undefined {
  const form = /^(\d{4})[-:](\d\d)[-:](\d\d)[T ](\d\d):(\d\d):(\d\d)(\.\d{1,9})?\s?(Z|[+-]\d\d:?\d\d)?$/;
  const match = form.exec(text.trim());
  if (match === null) return undefined;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0] = match.slice(1, 7).map(Number);
  const local = Date.UTC(year, month - 1, day, hour, minute, second);
  const back = new Date(local);
  if (back.getUTCMonth() !== month - 1 || back.getUTCDate() !== day || hour > 23 || minute > 59 || second > 59) {
    return undefined;
  }
  const zone = match[8];
  const fraction = match[7] ?? "";
  const milliseconds = local + Math.floor(Number(`0${fraction}`) * 1000);
  const plain = `${isoText(local).slice(0, 19)}${fraction}`;
  const suspect = clockSuspicion(local);
  const doubt = suspect === undefined ? {} : { suspect };
  if (zone === undefined) return { text: plain, zone: "unknown", epochMilliseconds: milliseconds, ...doubt };
  if (zone === "Z") return { text: `${plain}Z`, zone: "utc", epochMilliseconds: milliseconds, ...doubt };
  const minutes = Number(zone.slice(1, 3)) * 60 + Number(zone.slice(-2));
  // The widest offsets in use are −12:00 and +14:00.
  if (minutes > 14 * 60) return undefined;
  const offset = zone.startsWith("-") ? -minutes : minutes;
  return {
    text: `${plain}${zone.slice(0, 3)}:${zone.slice(-2)}`,
    zone: "offset",
    epochMilliseconds: milliseconds - offset * 60_000,
    ...doubt,
  };
}
