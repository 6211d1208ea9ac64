import type { Clip, Still } from "./clip.ts";
import type { Ratio } from "./ratio.ts";
import type { Origin } from "./reading.ts";
import { constantSeries, isConstant } from "./series.ts";

/**
 * Form of the text below and of the facts in it; raised with every change of either, so that what an older goodgate
 * kept is read anew.
 */
export const clipTextForm = 8;

/** Text that holds no clip or still in the form written here. */
export class ClipTextError extends Error {}

/**
 * A clip or still as one line of JSON that `parseClip` turns into the same value again: fractions stay exact, typed
 * lists stay typed, and numbers that JSON cannot hold are spelled out. Where facts were read stands once, in front.
 */
export function clipText(read: Clip | Still): string {
  const origins = originTable();
  const packedRead = packed(read, origins.place);
  return JSON.stringify([origins.all, packedRead]);
}

/** Reads a clip back. Throws a ClipTextError when the text is no clip in this form. */
export function parseClip(text: string): Clip {
  const value = unpackedText(text);
  if (!isRecord(value) || !isRecord(value["facts"]) || !Array.isArray(value["readers"]) || !hasFiles(value)) {
    throw new ClipTextError("no clip");
  }
  // The text carries what clipText wrote of a Clip; callers keep it beside a digest, so that it was not altered.
  return value as unknown as Clip;
}

/** Reads a still back. Throws a ClipTextError when the text is no still in this form. */
export function parseStill(text: string): Still {
  const value = unpackedText(text);
  if (!isRecord(value) || !isRecord(value["takenAt"]) || !isRecord(value["shutterSeconds"]) || !hasFiles(value)) {
    throw new ClipTextError("no still");
  }
  return value as unknown as Still;
}

const hasFiles = (value: Readonly<Record<string, unknown>>): boolean =>
  typeof value["name"] === "string" && Array.isArray(value["files"]) && isRecord(value["cost"]);

/** Marks an object that stands for a value JSON has no form for; a plain key that begins so gets the mark twice. */
const mark = "~";

const isRecord = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

/** The origins of one clip, each once, and the place of each in the list. */
function originTable(): { readonly all: readonly Origin[]; readonly place: (origin: Origin) => number } {
  const all: Origin[] = [];
  const byObject = new Map<Origin, number>();
  const byText = new Map<string, number>();
  return {
    all,
    place(origin) {
      let place = byObject.get(origin);
      if (place !== undefined) return place;
      const key = `${origin.kind}\n${origin.file}\n${origin.place}\n${origin.reader ?? "\n"}`;
      place = byText.get(key);
      if (place === undefined) {
        place = all.push(origin) - 1;
        byText.set(key, place);
      }
      byObject.set(origin, place);
      return place;
    },
  };
}

const originKeys: ReadonlySet<string> = new Set(["kind", "file", "place", "reader"]);

/** Whether a value is an origin and nothing else. */
function isOrigin(value: unknown): value is Origin {
  if (!isRecord(value) || typeof value["kind"] !== "string") return false;
  const keys = Object.keys(value);
  return (
    keys.length >= 3 &&
    keys.every((key) => originKeys.has(key) && typeof value[key] === "string") &&
    "file" in value &&
    "place" in value
  );
}

function packed(value: unknown, placeOf: (origin: Origin) => number): unknown {
  if (typeof value === "bigint") return { "~n": value.toString() };
  if (typeof value === "number") {
    return Number.isFinite(value) && !Object.is(value, -0) ? value : { "~x": Object.is(value, -0) ? "-0" : `${value}` };
  }
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map((item) => packed(item, placeOf));
  if (value instanceof Float64Array) return { "~f": steps(value, placeOf) };
  if (value instanceof Uint32Array) return { "~u": [...value] };
  const keys = Object.keys(value);
  const { numerator, denominator } = value as { readonly numerator?: unknown; readonly denominator?: unknown };
  if (keys.length === 2 && typeof numerator === "bigint" && typeof denominator === "bigint") {
    return { "~r": `${numerator}/${denominator}` };
  }
  const record = value as Readonly<Record<string, unknown>>;
  if ("runStarts" in record && isConstant(record)) {
    return {
      "~s": [
        packed(record.values[0], placeOf),
        record.heldMicroseconds[0],
        record.endMicroseconds,
        record.records,
        record.coverage,
      ],
    };
  }
  if (isLongSeries(record)) {
    const { values, heldMicroseconds, runStarts, runValues, ...rest } = record;
    const runs = packed([values, heldMicroseconds, runStarts, runValues], placeOf);
    return { "~z": [JSON.stringify(runs), packed(rest, placeOf)] };
  }
  const result: Record<string, unknown> = {};
  for (const key of keys) {
    const item = record[key];
    // Keys come from files too (metadata): even `__proto__` is a plain key.
    const name = key.startsWith(mark) ? mark + key : key;
    put(result, name, key === "origin" && isOrigin(item) ? { "~o": placeOf(item) } : packed(item, placeOf));
  }
  return result;
}

/** Runs from which on a series is written as a text in the text, which is opened when somebody looks at the runs. */
const manyRuns = 1024;

const isLongSeries = (record: Readonly<Record<string, unknown>>): boolean =>
  runKeys.every((key) => Object.hasOwn(record, key)) &&
  record["runStarts"] instanceof Float64Array &&
  record["runStarts"].length >= manyRuns;

const runKeys = ["values", "heldMicroseconds", "runStarts", "runValues"] as const;

/**
 * A series whose runs are read from their text when the first of them is asked for: most readers ask for none. That text
 * is as this file wrote it, for the line it stands in was held against its digest.
 */
function longSeries(text: string, rest: Record<string, unknown>, origins: readonly Origin[]): object {
  let opened: readonly unknown[] | undefined;
  const open = (): readonly unknown[] => (opened ??= unpacked(JSON.parse(text), origins) as readonly unknown[]);
  runKeys.forEach((key, place) => {
    Object.defineProperty(rest, key, { get: () => open()[place], enumerable: true, configurable: true });
  });
  return rest;
}

/** Sets a key of an object of our own, whatever the key is called. */
function put(record: Record<string, unknown>, key: string, value: unknown): void {
  if (key === "__proto__")
    Object.defineProperty(record, key, { value, writable: true, enumerable: true, configurable: true });
  else record[key] = value;
}

/** Below this the difference of two whole numbers is exact. */
const mostStep = 2 ** 52;

const hasExactSteps = (time: number): boolean =>
  Number.isInteger(time) && Math.abs(time) < mostStep && !Object.is(time, -0);

/** Times rise in even steps, so the steps are short to write; anything but whole numbers is written as it is. */
function steps(times: Float64Array, placeOf: (origin: Origin) => number): readonly unknown[] {
  if (!times.every(hasExactSteps)) return ["=", ...Array.from(times, (time) => packed(time, placeOf))];
  return Array.from(times, (time, place) => time - (place === 0 ? 0 : (times[place - 1] as number)));
}

function unpackedText(text: string): unknown {
  try {
    const whole: unknown = JSON.parse(text);
    if (!Array.isArray(whole) || whole.length !== 2 || !Array.isArray(whole[0]) || !whole[0].every(isOrigin)) {
      throw new ClipTextError("not in this form");
    }
    return unpacked(whole[1], whole[0]);
  } catch (error) {
    if (error instanceof ClipTextError) throw error;
    throw new ClipTextError(error instanceof Error ? error.message : "not JSON");
  }
}

/** The value a parsed one stands for; objects that JSON has just made are changed in place. */
function unpacked(value: unknown, origins: readonly Origin[]): unknown {
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) {
    for (let place = 0; place < value.length; place += 1) {
      const item: unknown = value[place];
      if (typeof item === "object" && item !== null) value[place] = unpacked(item, origins);
    }
    return value;
  }
  const record = value as Record<string, unknown>;
  const keys = Object.keys(record);
  const [first] = keys;
  if (first !== undefined && keys.length === 1 && first.startsWith(mark) && first[1] !== mark) {
    return special(first, record[first], origins);
  }
  // Keys with the mark were written with one more: they move, and the others with them, so that the order stays.
  const marked = keys.some((key) => key.startsWith(mark));
  const result: Record<string, unknown> = marked ? {} : record;
  for (const key of keys) {
    const item = record[key];
    const isPlain = typeof item !== "object" || item === null;
    if (marked)
      put(result, key.startsWith(mark) ? key.slice(mark.length) : key, isPlain ? item : unpacked(item, origins));
    else if (!isPlain) put(result, key, unpacked(item, origins));
  }
  return result;
}

// Clips of a card share their rates and shutter times.
const mostRatios = 512;
const ratios = new Map<string, Ratio>();

function special(kind: string, value: unknown, origins: readonly Origin[]): unknown {
  if (kind === "~o" && typeof value === "number" && origins[value] !== undefined) return origins[value];
  if (kind === "~n" && typeof value === "string") return BigInt(value);
  if (kind === "~x" && typeof value === "string") return Number(value);
  if (kind === "~r" && typeof value === "string") {
    const known = ratios.get(value);
    if (known !== undefined) return known;
    const [numerator = "", denominator = ""] = value.split("/");
    if (numerator === "" || denominator === "" || denominator === "0") throw new ClipTextError("a ratio without parts");
    const ratio = { numerator: BigInt(numerator), denominator: BigInt(denominator) };
    if (ratios.size < mostRatios) ratios.set(value, ratio);
    return ratio;
  }
  if (kind === "~u" && Array.isArray(value)) return Uint32Array.from(value as readonly number[]);
  if (kind === "~z" && Array.isArray(value)) {
    const [text, rest] = value as readonly unknown[];
    if (typeof text !== "string" || !isRecord(rest)) throw new ClipTextError("no series");
    return longSeries(text, unpacked(rest, origins) as Record<string, unknown>, origins);
  }
  if (kind === "~s" && Array.isArray(value)) {
    const [held, end, records, coverage] = value.slice(1) as readonly unknown[];
    if (![held, end, records, coverage].every((each) => typeof each === "number")) throw new ClipTextError("no series");
    const constant = constantSeries(unpacked(value[0], origins), held as number);
    return { ...constant, endMicroseconds: end, records, coverage };
  }
  if (kind === "~f" && Array.isArray(value)) {
    if (value[0] === "=") return Float64Array.from(value.slice(1).map((item) => unpacked(item, origins)) as number[]);
    const times = Float64Array.from(value as readonly number[]);
    for (let place = 1; place < times.length; place += 1) times[place] = (times[place] ?? 0) + (times[place - 1] ?? 0);
    return times;
  }
  throw new ClipTextError(`no form ${kind}`);
}
