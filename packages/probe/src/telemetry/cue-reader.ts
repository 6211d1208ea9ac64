import type { Dialect } from "../dialects/dialect.ts";
import type { CueBytes } from "./cue-bytes.ts";
import { addBlock, addRecord, type CueColumns } from "./cue-columns.ts";
import { cueKernel, type CueKernel, ending, mostBlock, slotKind } from "./cue-kernel.ts";
import { noteShape, type TextReader } from "./cue-shape.ts";
import type { CueHeading, CueSplitter } from "./cue-splitter.ts";
import { answer, type CueTemplate, fillWindow, keepFrame } from "./cue-template.ts";
import { learnTemplate } from "./learn-template.ts";
import { written } from "./number-bytes.ts";
import { mostCueCharacters } from "./recognise.ts";
import type { UnknownKeys } from "./unknown-keys.ts";

/** Cues in a row that fitted no template after which learning is tried only now and then. */
const mostLearnt = 8;
const learnEvery = 16;
/** Bytes a cue may be longer than the one before it, where more text than that is at hand. */
const spareBytes = 256;

/** Readers of values so far, of all texts: what the kernel remembers of one belongs to no other. */
let readers = 0;

/**
 * Reads the cues of one text into columns. A cue is nearly the cue before it: where only numbers differ, only those are
 * read, straight from the bytes. Every other cue is read carefully by its dialect, which says what may change in the next.
 */
export interface CueReader {
  /**
   * Reads one cue carefully; `times` are its start and end in microseconds. `next` is the heading of the cue behind it, where
   * both stand in one text.
   */
  readCarefully(text: CueBytes, from: number, to: number, times: Float64Array, next?: CueHeading): void;
  /** Reads the open cue and those behind it as long as each fits the one before; the first that does not is left open. */
  readFitting(splitter: CueSplitter): void;
  /** Reads one cue of a list if it fits the one before. */
  readIfFitting(bytes: Uint8Array, from: number, to: number, times: Float64Array): boolean;
}

/** Begins reading the cues of one text. */
export function cueReader(dialect: Dialect, rest: UnknownKeys, columns: CueColumns): CueReader {
  const read = dialect.startReading(rest);
  const kernel = cueKernel();
  empty(kernel);
  let template: CueTemplate | undefined;
  let missed = 0;
  const numbers = new Map<TextReader, number>();
  const readerNumber = (reader: TextReader): number => {
    const number = numbers.get(reader) ?? (readers += 1);
    numbers.set(reader, number);
    return number;
  };
  return {
    readCarefully(text, from, to, times, next) {
      // What the next cue states is told by the cue right before it, or not at all.
      template = undefined;
      const { bytes } = text;
      // A character has four bytes at most.
      const cue = to < from || to - from > 4 * mostCueCharacters ? undefined : text.text(from, to);
      if (cue === undefined || cue.length > mostCueCharacters) {
        addRecord(columns, times, from, undefined);
        return;
      }
      missed += 1;
      const shape = missed > mostLearnt && missed % learnEvery !== 0 ? undefined : noteShape();
      const record = read(cue, shape);
      addRecord(columns, times, from, record);
      if (record === undefined || shape === undefined) return;
      template = learnTemplate({ text: cue, bytes, from, to, next, record, shape }, kernel, columns, readerNumber);
    },
    readFitting({ bytes, open }) {
      if (template === undefined) return;
      const before = columns.count;
      begin(kernel, columns, open.times);
      open.bodyFrom = readFrames(template, kernel, bytes, open.bodyFrom, columns);
      open.times[0] = kernel.start.value;
      open.times[1] = kernel.end.value;
      if (columns.count === before) return;
      missed = 0;
      noteClock(template, kernel, bytes, columns);
    },
    readIfFitting(bytes, from, to, times) {
      if (template === undefined || to - from > spareBytes + template.to - template.from) return false;
      begin(kernel, columns, times);
      fillWindow(template, kernel, bytes, from, to);
      const at = kernel.cueFrom.value;
      const how = kernel.one(at, at + to - from);
      if (how === ending.misfit || (how === ending.asks && !answer(template, kernel, columns))) return false;
      addBlock(columns, kernel, template);
      keepFrame(template, kernel, from);
      noteClock(template, kernel, bytes, columns);
      missed = 0;
      return true;
    },
  };
}

/** Forgets what a reading that was broken off may have left behind. */
function empty(kernel: CueKernel): void {
  kernel.cues.value = 0;
  kernel.kept.value = 0;
  kernel.clocks.value = 0;
  kernel.fixesByOrder.value = 0;
  kernel.seriesCounts.fill(0);
}

/** Tells the kernel where the columns are. */
function begin(kernel: CueKernel, { count, positions, clipEnd }: CueColumns, times: Float64Array): void {
  kernel.place.value = count;
  kernel.start.value = times[0] as number;
  kernel.end.value = times[1] as number;
  kernel.falls.value = 0;
  kernel.clipEnd.value = clipEnd;
  kernel.fixes.value = positions.path.count();
  kernel.stride.value = positions.path.stride();
}

/** Reads cues that follow one another; gives where the text of the first begins that does not fit. */
function readFrames(
  template: CueTemplate,
  kernel: CueKernel,
  bytes: Uint8Array,
  first: number,
  columns: CueColumns,
): number {
  let from = first;
  // A few cues first: in some files every other one is of another form.
  let room = 4 * (template.to - template.from + spareBytes);
  for (;;) {
    const end = fillWindow(template, kernel, bytes, from, Math.min(bytes.length, from + room));
    const spare = end === bytes.length ? 0 : spareBytes;
    // Cues that follow are about as long as the one before.
    const expected = columns.count + Math.ceil((1.02 * (bytes.length - from)) / (template.to - template.from));
    const how = readWindow(template, kernel, end - kernel.textAt.value, spare, columns, expected);
    keepFrame(template, kernel, from);
    const next = kernel.cueFrom.value + kernel.textAt.value;
    if (how !== ending.outside || next === from || spare === 0) return next;
    from = next;
    room = bytes.length;
  }
}

function readWindow(
  template: CueTemplate,
  kernel: CueKernel,
  limit: number,
  spare: number,
  columns: CueColumns,
  expected: number,
): number {
  for (;;) {
    const how = kernel.walk(limit, spare, mostBlock);
    if (how === ending.asks && answer(template, kernel, columns)) continue;
    addBlock(columns, kernel, template, expected);
    if (how !== ending.enough || columns.falls) return how;
  }
}

/** Notes where the clock stands of a cue that the kernel took last. */
function noteClock(template: CueTemplate, kernel: CueKernel, bytes: Uint8Array, { clock }: CueColumns): void {
  const slot = template.hasClock ? kernel.kinds.subarray(0, kernel.slots.value).indexOf(slotKind.clock) : -1;
  if (slot < 0) return;
  let to = template.from;
  for (let place = 0; place <= slot; place += 1) {
    to += (kernel.gaps[place] as number) + (kernel.lengths[place] as number);
  }
  const from = to - (kernel.lengths[slot] as number);
  clock.lastText = () => written(bytes, from, to);
}

/** Cues of a list; one that ends before it begins cannot be read. */
export type ListedCues = CueBytes & {
  readonly count: number;
  /** Start and end of each in microseconds. */
  readonly starts: ArrayLike<number>;
  readonly ends: ArrayLike<number>;
  readonly from: ArrayLike<number>;
  readonly to: ArrayLike<number>;
};

/** Reads the cues of a list. */
export function readCues(cues: ListedCues, dialect: Dialect, rest: UnknownKeys, columns: CueColumns): void {
  const reader = cueReader(dialect, rest, columns);
  const times = new Float64Array(2);
  for (let place = 0; place < cues.count; place += 1) {
    const from = cues.from[place] as number;
    const to = cues.to[place] as number;
    times[0] = cues.starts[place] as number;
    times[1] = cues.ends[place] as number;
    if (!reader.readIfFitting(cues.bytes, from, to, times)) reader.readCarefully(cues, from, to, times);
  }
}
