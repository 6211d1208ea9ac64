import { clockForm } from "./clock-form.ts";
import type { NotedShape, ShapePart, TextReader } from "./cue-shape.ts";
import { clockGrammar, type CueTemplate, type Memory, saysNothing, slotBytes } from "./cue-template.ts";
import { grammar, numberEnd } from "./number-bytes.ts";
import type { TelemetryRecord } from "./record.ts";

/** Marks a value that is no slot. */
const fixed = -1;
/** Slots of one cue; dialects write up to 30. */
const mostSlots = 96;
/** Cues longer than this are read carefully, always. */
const mostShapeBytes = 2048;

/**
 * Makes the template of a cue that has just been read carefully; undefined for one that has no such shape. `text` is the
 * text of those bytes, `shape` speaks of places in it.
 */
export function learnTemplate(
  text: string,
  bytes: Uint8Array,
  from: number,
  to: number,
  record: TelemetryRecord,
  shape: NotedShape,
  memoryOf: (read: TextReader) => Memory,
): CueTemplate | undefined {
  if (!shape.usable || to - from > mostShapeBytes || bytes.subarray(from, to).includes(0)) return undefined;
  const placed = bytePlaces(text, from, to);
  if (placed === undefined) return undefined;
  if (shape.order !== "stated" && !bothStated(record)) return undefined;
  const slots = slotsOf(text, bytes, to, placed, record, shape);
  const count = slots.length;
  const literals: number[] = [];
  const literalEnds = new Int32Array(count + 1);
  const known = new Uint8Array(count * slotBytes);
  const lengths = new Int32Array(count);
  let at = from;
  slots.forEach((slot, place) => {
    literals.push(...bytes.subarray(at, slot.from));
    literalEnds[place] = literals.length;
    known.set(bytes.subarray(slot.from, slot.to), place * slotBytes);
    lengths[place] = slot.to - slot.from;
    at = slot.to;
  });
  literals.push(...bytes.subarray(at, to));
  literalEnds[count] = literals.length;
  const clockSlot = slots.findIndex(({ part }) => part.says.kind === "clock");
  const clock =
    clockSlot < 0 || record.clock === undefined
      ? undefined
      : clockForm(record.clock, known.subarray(clockSlot * slotBytes), lengths[clockSlot] as number);
  if (clock !== undefined) record.clock = clock.record;
  return {
    literals: Uint8Array.from(literals),
    literalEnds,
    known,
    lengths,
    grammars: Uint8Array.from(slots, ({ grammar }) => grammar),
    parts: slots.map(({ part }) => part),
    record,
    order: shape.order,
    clock,
    memories: slots.map(({ part: { says } }) => (says.kind === "value" ? memoryOf(says.read) : new Map())),
    changed: new Int32Array(count),
    froms: new Int32Array(count),
    tos: new Int32Array(count),
    stated: Array.from({ length: count }, () => undefined),
  };
}

const bothStated = ({ latitudeDegrees: latitude, longitudeDegrees: longitude }: TelemetryRecord): boolean =>
  latitude !== undefined && longitude !== undefined && "value" in latitude && "value" in longitude;

/** The byte at which each character of a cue begins; undefined when text and bytes are not the same in UTF-8 or Latin-1. */
function bytePlaces(text: string, from: number, to: number): Int32Array | undefined {
  const places = new Int32Array(text.length + 1);
  if (text.length === to - from) return places.map((_, place) => from + place);
  let at = from;
  for (let place = 0; place < text.length; place += 1) {
    places[place] = at;
    const code = text.charCodeAt(place);
    // Half of a pair: four bytes for both.
    at += code < 0x80 ? 1 : code < 0x800 || (code >= 0xd800 && code < 0xe000) ? 2 : 3;
  }
  places[text.length] = at;
  return at === to ? places : undefined;
}

interface Slot {
  readonly from: number;
  readonly to: number;
  readonly grammar: number;
  readonly part: ShapePart;
}

/** The slots by rising place; a part whose text is no plain number is none and stays as it is. */
function slotsOf(
  text: string,
  bytes: Uint8Array,
  cueTo: number,
  placed: Int32Array,
  record: TelemetryRecord,
  shape: NotedShape,
): readonly Slot[] {
  const found: Slot[] = [];
  const claim = (part: ShapePart, fromCharacter: number, toCharacter: number, bits: number): boolean => {
    const from = placed[fromCharacter] as number;
    const to = placed[toCharacter] as number;
    const isWhole = bits === clockGrammar || (bits >= 0 && numberEnd(bytes, from, cueTo, bits) === to);
    const isSlot = isWhole && to - from < slotBytes;
    if (isSlot) found.push({ from, to, grammar: bits, part });
    // A value that is no plain number stays as it is, also where it lies in a stretch that says nothing.
    else if (part.says.kind !== "nothing") found.push({ from, to, grammar: fixed, part });
    return isSlot;
  };
  const last = new Map<string, ShapePart>();
  for (const part of shape.parts) if ("field" in part.says) last.set(part.says.field, part);
  for (const part of shape.parts) {
    const { says, from, to, commaDecimal } = part;
    const decimal = grammar.minus | grammar.fraction | (commaDecimal ? grammar.comma : 0);
    if (says.kind === "clock") {
      claim(part, from, to, clockGrammar);
    } else if (says.kind === "nothing") {
      if (claim(part, from, to, decimal | saysNothing)) continue;
      for (const run of digitRuns(text, from, to)) claim(part, run[0], run[1], saysNothing);
    } else if (last.get(says.field) !== part) {
      // Of a field stated twice the later one counts.
      claim(part, from, to, decimal | grammar.slash | saysNothing);
    } else if (says.kind === "value") {
      claim(part, from, to, decimal | grammar.plus | grammar.slash);
    } else {
      const stated = record[says.field];
      // Faults of numbers are told by careful reading, each with its text.
      claim(part, from, to, stated !== undefined && "value" in stated ? decimal : fixed);
    }
  }
  found.sort((a, b) => a.from - b.from);
  const kept: Slot[] = [];
  for (const slot of found) {
    const before = kept[kept.length - 1];
    // Two slots without anything between them could not be told apart.
    if ((before === undefined || slot.from > before.to) && kept.length < mostSlots) kept.push(slot);
  }
  return kept.filter((slot) => slot.grammar !== fixed);
}

/** Runs of up to nine digits that are no part of a word. */
function digitRuns(text: string, from: number, to: number): readonly (readonly [number, number])[] {
  const runs: [number, number][] = [];
  for (const match of text.slice(from, to).matchAll(/\d+/g)) {
    const start = from + match.index;
    const end = start + match[0].length;
    const isWhole = !isDigit(text.charCodeAt(start - 1)) && !isDigit(text.charCodeAt(end));
    if (isWhole && !isInWord(text, start)) runs.push([start, end]);
  }
  return runs;
}

/** Characters before a number that are looked at for the word it may belong to; keys are shorter. */
const longestWord = 40;

/** Whether letters come before a place with nothing but digits, points and hyphens between. */
function isInWord(text: string, start: number): boolean {
  for (let at = start - 1; at >= Math.max(0, start - longestWord); at -= 1) {
    const sign = text.charAt(at);
    if (/[A-Za-z_]/.test(sign)) return true;
    if (!/[\d.-]/.test(sign)) return false;
  }
  return false;
}

const isDigit = (code: number): boolean => code >= 48 && code <= 57;
