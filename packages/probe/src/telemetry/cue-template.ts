import type { AxisOrder, ShapePart } from "./cue-shape.ts";
import { type ClockForm, keepClock, readClockForm } from "./clock-form.ts";
import { numberAt, numberEnd, textKey, written } from "./number-bytes.ts";
import type { Stated, TelemetryRecord } from "./record.ts";

/**
 * A cue as stretches that stay and slots whose text may change, with what each slot says. The record is the one the cue
 * gave when it was read carefully; a cue of the same shape changes it in the slots that differ, and nothing else is read.
 */
export interface CueTemplate {
  /** Bytes of the stretches that stay, one behind the other, and where each ends; the last follows the last slot. */
  readonly literals: Uint8Array;
  readonly literalEnds: Int32Array;
  /** Bytes each slot had in the cue before, `slotBytes` apart, and their count. */
  readonly known: Uint8Array;
  readonly lengths: Int32Array;
  /** Grammar of each slot, as `numberEnd` takes it, with `saysNothing` or instead of it `clockGrammar`. */
  readonly grammars: Uint8Array;
  readonly parts: readonly ShapePart[];
  readonly record: TelemetryRecord;
  readonly order: AxisOrder;
  readonly clock: ClockForm | undefined;
  /** For each slot what its texts were read as before. */
  readonly memories: readonly Memory[];
  /** Slots that differ in the cue at hand, where they lie, and what they state. */
  readonly changed: Int32Array;
  readonly froms: Int32Array;
  readonly tos: Int32Array;
  readonly stated: (Stated<unknown> | undefined)[];
}

/** Room for one slot: numbers that are read have at most 24 bytes, clocks mostly 27. */
export const slotBytes = 32;
const mostNumberBytes = 24;
/** Grammar of a slot that holds the clock; those of numbers are lower. */
export const clockGrammar = 255;
/** Bit of a number's grammar: a text that may say "not set". */
export const saysNothing = 32;

/** What the texts of one kind of value were read as, by their keys. */
export type Memory = Map<number, Stated<unknown>>;
/** Remembered for a text that says "not set". */
const notSet: Stated<unknown> = { fault: "" };
/** Texts remembered of one kind of value; a shutter list has about sixty. */
const mostRemembered = 4096;

/** Reads the cue at a stretch of bytes into the template's record; false when it is not of that shape. */
export function readByTemplate(template: CueTemplate, bytes: Uint8Array, from: number, to: number): boolean {
  const count = changedSlots(template, bytes, from, to);
  return count === 0 || (count > 0 && readChanges(template, bytes, from, count));
}

/** Finds the slots that differ from the cue before; how many, or -1 when the cue is of another shape. */
function changedSlots(template: CueTemplate, bytes: Uint8Array, from: number, to: number): number {
  const { literals, literalEnds, known, lengths, grammars, changed, froms, tos } = template;
  const slots = lengths.length;
  let at = from;
  let literal = 0;
  let count = 0;
  for (let slot = 0; slot <= slots; slot += 1) {
    const literalEnd = literalEnds[slot] as number;
    if (at + literalEnd - literal > to) return -1;
    for (; literal < literalEnd; literal += 1) {
      if (bytes[at] !== literals[literal]) return -1;
      at += 1;
    }
    if (slot === slots) break;
    const bits = grammars[slot] as number;
    if ((bits & saysNothing) !== 0 && bits !== clockGrammar) {
      at = numberEnd(bytes, at, to, bits);
      if (at < 0) return -1;
      continue;
    }
    const length = lengths[slot] as number;
    let place = slot * slotBytes;
    const placeEnd = place + length;
    let end = at;
    while (place < placeEnd && end < to && bytes[end] === known[place]) {
      end += 1;
      place += 1;
    }
    // What follows the slot begins with no digit: where it stands, the number has ended.
    if (place === placeEnd && (end === to || bytes[end] === literals[literal])) {
      at = end;
      continue;
    }
    end = bits === clockGrammar ? clockEnd(template, slot, bytes, at, to) : numberEnd(bytes, at, to, bits);
    if (end < 0 || end - at > slotBytes) return -1;
    changed[count] = slot;
    froms[count] = at;
    tos[count] = end;
    count += 1;
    at = end;
  }
  return at === to ? count : -1;
}

/** A clock has the digits where the one before had digits, and everything else alike. */
function clockEnd({ known, lengths }: CueTemplate, slot: number, bytes: Uint8Array, at: number, to: number): number {
  const length = lengths[slot] as number;
  if (at + length > to) return -1;
  const base = slot * slotBytes;
  for (let place = 0; place < length; place += 1) {
    const before = known[base + place] as number;
    const code = bytes[at + place] as number;
    if (code !== before && !(isDigit(code) && isDigit(before))) return -1;
  }
  return at + length;
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57;

/** Reads what the changed slots state and only then changes the record: a cue is taken whole or not at all. */
function readChanges(template: CueTemplate, bytes: Uint8Array, from: number, count: number): boolean {
  const { parts, record, changed, froms, tos, stated, known, lengths, order, memories } = template;
  let moved = false;
  let microseconds = -1;
  for (let place = 0; place < count; place += 1) {
    const at = froms[place] as number;
    const end = tos[place] as number;
    const { says } = parts[changed[place] as number] as ShapePart;
    if (says.kind === "number") {
      const value = numberAt(bytes, at, end, says.digits);
      if (Number.isNaN(value)) return false;
      // Without the sum a number south or west could be a negative zero.
      const signed = says.negative ? 0 - Math.abs(value) : value;
      if (signed < says.range[0] || signed > says.range[1]) return false;
      stated[place] = { value: signed };
      moved ||= says.field === "latitudeDegrees" || says.field === "longitudeDegrees";
    } else if (says.kind === "value") {
      const memory = memories[changed[place] as number] as Memory;
      const key = textKey(bytes, at, end);
      let value = memory.get(key);
      if (value === undefined) {
        if (end - at > mostNumberBytes) return false;
        const text = written(bytes, at, end);
        if (says.form !== undefined && !says.form.test(text)) return false;
        value = says.read(text) ?? notSet;
        if (memory.size >= mostRemembered) memory.clear();
        if (key >= 0) memory.set(key, value);
      }
      stated[place] = value === notSet ? undefined : value;
    } else if (says.kind === "clock") {
      if (template.clock === undefined || end - from > template.clock.mostFromStart) return false;
      microseconds = readClockForm(template.clock, bytes, at, end, known, (changed[place] as number) * slotBytes);
      if (microseconds < 0) return false;
    }
  }
  if (moved && order !== "stated" && !keepsOrder(template, count)) return false;
  for (let place = 0; place < count; place += 1) {
    const slot = changed[place] as number;
    const at = froms[place] as number;
    const end = tos[place] as number;
    const { says } = parts[slot] as ShapePart;
    if (says.kind === "number" || says.kind === "value") setField(record, says.field, stated[place]);
    else if (says.kind === "clock" && template.clock !== undefined) keepClock(template.clock, microseconds);
    lengths[slot] = end - at;
    for (let byte = at, to = slot * slotBytes; byte < end; byte += 1, to += 1) known[to] = bytes[byte] as number;
  }
  if (moved && order === "longitude first") {
    const latitude = valueOf(record.latitudeDegrees);
    const longitude = valueOf(record.longitudeDegrees);
    record.axesByOrder = Math.abs(longitude) <= 90 && (longitude !== 0 || latitude !== 0);
  }
  return true;
}

/** Whether a latitude that came first only because the other number is too large for one still does. */
function keepsOrder({ order, parts, changed, stated }: CueTemplate, count: number): boolean {
  if (order !== "latitude first") return true;
  for (let place = 0; place < count; place += 1) {
    const { says } = parts[changed[place] as number] as ShapePart;
    if (says.kind === "number" && says.field === "longitudeDegrees") {
      if (Math.abs(valueOf(stated[place] as Stated<number>)) <= 90) return false;
    }
  }
  return true;
}

const valueOf = (stated: Stated<number> | undefined): number =>
  stated !== undefined && "value" in stated ? stated.value : Number.NaN;

/** Parts name the readers of their fields, so each value is of its field's type. */
const setField = (record: TelemetryRecord, field: keyof TelemetryRecord, value: unknown): void => {
  (record as unknown as Record<keyof TelemetryRecord, unknown>)[field] = value;
};
