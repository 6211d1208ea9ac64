import type { CueBytes } from "./cue-bytes.ts";

/** Cues of one file: a cue a frame at 240 frames/s fills this in an hour and ten minutes. */
export const mostCues = 1_000_000;

/** The cues of one file, in the order they stand in it. Lists may be longer than `count`. */
export interface CueList extends CueBytes {
  readonly format: "srt" | "vtt" | "ass";
  readonly count: number;
  /** Start and end in microseconds, and the stretch of `bytes` that is the cue, without its counting number. */
  readonly starts: Float64Array;
  readonly ends: Float64Array;
  readonly from: Uint32Array;
  readonly to: Uint32Array;
  /** Set when text after the last whole cue belongs to a cue whose heading is cut off. */
  readonly brokenHeading: boolean;
  /** Set when the file holds more cues than are read. */
  readonly overflow: boolean;
}

/** A list while it is filled. */
export type GrowingCueList = { -readonly [Name in keyof CueList]: CueList[Name] };

/** Bytes of a cue a first guess at their number is made from; most have more. */
const usualCueBytes = 128;

/** An empty list over a text. */
export function emptyCueList(format: CueList["format"], text: CueBytes): GrowingCueList {
  const guess = Math.min(mostCues, 16 + Math.ceil(text.bytes.length / usualCueBytes));
  return {
    format,
    bytes: text.bytes,
    text: text.text,
    count: 0,
    starts: new Float64Array(guess),
    ends: new Float64Array(guess),
    from: new Uint32Array(guess),
    to: new Uint32Array(guess),
    brokenHeading: false,
    overflow: false,
  };
}

/** Adds a cue; false when the list holds as many as are read. */
export function pushCue(cues: GrowingCueList, start: number, end: number, from: number, to: number): boolean {
  const place = cues.count;
  if (place >= mostCues) {
    cues.overflow = true;
    return false;
  }
  if (place === cues.starts.length) grow(cues);
  cues.starts[place] = start;
  cues.ends[place] = end;
  cues.from[place] = from;
  cues.to[place] = to;
  cues.count = place + 1;
  return true;
}

function grow(cues: GrowingCueList): void {
  const length = 2 * cues.starts.length;
  const longer = <List extends Float64Array | Uint32Array>(list: List, empty: List): List => {
    empty.set(list);
    return empty;
  };
  cues.starts = longer(cues.starts, new Float64Array(length));
  cues.ends = longer(cues.ends, new Float64Array(length));
  cues.from = longer(cues.from, new Uint32Array(length));
  cues.to = longer(cues.to, new Uint32Array(length));
}
