import { clockReader } from "../dialects/clock.ts";
import { addBlock, columnValue, type CueColumns, type FactColumn, stateFact } from "./cue-columns.ts";
import { type CueKernel, slotKind } from "./cue-kernel.ts";
import type { TextReader } from "./cue-shape.ts";
import { written } from "./number-bytes.ts";
import type { Stated } from "./record.ts";

/**
 * A cue as stretches that stay and slots whose text may change: one that fits it states what the cue before states, but
 * for the slots that differ. Where they are and which numbers they hold stands in the kernel; here is what needs a dialect.
 */
export interface CueTemplate {
  /** Where the cue before begins in the text, and where its frame ends: behind the heading of the next, if it has one. */
  from: number;
  to: number;
  readonly values: readonly (SlotValue | undefined)[];
  /** Whether its cues have a clock, and whether their position is a fault. */
  readonly hasClock: boolean;
  readonly hasFaultyPosition: boolean;
}

/** How the text of a slot is read that is more than a number, and where that is put together. */
export interface SlotValue {
  readonly read: TextReader;
  readonly form: RegExp | undefined;
  readonly column: FactColumn;
}

/**
 * Reads what the kernel asks of the cue at hand, and takes it; false when it does not fit. What a text was read as, the
 * kernel remembers, but for faults and what says "not set".
 */
export function answer(template: CueTemplate, kernel: CueKernel, columns: CueColumns): boolean {
  const { changed, froms, tos, kinds, numbers, window, windowAt } = kernel;
  const changes = kernel.changes.value;
  let minute = kernel.minute.value;
  const odd: { readonly column: FactColumn; readonly stated: Stated<unknown> | undefined }[] = [];
  for (let change = 0; change < changes; change += 1) {
    const slot = changed[change] as number;
    const from = (froms[change] as number) - windowAt;
    const to = (tos[change] as number) - windowAt;
    if (kinds[slot] === slotKind.value && Number.isNaN(numbers[change])) {
      const { read, form, column } = template.values[slot] as SlotValue;
      const text = written(window, from, to);
      if (form !== undefined && !form.test(text)) return false;
      const stated = read(text);
      if (stated === undefined || "fault" in stated) odd.push({ column, stated });
      else kernel.tell(change, columnValue(column, stated));
    } else if (kinds[slot] === slotKind.clock && kernel.asksMinute.value !== 0) {
      const text = written(window, from, to);
      const clock = clockReader()(text, 0, text.length);
      // Times before 1970 are left to careful reading.
      if (clock === undefined || clock.text !== text || clock.microseconds < 0) return false;
      minute = clock.microseconds - kernel.pastMinute(from + windowAt);
    }
  }
  kernel.minute.value = minute;
  const place = kernel.place.value;
  const start = kernel.start.value;
  if (odd.length > 0) addBlock(columns, kernel, template);
  kernel.take();
  for (const { column, stated } of odd) stateFact(column, place, Math.max(0, Math.min(start, columns.clipEnd)), stated);
  return true;
}

/** Lays the cue before and the text from `from` on, as far as both fit, into the kernel's memory; the place it ends. */
export function fillWindow(
  template: CueTemplate,
  kernel: CueKernel,
  bytes: Uint8Array,
  from: number,
  to: number,
): number {
  const { window, windowAt } = kernel;
  const before = template.to - template.from;
  const end = Math.min(to, from + window.length - before);
  window.set(bytes.subarray(template.from, template.to));
  window.set(bytes.subarray(from, end), before);
  kernel.frameFrom.value = windowAt;
  kernel.frameTo.value = windowAt + before;
  kernel.cueFrom.value = windowAt + before;
  kernel.textAt.value = from - windowAt - before;
  return end;
}

/** Notes in the template which cue the kernel took last. */
export function keepFrame(template: CueTemplate, kernel: CueKernel, windowFrom: number): void {
  const { textAt, frameFrom, frameTo } = kernel;
  if (frameFrom.value + textAt.value < windowFrom) return;
  template.from = frameFrom.value + textAt.value;
  template.to = frameTo.value + textAt.value;
}
