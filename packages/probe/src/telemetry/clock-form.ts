import type { CueKernel } from "./cue-kernel.ts";
import type { RecordClock } from "./record.ts";

/** Furthest a clock may end from the start of its cue; careful reading searches no further. */
const mostClockEnd = 400;
const form = /^\d{4}([-./])\d{1,2}\1\d{1,2}[ T] *\d{1,2}:\d{1,2}:(\d{1,2})(?:[.,](\d{1,6}))?(?:[.,](\d{3}))?$/;

/**
 * Tells the kernel how the clock of a cue is written, so that one written alike is read by place: here one that begins at a
 * byte. Without one, or with one that is written in another form, no other clock is read by place.
 */
export function layClock(
  kernel: CueKernel,
  clock: RecordClock | undefined,
  bytes: Uint8Array,
  from: number | undefined,
): void {
  const match = clock === undefined || from === undefined ? null : form.exec(clock.text);
  kernel.mostClockEnd.value = match === null ? 0 : mostClockEnd;
  if (match === null || clock === undefined || from === undefined) return;
  const [whole, , seconds = "", first = "", second = ""] = match;
  const secondsAt = whole.lastIndexOf(":") + 1;
  const firstAt = secondsAt + seconds.length + 1;
  const groups: number[] = [];
  if (first !== "") groups.push(firstAt, first.length, 10 ** (6 - first.length));
  if (second !== "") groups.push(firstAt + first.length + 1, 3, 1);
  kernel.secondsAt.value = secondsAt;
  kernel.secondsDigits.value = seconds.length;
  kernel.groups.set(groups);
  kernel.groupCount.value = groups.length / 3;
  kernel.lastClock.value = clock.microseconds;
  // The kernel reads in its own memory.
  kernel.window.set(bytes.subarray(from, from + whole.length));
  kernel.minute.value = clock.microseconds - kernel.pastMinute(kernel.windowAt);
}
