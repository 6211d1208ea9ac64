import type { Rate, Seconds } from "./quantities.ts";
import { divide, floor, isWhole, ratio } from "./ratio.ts";

/**
 * Labels skipped at the start of each minute but every tenth, in drop-frame counting: two at 30 labels a second, four
 * at 60, eight at 120; zero at any other count, for which drop-frame does not exist (SMPTE ST 12-1 and ST 12-3, known
 * here from public teaching of them).
 */
export const labelsSkippedPerMinute = (labelsPerSecond: number): number =>
  labelsPerSecond === 30 || labelsPerSecond === 60 || labelsPerSecond === 120 ? labelsPerSecond / 15 : 0;

/** Labels per second at a rate: the rate rounded up, 30 for 30000/1001. */
export const labelsPerSecondOf = (at: Rate): number => Number(isWhole(at) ? at.numerator : floor(at) + 1n);

/**
 * The timecode label of a frame count of zero or more, as SMPTE ST 12-1 counts (known here from public teaching of it);
 * after 24 hours it begins anew. Where drop-frame does not exist the count is plain.
 */
export function timecodeLabel(frame: number, labelsPerSecond: number, dropFrame: boolean): string {
  let count = frame;
  const drop = dropFrame ? labelsSkippedPerMinute(labelsPerSecond) : 0;
  if (drop > 0) {
    const perMinute = labelsPerSecond * 60 - drop;
    const perTen = labelsPerSecond * 600 - 9 * drop;
    const tens = Math.floor(frame / perTen);
    const rest = frame % perTen;
    count += 9 * drop * tens + (rest >= drop ? drop * Math.floor((rest - drop) / perMinute) : 0);
  }
  const frames = count % labelsPerSecond;
  const all = Math.floor(count / labelsPerSecond);
  const digits = labelsPerSecond > 100 ? 3 : 2;
  return `${two(Math.floor(all / 3600) % 24)}:${two(Math.floor(all / 60) % 60)}:${two(all % 60)}${drop > 0 ? ";" : ":"}${String(frames).padStart(digits, "0")}`;
}

const two = (value: number): string => String(value).padStart(2, "0");

/**
 * The frame count of a label; `;` or `.` before the frames means drop-frame. Undefined for text that is no label, for a
 * label that drop-frame counting skips, and for drop-frame at a count that has none.
 */
export function timecodeFrame(label: string, labelsPerSecond: number): number | undefined {
  const match = /^(\d{2}):(\d{2}):(\d{2})([:;.])(\d{2,3})$/.exec(label);
  if (match === null) return undefined;
  const [hours, minutes, secs, frames] = [match[1], match[2], match[3], match[5]].map(Number) as [
    number,
    number,
    number,
    number,
  ];
  if (hours > 23 || minutes > 59 || secs > 59 || frames >= labelsPerSecond) return undefined;
  const plain = labelsPerSecond * (3600 * hours + 60 * minutes + secs) + frames;
  if (match[4] === ":") return plain;
  const drop = labelsSkippedPerMinute(labelsPerSecond);
  if (drop === 0 || (secs === 0 && minutes % 10 !== 0 && frames < drop)) return undefined;
  const all = 60 * hours + minutes;
  return plain - drop * (all - Math.floor(all / 10));
}

/** Real time from 00:00:00:00 to a label at a rate; undefined for what `timecodeFrame` refuses. */
export function timecodeSeconds(label: string, at: Rate): Seconds | undefined {
  const frame = timecodeFrame(label, labelsPerSecondOf(at));
  return frame === undefined ? undefined : divide(ratio(frame), at);
}

/** Labels in a whole day: 2589408 in drop-frame at 30 labels a second. */
export const labelsPerDay = (labelsPerSecond: number, dropFrame: boolean): number =>
  86400 * labelsPerSecond - (dropFrame ? labelsSkippedPerMinute(labelsPerSecond) * 54 * 24 : 0);
