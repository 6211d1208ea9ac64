import { type Timecode, timecodeFrame } from "@goodgate/model";

/** A timecode from its label; undefined for labels that do not exist at that count of labels per second. */
export function parseTimecode(label: string, labelsPerSecond: number): Timecode | undefined {
  const written = label.trim().replace(/^(\d{2}:\d{2}:\d{2})[;.](\d{2,3})$/, "$1;$2");
  if (!Number.isInteger(labelsPerSecond) || labelsPerSecond < 1) return undefined;
  const startFrame = timecodeFrame(written, labelsPerSecond);
  return startFrame === undefined
    ? undefined
    : { start: written, dropFrame: written.includes(";"), labelsPerSecond, startFrame };
}
