import { arrowCues } from "./arrow-cues.ts";
import { assCues } from "./ass-cues.ts";
import type { CueBytes } from "./cue-bytes.ts";
import { type CueList, emptyCueList, pushCue } from "./cue-list.ts";
import type { CueSplitter } from "./cue-splitter.ts";

/** Bytes looked at for deciding what kind of subtitle file a text is. */
const headBytes = 8192;

/** Begins cutting a text into cues by what it contains, never by its name; undefined for a text without cues. */
export function cueSplitter(text: CueBytes): CueSplitter | undefined {
  const head = text.text(0, Math.min(headBytes, text.bytes.length));
  if (/^\s*\[Script Info\]/i.test(head) || /(?:^|\n)Dialogue:/i.test(head)) return assCues(text);
  return arrowCues(text, /^\s*WEBVTT/.test(head) ? "vtt" : "srt");
}

/** All cues of a text. */
export function splitCues(text: CueBytes): CueList {
  const splitter = cueSplitter(text);
  const cues = emptyCueList(splitter?.format ?? "srt", text);
  if (splitter === undefined) return cues;
  const push = (): boolean => {
    const { open, bodyTo } = splitter;
    return pushCue(cues, open.times[0] as number, open.times[1] as number, open.bodyFrom, bodyTo);
  };
  while (splitter.close()) {
    if (!push()) return cues;
    splitter.advance();
  }
  const isBroken = splitter.closeLast();
  if (push()) cues.brokenHeading = isBroken;
  return cues;
}
