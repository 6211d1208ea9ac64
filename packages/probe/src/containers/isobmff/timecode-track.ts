import { type Timecode, timecodeLabel } from "@goodgate/model";
import { type Box, type Bytes, codeName } from "./boxes.ts";

/** A timecode sample entry (QuickTime file format, "Timecode sample description"). */
export interface TimecodeEntry {
  readonly dropFrame: boolean;
  readonly negative: boolean;
  /** Set when the samples count something else than time of day. */
  readonly counter: boolean;
  readonly timescale: number;
  readonly frameDuration: number;
  readonly labelsPerSecond: number;
}

/** Reads the entry; undefined when it is not `tmcd` or too short. */
export function readTimecodeEntry(bytes: Bytes, box: Box): TimecodeEntry | undefined {
  const { view } = bytes;
  const { body, end } = box;
  if (codeName(box.type) !== "tmcd" || end - body < 25) return undefined;
  const flags = view.getUint32(body + 12);
  return {
    dropFrame: (flags & 1) !== 0,
    negative: (flags & 4) !== 0,
    counter: (flags & 8) !== 0,
    timescale: view.getUint32(body + 16),
    frameDuration: view.getUint32(body + 20),
    labelsPerSecond: view.getUint8(body + 24),
  };
}

/** The first label of a timecode track, or why there is none. `sample` is its first sample: a frame count. */
export function firstTimecode(
  entry: TimecodeEntry,
  sample: Uint8Array,
): Timecode | { readonly absent: string } | { readonly damaged: string } {
  if (entry.counter) return { absent: "the timecode track holds a counter, no time of day" };
  if (sample.length < 4) return { damaged: "the timecode sample lies past the end of the file" };
  const { dropFrame, labelsPerSecond } = entry;
  if (labelsPerSecond === 0) return { damaged: "the timecode track counts 0 frames a second" };
  // Drop-frame counting is defined for the 30 family alone (SMPTE ST 12-1, known here from public teaching of it).
  if (dropFrame && labelsPerSecond % 30 !== 0) return { damaged: `drop-frame with ${labelsPerSecond} frames a second` };
  const view = new DataView(sample.buffer, sample.byteOffset, sample.byteLength);
  const startFrame = entry.negative ? view.getInt32(0) : view.getUint32(0);
  if (startFrame < 0) return { absent: `the timecode starts before zero (${startFrame} frames)` };
  return { start: timecodeLabel(startFrame, labelsPerSecond, dropFrame), dropFrame, labelsPerSecond, startFrame };
}
