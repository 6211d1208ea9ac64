import { emptyRecord, mentionsSettings, type TelemetryRecord } from "../telemetry/record.ts";
import { type UnknownKeys, unknownKeys } from "../telemetry/unknown-keys.ts";
import { bracketedKeys, type FieldName } from "./bracketed-keys.ts";
import { readStretch, type Stretch } from "./bracketed-stretch.ts";
import { clockReader } from "./clock.ts";
import type { Dialect } from "./dialect.ts";

/** Brackets of one cue that are read; real cues have up to 20. */
const mostBrackets = 100;

/**
 * Cues of bracketed pairs, `[iso : 110] [shutter : 1/1000.0] …`, below a counting line and a clock. Several pairs may
 * share a bracket, spacing varies inside one cue, order of keys is free. Also inside WebVTT and text tracks.
 */
export default {
  id: "bracketed-pairs",
  title: "Bracketed pairs",
  recognises(cue) {
    const record = startReading(unknownKeys())(cue);
    return record !== undefined && mentionsSettings(record);
  },
  startReading,
} satisfies Dialect;

/**
 * A cue is nearly the cue before it. So the cue before is kept as stretches, one per bracket, and of the next cue only
 * stretches that differ are read; a cue of another shape is read from scratch.
 */
function startReading(rest: UnknownKeys): (cue: string) => TelemetryRecord | undefined {
  const keys = bracketedKeys();
  const findClock = clockReader();
  let stretches: Stretch[] = [];
  let record = emptyRecord();
  let known = 0;
  /** The first stretches of the cue before, which did not change in it, as one text; compared at one go. */
  let steady = "";
  let steadyCount = 0;

  /** Reads a cue by what differs from the one before; false when its shape does. */
  const readDifferences = (cue: string, first: number): boolean => {
    const count = stretches.length;
    let at = first;
    let place = 0;
    let changed = false;
    if (steadyCount > 0 && cue.slice(first, first + steady.length) === steady) {
      place = steadyCount;
      at += steady.length;
    } else steadyCount = 0;
    for (; place < count; place += 1) {
      const stretch = stretches[place] as Stretch;
      // A stretch that changed in the cue before mostly changes again: it is not compared first.
      if (stretch.changed || !cue.startsWith(stretch.text, at)) {
        const before = stretch.text;
        if (!readValues(stretch, cue, at)) return false;
        stretch.changed = stretch.text !== before;
        if (!changed && place !== steadyCount) {
          steady = cue.slice(first, at);
          steadyCount = place;
        }
        changed = true;
      }
      at += stretch.text.length;
    }
    return at === cue.length && count > 0;
  };

  const readValues = (stretch: Stretch, cue: string, from: number): boolean => {
    let at = from;
    const { pairs } = stretch;
    for (let place = 0; place < pairs.length; place += 1) {
      const pair = pairs[place] as Stretch["pairs"][number];
      if (!cue.startsWith(pair.before, at)) return false;
      const valueFrom = at + pair.before.length;
      const valueTo = cue.indexOf(pairs[place + 1]?.before ?? stretch.closing, valueFrom);
      if (valueTo < 0) return false;
      const value = cue.slice(valueFrom, valueTo);
      // Another pair, bracket or blank inside: not the same shape after all.
      for (let character = 0; character < value.length; character += 1) {
        const code = value.charCodeAt(character);
        if (code === 58 || code === 91 || code === 93 || code <= 32) return false;
      }
      if (pair.key?.field !== undefined) setField(record, pair.key.field, pair.key.read?.(value));
      at = valueTo;
    }
    if (pairs.length === 0) return false;
    stretch.text = cue.slice(from, at + stretch.closing.length);
    return true;
  };

  const readWhole = (cue: string, first: number): void => {
    record = emptyRecord();
    stretches = [];
    known = 0;
    steadyCount = 0;
    const seen = new Set<FieldName>();
    let repeated = false;
    for (let open = first; open >= 0 && stretches.length < mostBrackets;) {
      const next = cue.indexOf("[", open + 1);
      const stretch = readStretch(cue.slice(open, next < 0 ? cue.length : next), keys, rest);
      // A bracket that never closes was cut off: what it says is not whole.
      if (stretch === undefined) break;
      for (const { key, value } of stretch.pairs) {
        if (key === undefined) continue;
        known += 1;
        if (key.field === undefined) continue;
        repeated ||= seen.has(key.field);
        seen.add(key.field);
        setField(record, key.field, key.read?.(value));
      }
      stretches.push(stretch);
      open = next;
    }
    // With a field stated twice the later one wins, which differences alone cannot tell.
    if (repeated) stretches = [];
  };

  return (cue) => {
    const first = cue.indexOf("[");
    if (first < 0) return undefined;
    if (!readDifferences(cue, first)) readWhole(cue, first);
    record.clock = findClock(cue, 0, first);
    // One pair alone may be stage direction in a spoken subtitle; with a clock above it, it is not.
    return known >= 2 || (known === 1 && record.clock !== undefined) ? record : undefined;
  };
}

/** The table of keys gives each field a reader of that field's type. */
const setField = (record: TelemetryRecord, field: FieldName, value: unknown): void => {
  (record as unknown as Record<FieldName, unknown>)[field] = value;
};
