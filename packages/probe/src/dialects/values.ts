import { compare, invert, parseRatio, ratio, type Seconds } from "@goodgate/model";
import type { Stated } from "../telemetry/record.ts";
import { ownText } from "../telemetry/unknown-keys.ts";

/** Longest value text that is looked at; real values have at most 24 characters. */
const mostValueCharacters = 64;
/** Distinct texts remembered per kind of value; a shutter list has about sixty. */
const mostRemembered = 4096;

/** A value that breaks the grammar or its range, quoted. */
export const fault = (text: string): { readonly fault: string } => ({
  fault: ownText(text.length > mostValueCharacters ? `${text.slice(0, mostValueCharacters)}…` : text),
});

/** Reads the text of one value; undefined means the text says "not set". */
export type ValueReader<T> = (text: string) => Stated<T> | undefined;

/** A reader that parses each distinct text once. Keeps at most 4096 texts, then starts over. */
export function remembering<T>(read: ValueReader<T>): ValueReader<T> {
  let known = new Map<string, Stated<T> | undefined>();
  return (text) => {
    const found = known.get(text);
    if (found !== undefined || known.has(text)) return found;
    if (text.length > mostValueCharacters) return fault(text);
    if (known.size >= mostRemembered) known = new Map();
    const value = read(text);
    known.set(ownText(text), value);
    return value;
  };
}

const zeroCode = 48;
const nineCode = 57;

/** A decimal number with full stop or comma, sign and nothing else; undefined for any other text. */
export function parseNumber(text: string): number | undefined {
  const length = text.length;
  if (length === 0 || length > 24) return undefined;
  const first = text.charCodeAt(0);
  const signed = first === 43 || first === 45;
  let at = signed ? 1 : 0;
  let digits = 0;
  let mantissa = 0;
  let fraction = 0;
  let marks = 0;
  for (; at < length; at += 1) {
    const code = text.charCodeAt(at);
    if (code >= zeroCode && code <= nineCode) {
      digits += 1;
      mantissa = mantissa * 10 + (code - zeroCode);
      if (marks === 1) fraction += 1;
    } else if ((code === 46 || code === 44) && marks === 0 && digits > 0) {
      marks = 1;
    } else {
      return undefined;
    }
  }
  if (digits === 0 || (marks === 1 && fraction === 0)) return undefined;
  // Up to 15 digits both parts are exact, so the quotient is the nearest double, as Number() would give.
  const size =
    digits <= 15 ? mantissa / (powersOfTen[fraction] ?? 1) : Number(text.slice(signed ? 1 : 0).replace(",", "."));
  return first === 45 && size !== 0 ? -size : size;
}

const powersOfTen = Array.from({ length: 16 }, (_, exponent) => 10 ** exponent);

/** Whether a number is written with a decimal mark. */
export const hasDecimalMark = (text: string): boolean => text.includes(".") || text.includes(",");

const withPoint = (text: string): string => text.replaceAll(",", ".");

/** Shutter times of cameras lie between these: electronic shutters reach 1/32000, long exposures 60 s. */
const shortestShutter: Seconds = ratio(1n, 100_000n);
const longestShutter: Seconds = ratio(60n);

/**
 * A shutter time. A slash is a quotient (`1/1000.0`, `1/1000,0`). A bare number is a reciprocal where the dialect writes
 * it so (`SS 320`), and there a number below one is ambiguous; elsewhere a bare decimal below one is seconds and a
 * larger number ambiguous. Zero parts, words and ambiguity are faults.
 */
export function readShutter(text: string, bare: "reciprocal" | "seconds"): Stated<Seconds> {
  const cleaned = withPoint(text.endsWith("s") || text.endsWith("S") ? text.slice(0, -1).trimEnd() : text);
  const stated = parseRatio(cleaned);
  if (stated === undefined || stated.numerator <= 0n) return fault(text);
  if (cleaned.includes("/")) return withinShutterRange(stated, text);
  const one = compare(stated, ratio(1n));
  if (bare === "reciprocal") return one < 0 ? fault(text) : withinShutterRange(invert(stated), text);
  return one < 0 && cleaned.includes(".") ? withinShutterRange(stated, text) : fault(text);
}

/** A shutter time if it is one a camera can have. */
export const withinShutterRange = (time: Seconds, text: string): Stated<Seconds> =>
  compare(time, shortestShutter) < 0 || compare(time, longestShutter) > 0 ? fault(text) : { value: time };

/** Least and most ISO a camera can be set to. */
export const isoRange = [6, 4_000_000] as const;
/** Least and most f-number of a camera lens. */
export const fNumberRange = [0.7, 45] as const;
/** Colour temperatures a camera can be set to, in kelvin. */
export const kelvinRange = [1000, 20_000] as const;
/** Focal lengths in 35 mm terms, in millimetres. */
export const focalRange = [5, 3000] as const;

/** A number if it lies in a range, else the text as a fault. */
export const inRange = (value: number, [least, most]: readonly [number, number], text: string): Stated<number> =>
  value >= least && value <= most ? { value } : fault(text);

/** A plain number within a range. */
export function readNumber(text: string, range: readonly [number, number]): Stated<number> {
  const value = parseNumber(text);
  return value === undefined ? fault(text) : inRange(value, range, text);
}

/** An f-number: `2.8`, `2,8`, and `280` for 2.8; whole numbers from 50 up are hundredths. */
export function readFNumber(text: string): Stated<number> {
  const bare = text.startsWith("F") || text.startsWith("f") ? text.slice(text.charCodeAt(1) === 47 ? 2 : 1) : text;
  const value = parseNumber(bare);
  if (value === undefined) return fault(text);
  return inRange(!hasDecimalMark(bare) && value >= 50 ? value / 100 : value, fNumberRange, text);
}

/** Exposure bias in stops: `0`, `-0.3`, `-1/3`; beyond ten stops is a fault. */
export function readBias(text: string): Stated<number> {
  const slash = text.indexOf("/");
  if (slash < 0) return readNumber(text, [-10, 10]);
  const above = parseNumber(text.slice(0, slash));
  const below = parseNumber(text.slice(slash + 1));
  return above === undefined || below === undefined || below === 0
    ? fault(text)
    : inRange(above / below, [-10, 10], text);
}

/** Kelvin; `0` is "not set". */
export function readKelvin(text: string): Stated<number> | undefined {
  const bare = text.endsWith("K") || text.endsWith("k") ? text.slice(0, -1) : text;
  const value = parseNumber(bare);
  if (value === undefined) return fault(text);
  return value === 0 ? undefined : inRange(value, kelvinRange, text);
}

/** Focal length in 35 mm terms: `24.00` as it is, whole numbers from 100 up are tenths (common practice, no source). */
export function readFocalLength(text: string): Stated<number> | undefined {
  const bare = text.endsWith("mm") ? text.slice(0, -2).trimEnd() : text;
  const value = parseNumber(bare);
  if (value === undefined) return fault(text);
  if (value === 0) return undefined;
  return inRange(!hasDecimalMark(bare) && value >= 100 ? value / 10 : value, focalRange, text);
}

/** Digital zoom: `1.00` as it is, `10000` in ten-thousandths. */
export function readZoom(text: string): Stated<number> {
  const value = parseNumber(text);
  return value === undefined ? fault(text) : inRange(value >= 100 ? value / 10_000 : value, [0.1, 99], text);
}

/** A short word such as the name of a picture profile. */
export const readWord = (text: string): Stated<string> | undefined =>
  text === "" ? undefined : text.length > 64 ? fault(text) : { value: ownText(text) };
