import type { Stated, TelemetryRecord } from "../telemetry/record.ts";
import { fault, parseNumber } from "./values.ts";

const withLetter = /^([NSEW])\s*(?::\s*)?([+-]?\d{1,4}(?:[.,]\d{1,12})?)$/i;

/**
 * Fills latitude and longitude from the inside of a `GPS (…)` group: `-45.6789, 12.3457, 18` or
 * `W: -45.6788, N: 12.3458, -37`. Bare numbers are longitude first, as open readers of these lines have it, unless the
 * second one can only be a longitude. The third number means different things in different files and is left alone.
 */
export function readPosition(inside: string, record: TelemetryRecord): void {
  // Only a comma before a space parts numbers when commas are decimal marks too.
  const spaced = inside.split(/,\s+/);
  const parts = (spaced.length >= 2 ? spaced : inside.split(",")).map((part) => part.trim());
  const [first = "", second = ""] = parts;
  const lettered = [withLetter.exec(first), withLetter.exec(second)] as const;
  if (lettered[0] !== null && lettered[1] !== null) {
    for (const [, letter = "", digits = ""] of [lettered[0], lettered[1]]) {
      const size = parseNumber(digits);
      if (size === undefined) continue;
      const upper = letter.toUpperCase();
      const signed = upper === "W" || upper === "S" ? -Math.abs(size) : size;
      if (upper === "N" || upper === "S") record.latitudeDegrees = within(signed, 90, digits);
      else record.longitudeDegrees = within(signed, 180, digits);
    }
    return;
  }
  const a = parseNumber(first);
  const b = parseNumber(second);
  if (a === undefined || b === undefined) {
    record.latitudeDegrees = fault(inside);
    record.longitudeDegrees = fault(inside);
    return;
  }
  const latitudeFirst = Math.abs(b) > 90 && Math.abs(a) <= 90;
  record.longitudeDegrees = within(latitudeFirst ? b : a, 180, latitudeFirst ? second : first);
  record.latitudeDegrees = within(latitudeFirst ? a : b, 90, latitudeFirst ? first : second);
  record.axesByOrder = Math.abs(a) <= 90 && !latitudeFirst && (a !== 0 || b !== 0);
}

const within = (value: number, most: number, text: string): Stated<number> =>
  Math.abs(value) <= most ? { value: value === 0 ? 0 : value } : fault(text);
