import {
  absent,
  type CreationTime,
  damaged,
  fromNumber,
  nearestStandardRate,
  type Origin,
  parseRatio,
  unset,
} from "@goodgate/model";
import { type Position, type Rate, read, type Reading, toNumber } from "@goodgate/model";
import { headerClock, parseCreationDate } from "./creation-time.ts";
import type { MetadataItem } from "./metadata-keys.ts";
import { parsePosition } from "./place-text.ts";

type At = (place: string) => Origin;

/** Endings of published keys: who owns the key's prefix does not change its meaning. */
const endings = {
  captureRate: [".capture.fps"],
  created: [".creationdate"],
  place: [".location.iso6709"],
  maker: [".make", ".manufacturer"],
  model: [".model"],
  serial: [".serial", ".serialnumber", ".serial_number", ".camera.serial"],
} as const;

/** The first item whose key ends so, or is the four-character code given. */
function itemOf(
  items: readonly MetadataItem[],
  kind: keyof typeof endings,
  fourCharacters?: string,
): MetadataItem | undefined {
  const ends: readonly string[] = endings[kind];
  return (
    items.find(({ key }) => ends.some((end) => key.toLowerCase().endsWith(end))) ??
    items.find(({ key }) => key === fourCharacters)
  );
}

/** No sensor of a camera runs faster; above it, and at zero or below, the key is broken. */
const highestCaptureRate = 2000;

/** The rate at which the scene was captured, where a key declares it. Zero, negative and absurd values are damage. */
export function captureRateOf(items: readonly MetadataItem[], at: At): Reading<Rate> {
  const item = itemOf(items, "captureRate");
  if (item === undefined) return absent("no key states a capture rate");
  const stated = item.number === undefined ? parseRatio(item.text) : fromNumber(item.number);
  const value = stated === undefined ? Number.NaN : toNumber(stated);
  if (stated === undefined || !(value > 0 && value <= highestCaptureRate)) {
    return damaged(`a capture rate of ${item.text.slice(0, 40)} frames/s is not possible`, at(item.place));
  }
  return read(nearestStandardRate(stated) ?? stated, at(item.place));
}

/** Two clocks that differ by less are the same clock. */
const sameClockMilliseconds = 5000;
/** Offsets of time zones are multiples of a quarter of an hour. */
const zoneStepMilliseconds = 15 * 60_000;

/** Whether two clocks agree, a whole time zone between them aside (a header in local time). */
function clocksAgree(a: number, b: number): boolean {
  const off = Math.abs(a - b);
  const beside = off % zoneStepMilliseconds;
  return (
    off <= 14 * 3_600_000 + sameClockMilliseconds &&
    Math.min(beside, zoneStepMilliseconds - beside) <= sameClockMilliseconds
  );
}

/**
 * The header's clock beside a time that knows its zone: whole quarters of an hour away it is in local time, where UTC
 * belongs (ISO/IEC 14496-12, section 8.2.2; that cameras do so is common practice, no source), and is told so.
 */
function besideZone(header: CreationTime, stated: CreationTime): CreationTime {
  const quarters = Math.round((header.epochMilliseconds - stated.epochMilliseconds) / zoneStepMilliseconds);
  if (quarters === 0 || header.suspect !== undefined) return header;
  const way = quarters > 0 ? "ahead of" : "behind";
  return {
    ...header,
    suspect: `local time in place of UTC, ${Math.abs(quarters) / 4} h ${way} the key that states a zone`,
  };
}

/** When recording began: a key with its own zone before the movie header, which claims UTC and often is not. */
export function createdAtOf(
  items: readonly MetadataItem[],
  since1904: number | undefined,
  at: At,
): Reading<CreationTime> {
  const item = itemOf(items, "created", "©day");
  const stated = item === undefined ? undefined : parseCreationDate(item.text);
  const header = since1904 === undefined ? { missing: "no movie header" } : headerClock(since1904);
  const mvhd = at("moov/mvhd");
  if (item !== undefined && stated !== undefined && stated.zone !== "unknown") {
    const reading = read(stated, at(item.place));
    if (!("text" in header)) return reading;
    const agrees = clocksAgree(stated.epochMilliseconds, header.epochMilliseconds);
    const value = agrees ? besideZone(header, stated) : header;
    return { ...reading, witnesses: [{ value, origin: mvhd, agrees }] };
  }
  if ("text" in header) return read(header, mvhd);
  if (item !== undefined && stated !== undefined) return read(stated, at(item.place));
  if ("wrong" in header) return damaged(header.wrong, mvhd);
  return "unset" in header ? unset(header.unset) : absent(header.missing);
}

/** Where recording began. A position of exactly 0, 0 is what receivers without a fix write. */
export function locationOf(items: readonly MetadataItem[], at: At): Reading<Position> {
  const item = itemOf(items, "place", "©xyz");
  if (item === undefined) return absent("no key states a place");
  const place = parsePosition(item.text);
  if (place === undefined) return damaged(`"${item.text.slice(0, 60)}" is no position`, at(item.place));
  if (place.latitudeDegrees === 0 && place.longitudeDegrees === 0) return absent("the place is 0, 0: no satellite fix");
  return read(place, at(item.place));
}

/** A text under a key of one kind. */
export function keyText(
  items: readonly MetadataItem[],
  kind: "maker" | "model" | "serial",
  fourCharacters: string,
  at: At,
): Reading<string> {
  const item = itemOf(items, kind, fourCharacters);
  const text = item?.text.trim() ?? "";
  return item === undefined || text === "" ? absent(`no key states the ${kind}`) : read(text, at(item.place));
}
