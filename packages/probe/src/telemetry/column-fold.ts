import { type CueColumns, type FactColumn, makeRoomIn } from "./cue-columns.ts";
import { factFields, type FactFold } from "./fact-fold.ts";
import { type HeldTimes, heldTimes } from "./held-times.ts";
import type { FoldedTimes, Folds } from "./record-fold.ts";
import type { Sampled } from "./sampling.ts";
import { spacingOf, stepOf } from "./spacing.ts";
import { scanHoles, scanSteps } from "./start-scan.ts";

/**
 * Folds the columns that the cues of a text were put together in. Positions and clock have been folded while the cues
 * were read.
 */
export function foldColumns(facts: Folds["facts"], columns: CueColumns, sampled: Sampled | undefined): FoldedTimes {
  const { count, unread } = columns;
  const starts = columns.starts.subarray(0, count);
  const spacing = spacingOf(starts, scanSteps(starts));
  const step = stepOf(spacing, sampled);
  // A little less than a hole, whichever way its length is worked out.
  const holes = scanHoles(starts, step * 1.99);
  const times = heldTimes(columns, step, holes);
  for (const field of factFields) {
    // Cues that all begin at once end in any order: none may speak for the one before it.
    if (step === 0) foldAlone(facts[field], columns.facts[field], columns, times);
    else if (times.unbroken) foldUnbroken(facts[field], columns.facts[field], columns, times);
    else foldColumn(facts[field], columns.facts[field], columns, times);
  }
  return {
    starts,
    spacing,
    holes,
    records: count,
    unread: unread.length,
    covered: times.heldIn(0, count),
    end: times.end,
  };
}

function foldColumn(fold: FactFold<unknown>, column: FactColumn, columns: CueColumns, times: HeldTimes): void {
  for (let change = 0; change < column.count; change += 1) {
    const from = column.places[change] as number;
    const to = change + 1 < column.count ? (column.places[change + 1] as number) : columns.count;
    foldRun(fold, column, change, from, to, columns, times);
  }
}

function foldAlone(fold: FactFold<unknown>, column: FactColumn, columns: CueColumns, times: HeldTimes): void {
  for (let change = 0; change < column.count; change += 1) {
    const from = column.places[change] as number;
    const to = change + 1 < column.count ? (column.places[change + 1] as number) : columns.count;
    for (let place = from; place < to; place += 1) foldRun(fold, column, change, place, place + 1, columns, times);
  }
}

/** Folds a column of cues of which each holds until the next: the work of nearly every file. */
function foldUnbroken(fold: FactFold<unknown>, column: FactColumn, columns: CueColumns, times: HeldTimes): void {
  const { count, places, others, objects } = column;
  if (count === 0) return;
  // The start behind the last change is the end of it.
  makeRoomIn(column, 1);
  const { starts, values } = column;
  starts[count] = times.startOf(columns.count);
  if (others.size === 0 && objects === undefined && fold.numbers !== undefined) {
    fold.numbers(values.subarray(0, count), starts.subarray(0, count + 1), columns.count - (places[0] as number));
    return;
  }
  for (let change = 0; change < count; change += 1) {
    const from = places[change] as number;
    const to = change + 1 < count ? (places[change + 1] as number) : columns.count;
    const start = starts[change] as number;
    const end = starts[change + 1] as number;
    const value = values[change] as number;
    if (!Number.isNaN(value)) {
      const whole = objects === undefined ? value : (objects[value] as { readonly value: unknown }).value;
      fold.value(whole, start, end, end - start, to - from);
      continue;
    }
    const stated = others.get(change);
    if (stated !== undefined && "fault" in stated) fold.fault(stated.fault, to - from, () => columns.nameOf(from));
  }
}

/** Folds what the cues from one place to before another state alike. */
function foldRun(
  fold: FactFold<unknown>,
  { values, others, objects }: FactColumn,
  change: number,
  from: number,
  to: number,
  columns: CueColumns,
  times: HeldTimes,
): void {
  const value = values[change] as number;
  const stated = Number.isNaN(value) ? others.get(change) : (objects?.[value] ?? { value });
  const records = times.readIn(from, to);
  if (stated === undefined || records === 0) return;
  if ("fault" in stated) {
    fold.fault(stated.fault, records, () => columns.nameOf(from));
    return;
  }
  let last = to - 1;
  while (times.readIn(last, to) === 0) last -= 1;
  fold.value(stated.value, times.startOf(from), times.endOf(last), times.heldIn(from, to), records);
}
