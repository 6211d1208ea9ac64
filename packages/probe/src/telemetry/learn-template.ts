import { layClock } from "./clock-form.ts";
import type { CueColumns } from "./cue-columns.ts";
import { axesCode, type CueKernel, fieldCode, mostSlots, slotKind } from "./cue-kernel.ts";
import type { NotedShape, ShapePart, TextReader } from "./cue-shape.ts";
import type { CueHeading } from "./cue-splitter.ts";
import type { CueTemplate, SlotValue } from "./cue-template.ts";
import { isFactField } from "./fact-fold.ts";
import { grammar, numberEnd } from "./number-bytes.ts";
import type { Stated, TelemetryRecord } from "./record.ts";

/** Marks a value that is no slot. */
const fixed = -1;
/** Stands for the grammar of the clock, whose digits may change and nothing else. */
const clockDigits = -2;
/** Bit of a number's grammar: it says nothing. */
const saysNothing = 32;
/** Slots of one cue without its heading; dialects write up to 30. */
const mostCueSlots = 90;
/** Bytes of one slot: numbers that are read have at most 24, clocks mostly 27. */
const mostSlotBytes = 32;
/** Cues longer than this, up to the text of the next, are read carefully, always. */
const mostShapeBytes = 2048;

/** A cue that has just been read carefully. */
export interface ReadCue {
  readonly text: string;
  readonly bytes: Uint8Array;
  readonly from: number;
  readonly to: number;
  /** Heading of the cue behind it, where both stand in one text. */
  readonly next: CueHeading | undefined;
  readonly record: TelemetryRecord;
  /** Speaks of places in `text`. */
  readonly shape: NotedShape;
}

/** Makes the template of a cue and lays it into the kernel; undefined for one that has no such shape. */
export function learnTemplate(
  cue: ReadCue,
  kernel: CueKernel,
  columns: CueColumns,
  readerNumber: (read: TextReader) => number,
): CueTemplate | undefined {
  const { text, bytes, from, to, next, record, shape } = cue;
  const frameTo = next?.bodyFrom ?? to;
  if (!shape.usable || frameTo - from > mostShapeBytes || bytes.subarray(from, to).includes(0)) return undefined;
  const placed = bytePlaces(text, from, to);
  if (placed === undefined) return undefined;
  if (shape.order !== "stated" && !bothStated(record)) return undefined;
  const heading = next === undefined ? [] : headingSlots(cue, next);
  if (heading === undefined) return undefined;
  const slots = [...slotsOf(text, bytes, to, placed, record, shape), ...heading];
  if (slots.length > mostSlots) return undefined;
  slots.forEach((slot, place) => {
    kernel.gaps[place] = slot.from - (slots[place - 1]?.to ?? from);
    kernel.lengths[place] = slot.to - slot.from;
    kernel.kinds[place] = slot.kind;
    kernel.grammars[place] = slot.grammar;
    const says = slot.part?.says;
    if (slot.kind === slotKind.value && says?.kind === "value") {
      kernel.readers[place] = readerNumber(says.read);
      kernel.fields[place] = fieldCode(says.field);
    }
    if (slot.kind !== slotKind.number || says?.kind !== "number") return;
    const { field, range, digits, negative } = says;
    kernel.ranges.set(range, 2 * place);
    kernel.digits.set(digits, 2 * place);
    kernel.negatives[place] = negative ? 1 : 0;
    kernel.fields[place] = fieldCode(field);
  });
  kernel.slots.value = slots.length;
  kernel.gaps[slots.length] = frameTo - (slots[slots.length - 1]?.to ?? from);
  kernel.axes.value = axesCode[shape.order];
  layPosition(kernel, record);
  const clockAt = slots.find(({ kind }) => kind === slotKind.clock)?.from;
  layClock(kernel, record.clock, bytes, clockAt);
  return {
    from,
    to: frameTo,
    values: slots.map(({ kind, part }): SlotValue | undefined => {
      if (kind !== slotKind.value || part?.says.kind !== "value") return undefined;
      const { field, read, form } = part.says;
      if (!isFactField(field)) return undefined;
      return { read, form, column: columns.facts[field] };
    }),
    hasClock: record.clock !== undefined,
    hasFaultyPosition:
      record.latitudeDegrees !== undefined && record.longitudeDegrees !== undefined && !bothStated(record),
  };
}

/** Tells the kernel which position the cue before states. */
function layPosition(kernel: CueKernel, record: TelemetryRecord): void {
  const { latitudeDegrees: latitude, longitudeDegrees: longitude, altitudeMetres: altitude } = record;
  const isFix = bothStated(record);
  kernel.isFix.value = isFix ? 1 : 0;
  kernel.byOrder.value = record.axesByOrder ? 1 : 0;
  kernel.latitude.value = numberOf(latitude);
  kernel.longitude.value = numberOf(longitude);
  kernel.altitude.value = numberOf(altitude);
}

const numberOf = (stated: Stated<number> | undefined): number =>
  stated !== undefined && "value" in stated ? stated.value : Number.NaN;

/** A last line that could be taken for the counting number of the next cue, were its text another. */
const numberLine = /(?:^|\n)[\d+.,/-]*$/;

/** The slots behind a cue: the next one's counting number and times; undefined when its end could come to lie elsewhere. */
function headingSlots({ text, bytes, to }: ReadCue, next: CueHeading): readonly Slot[] | undefined {
  let countTo = next.lineFrom;
  while (countTo > to && (bytes[countTo - 1] as number) <= 32) countTo -= 1;
  let countFrom = countTo;
  while (countFrom > to && isDigit(bytes[countFrom - 1] as number)) countFrom -= 1;
  if (text.includes("-->") || (countFrom === countTo && numberLine.test(text.trimEnd()))) return undefined;
  const { startFrom, startTo, endFrom, endTo } = next;
  const slots: Slot[] = [
    { from: countFrom, to: countTo, grammar: 0, kind: slotKind.nothing },
    { from: startFrom, to: startTo, grammar: 0, kind: slotKind.start },
    { from: endFrom, to: endTo, grammar: 0, kind: slotKind.end },
  ];
  const inOrder = slots.filter((slot) => slot.to > slot.from).sort((a, b) => a.from - b.from);
  return inOrder.every((slot) => slot.to - slot.from <= mostSlotBytes) ? inOrder : undefined;
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
  readonly kind: number;
  readonly grammar: number;
  readonly part?: ShapePart;
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
    const isWhole = bits === clockDigits || (bits >= 0 && numberEnd(bytes, from, cueTo, bits) === to);
    const isSlot = isWhole && to - from < mostSlotBytes;
    const kind = (bits & saysNothing) === 0 || bits < 0 ? slotKind[part.says.kind] : slotKind.nothing;
    if (isSlot) found.push({ from, to, kind, grammar: Math.max(0, bits), part });
    // A value that is no plain number stays as it is, also where it lies in a stretch that says nothing.
    else if (part.says.kind !== "nothing") found.push({ from, to, kind: fixed, grammar: 0, part });
    return isSlot;
  };
  const last = new Map<string, ShapePart>();
  for (const part of shape.parts) if ("field" in part.says) last.set(part.says.field, part);
  for (const part of shape.parts) {
    const { says, from, to, commaDecimal } = part;
    const decimal = grammar.minus | grammar.fraction | (commaDecimal ? grammar.comma : 0);
    if (says.kind === "clock") {
      claim(part, from, to, clockDigits);
    } else if (says.kind === "nothing") {
      if (claim(part, from, to, decimal | saysNothing)) continue;
      for (const run of digitRuns(text, from, to)) claim(part, run[0], run[1], saysNothing);
    } else if (last.get(says.field) !== part) {
      // Of a field stated twice the later one counts.
      claim(part, from, to, decimal | grammar.slash | saysNothing);
    } else if (says.kind === "value") {
      if (!isFactField(says.field)) claim(part, from, to, fixed);
      else claim(part, from, to, decimal | grammar.plus | grammar.slash);
    } else {
      const stated = record[says.field];
      // Faults of numbers are told by careful reading, each with its text.
      const isNumber = stated !== undefined && "value" in stated;
      claim(part, from, to, isNumber ? decimal : fixed);
    }
  }
  found.sort((a, b) => a.from - b.from);
  const kept: Slot[] = [];
  for (const slot of found) {
    const before = kept[kept.length - 1];
    // Two slots without anything between them could not be told apart.
    if ((before === undefined || slot.from > before.to) && kept.length < mostCueSlots) kept.push(slot);
  }
  return kept.filter((slot) => slot.kind !== fixed);
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
