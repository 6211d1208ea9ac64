import { parseRatio, type Ratio, toNumber } from "@goodgate/model";
import type { ClipReport, FactReport } from "../schema.ts";

/** Start in seconds and value of one run of a series. */
export type Point = readonly [seconds: number, value: number];

/** A number from a number or from a ratio's text (`1/50`, `24000/1001`); undefined for anything else. */
export function numberFrom(value: unknown): number | undefined {
  if (typeof value === "number") return Number.isFinite(value) ? value : undefined;
  if (typeof value !== "string" || value.length > 80) return undefined;
  const parsed = parseRatio(value);
  return parsed === undefined ? undefined : toNumber(parsed);
}

/** An exact ratio from a ratio's text or a whole number. */
export function ratioFrom(value: unknown): Ratio | undefined {
  if (typeof value === "number" && Number.isFinite(value)) return parseRatio(String(value));
  return typeof value === "string" && value.length <= 80 ? parseRatio(value) : undefined;
}

/** A fact that was read, or undefined. */
export function readFact(clip: Pick<ClipReport, "facts">, name: string): FactReport | undefined {
  const found = Object.hasOwn(clip.facts, name) ? clip.facts[name] : undefined;
  return found?.state === "read" ? found : undefined;
}

/** The number of a fact that was read: typical for a fact that changes. */
export function factNumber(clip: Pick<ClipReport, "facts">, name: string): number | undefined {
  const found = readFact(clip, name);
  return found === undefined ? undefined : (found.decimal ?? numberFrom(found.value));
}

/** The exact ratio of a fact that was read. */
export const factRatio = (clip: Pick<ClipReport, "facts">, name: string): Ratio | undefined =>
  ratioFrom(readFact(clip, name)?.value);

/** A fact's value as a record, for the facts that are made of parts. */
export function factParts(
  clip: Pick<ClipReport, "facts">,
  name: string,
): Readonly<Record<string, unknown>> | undefined {
  const value = readFact(clip, name)?.value;
  return typeof value === "object" && !Array.isArray(value) ? value : undefined;
}

/** The runs of a fact in time order; one run from zero for a fact that does not change; empty when it was not read. */
export function factPoints(clip: Pick<ClipReport, "facts">, name: string): readonly Point[] {
  const found = readFact(clip, name);
  if (found === undefined) return [];
  const points: Point[] = [];
  for (const [seconds, value] of found.series?.points ?? []) {
    const number = numberFrom(value);
    if (number !== undefined && Number.isFinite(seconds)) points.push([seconds, number]);
  }
  if (points.length > 0) return points.sort((a, b) => a[0] - b[0]);
  const number = factNumber(clip, name);
  return number === undefined ? [] : [[0, number]];
}

/** How long the clip is in seconds, or the end of its last record when the length was not read. */
export function clipSeconds(clip: Pick<ClipReport, "facts">): number {
  const stated = factNumber(clip, "durationSeconds");
  if (stated !== undefined && stated > 0) return stated;
  let last = numberFrom(factParts(clip, "lookedAt")?.["ofSeconds"]) ?? 0;
  for (const name of ["shutterSeconds", "iso"]) {
    for (const [seconds] of factPoints(clip, name)) last = Math.max(last, seconds);
  }
  return last > 0 ? last : 1;
}

/** The value in force at a time; undefined before the first point. */
export function valueAt(points: readonly Point[], seconds: number): number | undefined {
  let low = 0;
  let high = points.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((points[middle]?.[0] ?? Infinity) <= seconds) low = middle + 1;
    else high = middle;
  }
  return points[low - 1]?.[1];
}

/** Light of the scene through the clip, EV at ISO 100, from shutter, ISO, f-number and declared ND; empty without them. */
export function lightPoints(clip: Pick<ClipReport, "facts">): readonly Point[] {
  const shutter = factPoints(clip, "shutterSeconds");
  const iso = factPoints(clip, "iso");
  const aperture = factPoints(clip, "fNumber");
  const density = factPoints(clip, "ndStops");
  if (shutter.length === 0 || iso.length === 0 || aperture.length === 0) return [];
  const times = [...new Set([...shutter, ...iso, ...aperture, ...density].map(([seconds]) => seconds))];
  const light: Point[] = [];
  for (const seconds of times.sort((a, b) => a - b)) {
    const open = valueAt(shutter, seconds);
    const gain = valueAt(iso, seconds);
    const stop = valueAt(aperture, seconds);
    if (open === undefined || gain === undefined || stop === undefined || open <= 0 || gain <= 0 || stop <= 0) continue;
    light.push([
      seconds,
      2 * Math.log2(stop) - Math.log2(open) - Math.log2(gain / 100) + (valueAt(density, seconds) ?? 0),
    ]);
  }
  return light;
}

/** The least and the most of some numbers; undefined when there are none. */
export function span(values: readonly number[]): { readonly least: number; readonly most: number } | undefined {
  if (values.length === 0) return undefined;
  let least = Infinity;
  let most = -Infinity;
  for (const value of values) {
    if (value < least) least = value;
    if (value > most) most = value;
  }
  return { least, most };
}

/** A number with at most `digits` decimals and no trailing zeros. */
export const short = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));

/** A whole number with commas between thousands. */
export const grouped = (value: number): string => String(Math.round(value)).replace(/\B(?=(\d{3})+(?!\d))/g, ",");

/** A time as minutes and seconds, `0:07.4`, `12:05`; hours when there are any. Tenths below ten minutes. */
export function clockText(seconds: number): string {
  const tenths = Math.round(Math.max(0, seconds) * 10);
  const whole = Math.floor(tenths / 10);
  const minutes = Math.floor(whole / 60);
  const rest = String(whole % 60).padStart(2, "0");
  if (minutes >= 60) return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}:${rest}`;
  return minutes >= 10 || tenths % 10 === 0 ? `${minutes}:${rest}` : `${minutes}:${rest}.${tenths % 10}`;
}

/** A shutter time as a camera menu prints it. */
export function shutterText(seconds: number): string {
  if (seconds >= 0.4) return short(seconds, 2);
  const inverse = 1 / seconds;
  return `1/${short(inverse, inverse < 100 ? 1 : 0)}`;
}
