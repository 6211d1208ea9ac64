import type { Dialect } from "../dialects/dialect.ts";
import { noteShape, type TextReader } from "./cue-shape.ts";
import { type CueTemplate, readByTemplate } from "./cue-template.ts";
import { learnTemplate } from "./learn-template.ts";
import { mostCueCharacters } from "./recognise.ts";
import type { Stated, TelemetryRecord } from "./record.ts";
import type { UnknownKeys } from "./unknown-keys.ts";

/** Cues in a row that fitted no template after which learning is tried only now and then. */
const mostLearnt = 8;
const learnEvery = 16;

/**
 * Reads the cue at a stretch of bytes; `text` gives that stretch as a string and is only called when it is needed.
 * Undefined when the cue cannot be read.
 */
export type CueReader = (
  bytes: Uint8Array,
  from: number,
  to: number,
  text: (from: number, to: number) => string,
) => TelemetryRecord | undefined;

/**
 * Begins reading the cues of one file. A cue is nearly the cue before it: where only numbers differ, only those are read,
 * straight from the bytes. Every other cue is read carefully by its dialect, which says what may change in the next.
 * The record is good until the next call.
 */
export function cueReader(dialect: Dialect, rest: UnknownKeys): CueReader {
  const readCarefully = dialect.startReading(rest);
  let template: CueTemplate | undefined;
  let missed = 0;
  const memories = new Map<TextReader, Map<number, Stated<unknown>>>();
  const memoryOf = (read: TextReader): Map<number, Stated<unknown>> => {
    const memory = memories.get(read) ?? new Map<number, Stated<unknown>>();
    memories.set(read, memory);
    return memory;
  };
  return (bytes, from, to, text) => {
    if (template !== undefined && readByTemplate(template, bytes, from, to)) {
      missed = 0;
      return template.record;
    }
    // A character has four bytes at most.
    if (to - from > 4 * mostCueCharacters) return undefined;
    const cue = text(from, to);
    if (cue.length > mostCueCharacters) return undefined;
    missed += 1;
    if (missed > mostLearnt && missed % learnEvery !== 0) return readCarefully(cue);
    const shape = noteShape();
    const record = readCarefully(cue, shape);
    if (record !== undefined) template = learnTemplate(cue, bytes, from, to, record, shape, memoryOf) ?? template;
    return record;
  };
}
