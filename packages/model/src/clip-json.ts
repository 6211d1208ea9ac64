import type { Clip, Still } from "./clip.ts";

/**
 * Form of the text below and of the facts in it; raised with every change of either, so that what an older goodgate
 * kept is read anew.
 */
export const clipTextForm = 1;

/** Text that holds no clip or still in the form written here. */
export class ClipTextError extends Error {}

/**
 * A clip or still as one line of JSON that `parseClip` turns into the same value again: fractions stay exact, typed
 * lists stay typed, and numbers that JSON cannot hold are spelled out.
 */
export const clipText = (read: Clip | Still): string => JSON.stringify(packed(read));

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

function packed(value: unknown): unknown {
  if (typeof value === "bigint") return { "~n": value.toString() };
  if (typeof value === "number") {
    return Number.isFinite(value) && !Object.is(value, -0) ? value : { "~x": Object.is(value, -0) ? "-0" : `${value}` };
  }
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map(packed);
  if (value instanceof Float64Array) return { "~f": steps(value) };
  if (value instanceof Uint32Array) return { "~u": [...value] };
  const { numerator, denominator } = value as { readonly numerator?: unknown; readonly denominator?: unknown };
  const keys = Object.keys(value);
  if (keys.length === 2 && typeof numerator === "bigint" && typeof denominator === "bigint") {
    return { "~r": `${numerator}/${denominator}` };
  }
  const record = value as Readonly<Record<string, unknown>>;
  // Keys come from files too (metadata): fromEntries makes even `__proto__` a plain key.
  return Object.fromEntries(keys.map((key) => [key.startsWith(mark) ? mark + key : key, packed(record[key])]));
}

/** Below this the difference of two whole numbers is exact. */
const mostStep = 2 ** 52;

const hasExactSteps = (time: number): boolean =>
  Number.isInteger(time) && Math.abs(time) < mostStep && !Object.is(time, -0);

/** Times rise in even steps, so the steps are short to write; anything but whole numbers is written as it is. */
function steps(times: Float64Array): readonly unknown[] {
  if (!times.every(hasExactSteps)) return ["=", ...Array.from(times, packed)];
  return Array.from(times, (time, place) => time - (place === 0 ? 0 : (times[place - 1] as number)));
}

function unpackedText(text: string): unknown {
  try {
    return unpacked(JSON.parse(text));
  } catch (error) {
    if (error instanceof ClipTextError) throw error;
    throw new ClipTextError(error instanceof Error ? error.message : "not JSON");
  }
}

function unpacked(value: unknown): unknown {
  if (typeof value !== "object" || value === null) return value;
  if (Array.isArray(value)) return value.map(unpacked);
  const entries = Object.entries(value as Readonly<Record<string, unknown>>);
  const [first] = entries;
  if (first !== undefined && entries.length === 1 && first[0].startsWith(mark) && first[0][1] !== mark) {
    return special(first[0], first[1]);
  }
  return Object.fromEntries(
    entries.map(([key, each]) => [key.startsWith(mark) ? key.slice(mark.length) : key, unpacked(each)]),
  );
}

function special(kind: string, value: unknown): unknown {
  if (kind === "~n" && typeof value === "string") return BigInt(value);
  if (kind === "~x" && typeof value === "string") return Number(value);
  if (kind === "~r" && typeof value === "string") {
    const [numerator = "", denominator = ""] = value.split("/");
    if (numerator === "" || denominator === "" || denominator === "0") throw new ClipTextError("a ratio without parts");
    return { numerator: BigInt(numerator), denominator: BigInt(denominator) };
  }
  if (kind === "~u" && Array.isArray(value)) return Uint32Array.from(value as readonly number[]);
  if (kind === "~f" && Array.isArray(value)) {
    if (value[0] === "=") return Float64Array.from(value.slice(1).map(unpacked) as number[]);
    const times = Float64Array.from(value as readonly number[]);
    for (let place = 1; place < times.length; place += 1) times[place] = (times[place] ?? 0) + (times[place - 1] ?? 0);
    return times;
  }
  throw new ClipTextError(`no form ${kind}`);
}
