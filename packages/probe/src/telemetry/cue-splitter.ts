import type { CueBytes } from "./cue-bytes.ts";

/** Where the heading of a cue stands and what it says. */
export interface CueHeading {
  /** Where its line begins, and where the text of its cue does. */
  lineFrom: number;
  bodyFrom: number;
  /** The texts of its two times. */
  startFrom: number;
  startTo: number;
  endFrom: number;
  endTo: number;
  /** The times themselves, in microseconds: start and end. */
  readonly times: Float64Array;
}

/** A heading that is still to be found. */
export const noHeading = (): CueHeading => ({
  lineFrom: 0,
  bodyFrom: 0,
  startFrom: 0,
  startTo: 0,
  endFrom: 0,
  endTo: 0,
  times: new Float64Array(2),
});

/**
 * Cuts a text into cues from the front, one cue at a time. There is always one open cue: its heading has been read, where
 * it ends has not been looked for.
 */
export interface CueSplitter extends CueBytes {
  readonly format: "srt" | "vtt" | "ass";
  /** Heading of the open cue. */
  readonly open: CueHeading;
  /** Heading of the cue behind it, once `close` has found one, and where the text of the open cue ends before it. */
  readonly next: CueHeading;
  bodyTo: number;
  /** Looks for the end of the open cue; false when it is the last of the text. */
  close(): boolean;
  /** Makes the next cue the open one. */
  advance(): void;
  /** Looks for the end of the last cue; true when text behind it belongs to a cue whose heading is cut off. */
  closeLast(): boolean;
}

/** Takes over what one heading says into another. */
export function copyHeading(from: CueHeading, to: CueHeading): void {
  to.lineFrom = from.lineFrom;
  to.bodyFrom = from.bodyFrom;
  to.startFrom = from.startFrom;
  to.startTo = from.startTo;
  to.endFrom = from.endFrom;
  to.endTo = from.endTo;
  to.times[0] = from.times[0] as number;
  to.times[1] = from.times[1] as number;
}
