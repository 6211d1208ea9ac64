import type { CueShape, FieldName } from "../telemetry/cue-shape.ts";
import { emptyRecord, mentionsSettings, type TelemetryRecord } from "../telemetry/record.ts";
import { type UnknownKeys, unknownKeys } from "../telemetry/unknown-keys.ts";
import { bracketedKeys } from "./bracketed-keys.ts";
import { type BracketedPair, readStretch } from "./bracketed-stretch.ts";
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

function startReading(rest: UnknownKeys): (cue: string, shape?: CueShape) => TelemetryRecord | undefined {
  const keys = bracketedKeys();
  const findClock = clockReader();
  return (cue, shape) => {
    const first = cue.indexOf("[");
    if (first < 0) return undefined;
    const record = emptyRecord();
    let known = 0;
    let brackets = 0;
    for (let open = first; open >= 0; brackets += 1) {
      const next = cue.indexOf("[", open + 1);
      const pairs =
        brackets < mostBrackets ? readStretch(cue, open, next < 0 ? cue.length : next, keys, rest) : undefined;
      if (pairs === undefined) {
        // A bracket that never closes was cut off: what it says is not whole.
        shape?.irregular();
        break;
      }
      for (const pair of pairs) {
        if (pair.key !== undefined) known += 1;
        // With a field stated twice the later one wins.
        if (pair.key?.field !== undefined) setField(record, pair.key.field, pair.key.read?.(pair.value));
        if (shape !== undefined) notePair(shape, pair);
      }
      open = next;
    }
    record.clock = findClock(cue, 0, first, shape);
    shape?.nothing(0, first);
    // One pair alone may be stage direction in a spoken subtitle; with a clock above it, it is not.
    return known >= 2 || (known === 1 && record.clock !== undefined) ? record : undefined;
  };
}

function notePair(shape: CueShape, { key, from, to }: BracketedPair): void {
  if (key?.field === undefined) shape.nothing(from, to);
  else if (key.range !== undefined) shape.number(from, to, key.field, key.range);
  else if (key.read !== undefined) shape.value(from, to, key.field, key.read);
}

/** The table of keys gives each field a reader of that field's type. */
const setField = (record: TelemetryRecord, field: FieldName, value: unknown): void => {
  (record as unknown as Record<FieldName, unknown>)[field] = value;
};
