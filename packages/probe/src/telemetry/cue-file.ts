import { damaged } from "@goodgate/model";
import type { TelemetryFacts } from "../contracts.ts";
import { splitCues } from "./cues.ts";
import type { CueList } from "./cue-list.ts";
import { decodeText } from "./decode-text.ts";
import { type ClipTimes, foldTelemetry } from "./fold.ts";
import { guessContent, mostCueCharacters, placesToLookAt, recognise } from "./recognise.ts";
import { isCutOff } from "./tail.ts";
import { unknownKeys } from "./unknown-keys.ts";

/** Bytes of one subtitle sidecar that are read: an hour at 240 frames/s of 70-byte cues, or 3 h at 25 of 240-byte ones. */
export const mostCueFileBytes = 64 * 1024 * 1024;
/** Bytes of a longer file that are looked at to say whether it is telemetry. */
const headBytes = 64 * 1024;

/**
 * Reads a subtitle file (SubRip, WebVTT, ASS) that carries camera settings; recognised by what it contains. `path` is the
 * path inside the card and only named. `notTelemetry` says what the file seems to be instead. Never throws.
 */
export function readCueFile(
  bytes: Uint8Array,
  path: string,
  clip: ClipTimes,
): TelemetryFacts | { readonly notTelemetry: string } {
  if (bytes.length > mostCueFileBytes) return tooLong(bytes, path);
  const cues = splitCues(decodeText(bytes));
  if (cues.starts.length === 0) return { notTelemetry: "no subtitle cues" };
  const tail = cutTail(cues);
  const order = timeOrder(cues, cues.starts.length - tail.cues);
  const cue = (place: number): string => cues.text.slice(cues.from[place], cues.to[place]);
  const looked = placesToLookAt(order.length).map((place) => cue(order[place] as number));
  const dialect = recognise(looked);
  if (dialect === undefined) {
    const content = guessContent(looked);
    return { notTelemetry: content === "nothing" ? "no text in its cues" : content };
  }

  const rest = unknownKeys();
  const readCue = dialect.startReading(rest);
  const filled = order.filter((place) => (cues.to[place] as number) > (cues.from[place] as number));
  const remarks = [...tail.remarks];
  if (cues.overflow) remarks.push(`Only the first ${cues.starts.length} cues were read.`);
  return foldTelemetry({
    dialect: dialect.id,
    file: path,
    place: `cues 1 to ${cues.starts.length}`,
    streams: [
      {
        starts: filled.map((place) => cues.starts[place] as number),
        ends: filled.map((place) => cues.ends[place] as number),
        record(at) {
          const place = filled[at] as number;
          const length = (cues.to[place] as number) - (cues.from[place] as number);
          return length > mostCueCharacters ? undefined : readCue(cue(place));
        },
      },
    ],
    nameOf: (_, at) => `cue ${(filled[at] as number) + 1}`,
    clip,
    rest,
    unreadRecords: tail.unread,
    remarks,
    clockSource: "camera",
  });
}

/** The last cue, when the file was cut off inside it: not counted among the records. */
function cutTail(cues: CueList): { cues: number; unread: number; remarks: readonly string[] } {
  const count = cues.starts.length;
  if (cues.overflow) return { cues: 0, unread: 0, remarks: [] };
  if (cues.brokenHeading) return { cues: 0, unread: 1, remarks: [says(count + 1)] };
  const text = (place: number): string => cues.text.slice(cues.from[place], cues.to[place]);
  // A cue of lines is whole once a blank line follows; a file may also be cut at a line break inside it.
  const ending = cues.text.slice(-4).replaceAll("\r", "");
  if (ending.endsWith("\n\n") || (cues.format === "ass" && ending.endsWith("\n"))) {
    return { cues: 0, unread: 0, remarks: [] };
  }
  const before = count > 1 ? text(count - 2) : undefined;
  return isCutOff(text(count - 1), before)
    ? { cues: 1, unread: 1, remarks: [says(count)] }
    : { cues: 0, unread: 0, remarks: [] };
}

/** Places of the cues by rising start; files in order, which is nearly all, cost one pass. */
function timeOrder(cues: CueList, count: number): number[] {
  const order = Array.from({ length: count }, (_, place) => place);
  const rising = order.every(
    (place) => place === 0 || (cues.starts[place] as number) >= (cues.starts[place - 1] as number),
  );
  return rising ? order : order.sort((a, b) => (cues.starts[a] as number) - (cues.starts[b] as number) || a - b);
}

function tooLong(bytes: Uint8Array, path: string): TelemetryFacts | { readonly notTelemetry: string } {
  const head = readCueFile(bytes.subarray(0, headBytes), path, {});
  if ("notTelemetry" in head) return head;
  const why = `${bytes.length} bytes of text telemetry; at most ${mostCueFileBytes} are read`;
  return { telemetry: damaged(why, { kind: "per-frame record", file: path, place: "whole file" }) };
}

const says = (cue: number): string => `The file ends inside cue ${cue}: it was cut off, the cues before it were read.`;
