/** Cues of one file: a cue a frame at 240 frames/s fills this in an hour and ten minutes. */
export const mostCues = 1_000_000;

/** The cues of one file, in the order they stand in it. */
export interface CueList {
  readonly format: "srt" | "vtt" | "ass";
  /** The decoded file. */
  readonly text: string;
  /** Start and end in microseconds, and the stretch of `text` that is the cue, without its counting number. */
  readonly starts: number[];
  readonly ends: number[];
  readonly from: number[];
  readonly to: number[];
  /** Set when text after the last whole cue belongs to a cue whose heading is cut off. */
  brokenHeading: boolean;
  /** Set when the file holds more cues than are read. */
  overflow: boolean;
}

/** An empty list over a text. */
export const emptyCueList = (format: CueList["format"], text: string): CueList => ({
  format,
  text,
  starts: [],
  ends: [],
  from: [],
  to: [],
  brokenHeading: false,
  overflow: false,
});
