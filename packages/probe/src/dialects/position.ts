import type { CueShape } from "../telemetry/cue-shape.ts";
import type { Stated, TelemetryRecord } from "../telemetry/record.ts";
import { fault, parseNumber } from "./values.ts";

const withLetter = /^([NSEW])\s*(?::\s*)?([+-]?\d{1,4}(?:[.,]\d{1,12})?)$/i;

/** Most digits before and behind the mark of a number behind a letter. */
const digitsBehindLetter = [4, 12] as const;
const latitudes = [-90, 90] as const;
const longitudes = [-180, 180] as const;

/**
 * Fills latitude and longitude from the inside of a `GPS (…)` group: `-45.6789, 12.3457, 18` or
 * `W: -45.6788, N: 12.3458, -37`. Bare numbers are longitude first, as open readers of these lines have it, unless the
 * second one can only be a longitude. The third number means different things in different files and is left alone.
 * `insideFrom` is where in the text the inside stands, for the places that go into `shape`.
 */
export function readPosition(inside: string, record: TelemetryRecord, insideFrom: number, shape?: CueShape): void {
  // Only a comma before a space parts numbers when commas are decimal marks too.
  const commaDecimal = /,\s/.test(inside);
  const parts = partsOf(inside, commaDecimal);
  const first = parts[0]?.text ?? "";
  const second = parts[1]?.text ?? "";
  const [firstFrom = 0, secondFrom = 0] = parts.map(({ from }) => insideFrom + from);
  for (const { text, from } of parts.slice(2)) shape?.nothing(insideFrom + from, insideFrom + from + text.length);
  const lettered = [withLetter.exec(first), withLetter.exec(second)] as const;
  if (lettered[0] !== null && lettered[1] !== null) {
    [lettered[0], lettered[1]].forEach(([, letter = "", digits = ""], place) => {
      const size = parseNumber(digits);
      if (size === undefined) return;
      const upper = letter.toUpperCase();
      const negative = upper === "W" || upper === "S";
      const isLatitude = upper === "N" || upper === "S";
      const signed = negative ? -Math.abs(size) : size;
      if (isLatitude) record.latitudeDegrees = within(signed, 90, digits);
      else record.longitudeDegrees = within(signed, 180, digits);
      const to = place === 0 ? firstFrom + first.length : secondFrom + second.length;
      const more = { negative, digits: digitsBehindLetter, commaDecimal };
      if (isLatitude) shape?.number(to - digits.length, to, "latitudeDegrees", latitudes, more);
      else shape?.number(to - digits.length, to, "longitudeDegrees", longitudes, more);
    });
    return;
  }
  const a = parseNumber(first);
  const b = parseNumber(second);
  if (a === undefined || b === undefined) {
    record.latitudeDegrees = fault(inside);
    record.longitudeDegrees = fault(inside);
    shape?.irregular();
    return;
  }
  const latitudeFirst = Math.abs(b) > 90 && Math.abs(a) <= 90;
  record.longitudeDegrees = within(latitudeFirst ? b : a, 180, latitudeFirst ? second : first);
  record.latitudeDegrees = within(latitudeFirst ? a : b, 90, latitudeFirst ? first : second);
  record.axesByOrder = Math.abs(a) <= 90 && !latitudeFirst && (a !== 0 || b !== 0);
  if (shape === undefined) return;
  const [latitudeFrom, longitudeFrom] = latitudeFirst ? [firstFrom, secondFrom] : [secondFrom, firstFrom];
  const [latitude, longitude] = latitudeFirst ? [first, second] : [second, first];
  shape.number(latitudeFrom, latitudeFrom + latitude.length, "latitudeDegrees", latitudes, { commaDecimal });
  shape.number(longitudeFrom, longitudeFrom + longitude.length, "longitudeDegrees", longitudes, { commaDecimal });
  shape.axes(latitudeFirst ? "latitude first" : "longitude first");
}

/** The trimmed parts of a group between commas, with where each begins. */
function partsOf(inside: string, spaced: boolean): readonly { readonly text: string; readonly from: number }[] {
  const parts: { text: string; from: number }[] = [];
  let from = 0;
  for (const part of inside.split(spaced ? /,(?=\s)/ : ",")) {
    const lead = part.length - part.trimStart().length;
    parts.push({ text: part.trim(), from: from + lead });
    from += part.length + 1;
  }
  return parts;
}

const within = (value: number, most: number, text: string): Stated<number> =>
  Math.abs(value) <= most ? { value: value === 0 ? 0 : value } : fault(text);
