import { add, type EditEntry, ratio, type Seconds, seconds, subtract, compare, zero } from "@goodgate/model";
import { type Bytes, wide } from "./boxes.ts";

/** One entry of `elst` as stored. */
export interface Edit {
  /** In ticks of the movie. */
  readonly duration: number;
  /** In ticks of the media; −1 for an empty edit. */
  readonly mediaTime: number;
  /** Speed as 16.16 fixed point: 65536 is real time, 0 holds one picture. */
  readonly speed: number;
}

/** Edits read of one list. Cameras write one or two, editing programs some hundred. */
const mostEdits = 4096;

/** Reads `elst` (ISO/IEC 14496-12, section 8.6.6; fractions of speed as in QuickTime); undefined when it is too short. */
export function readEditList(bytes: Bytes, body: number, end: number): readonly Edit[] | undefined {
  const { view } = bytes;
  if (end - body < 8) return undefined;
  const long = view.getUint8(body) === 1;
  const count = view.getUint32(body + 4);
  const size = long ? 20 : 12;
  if (count > mostEdits || count * size > end - body - 8) return undefined;
  const edits: Edit[] = [];
  for (let entry = 0; entry < count; entry += 1) {
    const at = body + 8 + entry * size;
    const empty = view.getInt32(at + (long ? 8 : 4)) === -1;
    edits.push({
      duration: long ? wide(view, at) : view.getUint32(at),
      mediaTime: empty ? -1 : long ? wide(view, at + 8) : view.getInt32(at + 4),
      speed: view.getInt32(at + size - 4),
    });
  }
  return edits;
}

/** When a track is shown. */
export interface Presentation {
  readonly startSeconds: Seconds;
  readonly durationSeconds: Seconds;
  /** Added to a media time in ticks of the media to get the time on the file's clock; exact for the first real edit. */
  readonly shiftSeconds: Seconds;
}

/** What is needed to place a track: its clock, the movie's, and the ticks its samples span. */
export interface MediaSpan {
  readonly timescale: number;
  readonly movieTimescale: number;
  readonly firstTick: number;
  readonly endTick: number;
}

/** The largest tick count that is still exact. */
const largest = Number.MAX_SAFE_INTEGER;

/** Whether an edit list can be calculated with; a list that cannot is damage. */
export const editsAreSane = (edits: readonly Edit[]): boolean =>
  edits.every(
    ({ duration, mediaTime, speed }) =>
      Number.isSafeInteger(duration) &&
      Number.isSafeInteger(mediaTime) &&
      mediaTime >= -1 &&
      speed >= 0 &&
      duration < largest,
  );

/**
 * Start and length of a track as shown. Without edits the media plays as it is. Empty edits at the front are a delay;
 * an edit in real time shows no more than the media has, and one that ends within a tick of the movie of the media's
 * end shows all of it; an edit at another speed, or one that holds a picture, lasts as long as it says.
 */
export function presentationOf(edits: readonly Edit[], span: MediaSpan): Presentation {
  const { timescale, movieTimescale, firstTick, endTick } = span;
  const first = seconds(firstTick, timescale);
  const plain = { startSeconds: first, durationSeconds: seconds(endTick - firstTick, timescale), shiftSeconds: zero };
  const real = edits.findIndex((edit) => edit.mediaTime >= 0);
  const opening = edits[real];
  if (opening === undefined || movieTimescale === 0) return plain;
  let delay = 0;
  for (const edit of edits.slice(0, real)) delay += edit.duration;
  const delaySeconds = seconds(delay, movieTimescale);
  const shiftSeconds = subtract(delaySeconds, ratio(opening.mediaTime, timescale));
  const lateTicks = Math.max(0, firstTick - opening.mediaTime);
  const startSeconds = add(delaySeconds, ratio(lateTicks, timescale));
  let durationSeconds: Seconds = zero;
  const tick = ratio(1, movieTimescale);
  for (const edit of edits.slice(real)) {
    if (edit.mediaTime < 0) continue;
    const stated = seconds(edit.duration, movieTimescale);
    if (edit.speed !== 0x10000) {
      durationSeconds = add(durationSeconds, stated);
      continue;
    }
    const late = ratio(Math.max(0, firstTick - edit.mediaTime), timescale);
    const has = ratio(Math.max(0, endTick - Math.max(edit.mediaTime, firstTick)), timescale);
    // An edit that ends before the first picture shows nothing, not less than nothing.
    const shown = compare(stated, late) > 0 ? subtract(stated, late) : zero;
    // A length of zero means "to the end" in fragmented files.
    const all = edit.duration === 0 || compare(add(shown, tick), has) >= 0;
    durationSeconds = add(durationSeconds, all ? has : shown);
  }
  return { startSeconds, durationSeconds, shiftSeconds };
}

/** The edit list in the words of the trade. */
export const editEntries = (edits: readonly Edit[], timescale: number, movieTimescale: number): readonly EditEntry[] =>
  edits.map(({ duration, mediaTime, speed }) => ({
    durationSeconds: seconds(duration, movieTimescale),
    ...(mediaTime >= 0 ? { mediaSeconds: seconds(mediaTime, timescale) } : {}),
    speed: ratio(speed, 0x10000),
  }));
