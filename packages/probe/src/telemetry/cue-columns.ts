import { clockFold, type ClockFold } from "./clock-fold.ts";
import { type CueKernel, mostBlock } from "./cue-kernel.ts";
import { type FactField, factFields, isNumberFact } from "./fact-fold.ts";
import type { ClipTimes } from "./fold.ts";
import { type PositionFold, positionFold } from "./position-fold.ts";
import type { Stated, TelemetryRecord } from "./record.ts";

/**
 * What the cues of a text state of one fact: the places where that changes, the start of the cue there within the clip, and
 * what is stated from there on. A number stands as it is; of any other value its place in `objects`; what is no value (a
 * fault, nothing at all) is no number, and stands in `others` by its place in the column.
 */
export interface FactColumn {
  count: number;
  places: Int32Array;
  starts: Float64Array;
  values: Float64Array;
  /** Set for a fact whose values are no numbers, with the place of each. */
  readonly objects: Stated<unknown>[] | undefined;
  readonly objectPlaces: Map<Stated<unknown>, number>;
  readonly others: Map<number, Stated<unknown> | undefined>;
  /** What was stated last, unless the kernel added to it since. */
  last: Stated<unknown> | undefined;
}

/** Everything the cues of a text say, put together while they are read one after the other. */
export interface CueColumns {
  /** Cues so far; a cue without any text is none. */
  count: number;
  /** Start of each in microseconds, and the byte its text begins at; longer than `count`. */
  starts: Float64Array;
  froms: Uint32Array;
  /** End of the last in microseconds. */
  readonly lastEnd: Float64Array;
  /** Ends of all, which matter only where all begin at once. */
  readonly ends: ArrayLike<number> | undefined;
  /** End of the clip. */
  readonly clipEnd: number;
  /** Set when a cue begins before the one before it. */
  falls: boolean;
  /** Places of cues that cannot be read. */
  readonly unread: number[];
  readonly facts: Readonly<Record<FactField, FactColumn>>;
  readonly positions: PositionFold;
  readonly clock: ClockFold;
  /** Start of a cue within the clip, and its name. */
  startOf(place: number): number;
  nameOf(place: number): string;
}

/** Cues, and changes of one fact, there is room for at first. */
const roomForCues = 2048;
const roomForChanges = 64;

/** No cues yet; `nameOf` names a cue by its place, `ends` are those of a list. */
export function cueColumns(clip: ClipTimes, nameOf: (place: number) => string, ends?: ArrayLike<number>): CueColumns {
  const { microseconds = Number.POSITIVE_INFINITY } = clip;
  const column = (field: FactField): FactColumn => ({
    count: 0,
    places: new Int32Array(roomForChanges),
    starts: new Float64Array(roomForChanges),
    objects: isNumberFact(field) ? undefined : [],
    objectPlaces: new Map(),
    values: new Float64Array(roomForChanges),
    others: new Map(),
    last: undefined,
  });
  const columns: CueColumns = {
    count: 0,
    starts: new Float64Array(roomForCues),
    froms: new Uint32Array(roomForCues),
    lastEnd: new Float64Array(1),
    ends,
    clipEnd: microseconds,
    falls: false,
    unread: [],
    // One column for each of the names.
    facts: Object.fromEntries(factFields.map((field) => [field, column(field)])) as unknown as CueColumns["facts"],
    positions: positionFold(),
    clock: clockFold(),
    startOf: (place) => Math.max(0, Math.min(columns.starts[place] as number, microseconds)),
    nameOf,
  };
  return columns;
}

/** A longer copy of a list. */
function longer<List extends Float64Array | Int32Array | Uint32Array>(list: List, empty: List): List {
  empty.set(list);
  return empty;
}

/** Makes room for more cues: for twice as many, or for as many as are expected in all. */
function makeRoom(columns: CueColumns, more: number, expected = 0): void {
  const needed = columns.count + more;
  if (needed <= columns.starts.length) return;
  const length = Math.max(expected, 2 * needed);
  columns.starts = longer(columns.starts, new Float64Array(length));
  columns.froms = longer(columns.froms, new Uint32Array(length));
}

/** Makes room for more changes. */
export function makeRoomIn(column: FactColumn, more: number): void {
  if (column.count + more <= column.places.length) return;
  const length = 2 * (column.count + more);
  column.places = longer(column.places, new Int32Array(length));
  column.starts = longer(column.starts, new Float64Array(length));
  column.values = longer(column.values, new Float64Array(length));
}

/** Takes what one fact is from the cue at a place on, which starts at a time within the clip. */
export function stateFact(column: FactColumn, place: number, start: number, stated: Stated<unknown> | undefined): void {
  const { count, others } = column;
  // Dialects give the same object for the same text.
  if (stated !== undefined && stated === column.last) return;
  // Nothing was stated before, and still is not.
  if (stated === undefined && (count === 0 || (others.has(count - 1) && others.get(count - 1) === undefined))) return;
  makeRoomIn(column, 1);
  const isValue = stated !== undefined && "value" in stated;
  column.places[count] = place;
  column.starts[count] = start;
  column.values[count] = isValue ? columnValue(column, stated) : Number.NaN;
  if (!isValue) others.set(count, stated);
  column.count = count + 1;
  column.last = stated;
}

/** The number that stands for a value in a column. */
export function columnValue(
  { objects, objectPlaces }: FactColumn,
  stated: Stated<unknown> & { readonly value: unknown },
): number {
  if (objects === undefined) return stated.value as number;
  let known = objectPlaces.get(stated);
  if (known === undefined) {
    known = objects.push(stated) - 1;
    objectPlaces.set(stated, known);
  }
  return known;
}

/** Adds a cue that was read carefully; `times` are its start and end, its text begins at a byte. */
export function addRecord(
  columns: CueColumns,
  times: Float64Array,
  from: number,
  record: TelemetryRecord | undefined,
): void {
  makeRoom(columns, 1);
  const place = columns.count;
  const start = times[0] as number;
  if (place > 0 && start < (columns.starts[place - 1] as number)) columns.falls = true;
  columns.starts[place] = start;
  columns.lastEnd[0] = times[1] as number;
  columns.froms[place] = from;
  columns.count = place + 1;
  if (record === undefined) {
    columns.unread.push(place);
    return;
  }
  const within = columns.startOf(place);
  for (const field of factFields) stateFact(columns.facts[field], place, within, record[field]);
  columns.positions.add(record, within, () => columns.nameOf(place));
  if (record.clock !== undefined) columns.clock.add(record.clock, start);
}

/** What the cues of a template have in common. */
interface RepeatedCues {
  readonly hasClock: boolean;
  readonly hasFaultyPosition: boolean;
}

/** Takes over what the kernel hands over; so many cues are expected in all. */
export function addBlock(columns: CueColumns, kernel: CueKernel, cues: RepeatedCues, expected = 0): void {
  const { positions } = columns;
  const added = kernel.cues.value;
  if (added === 0) return;
  makeRoom(columns, added, expected);
  // Falls among those handed over the kernel tells; the first of them may fall behind what stands here.
  if (columns.count > 0 && (kernel.starts[0] as number) < (columns.starts[columns.count - 1] as number)) {
    columns.falls = true;
  }
  columns.starts.set(kernel.starts.subarray(0, added), columns.count);
  columns.lastEnd[0] = kernel.lastEnd.value;
  columns.froms.set(kernel.texts.subarray(0, added), columns.count);
  columns.count += added;
  columns.falls ||= kernel.falls.value !== 0;
  kernel.cues.value = 0;
  factFields.forEach((field, one) => {
    const count = kernel.seriesCounts[one] as number;
    if (count === 0) return;
    const column = columns.facts[field];
    const from = one * mostBlock;
    const to = from + count;
    makeRoomIn(column, count);
    column.places.set(kernel.seriesPlaces.subarray(from, to), column.count);
    column.starts.set(kernel.seriesStarts.subarray(from, to), column.count);
    column.values.set(kernel.seriesValues.subarray(from, to), column.count);
    column.count += count;
    column.last = undefined;
    kernel.seriesCounts[one] = 0;
  });
  columns.clock.addMoments(kernel.moments.subarray(0, 2 * kernel.clocks.value));
  if (cues.hasClock) columns.clock.repeat(added);
  kernel.clocks.value = 0;
  if (cues.hasFaultyPosition) positions.repeatFault(added);
  if (kernel.isFix.value === 0) return;
  const { path } = positions;
  positions.addMany(added, kernel.fixesByOrder.value);
  const more = kernel.fixes.value - path.count();
  if (more > 0) path.addThinned(more, kernel.keptFixes.subarray(0, 4 * kernel.kept.value), kernel.lastFix);
  kernel.kept.value = 0;
  kernel.fixesByOrder.value = 0;
  kernel.stride.value = path.stride();
}
