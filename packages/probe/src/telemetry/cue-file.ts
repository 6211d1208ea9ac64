import { damaged } from "@goodgate/model";
import type { TelemetryFacts } from "../contracts.ts";
import { cueBytes } from "./cue-bytes.ts";
import type { CueList } from "./cue-list.ts";
import { cueReader } from "./cue-reader.ts";
import { splitCues } from "./cues.ts";
import { type ClipTimes, foldTelemetry } from "./fold.ts";
import { guessContent, placesToLookAt, recognise } from "./recognise.ts";
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
  const cues = splitCues(cueBytes(bytes));
  if (cues.count === 0) return { notTelemetry: "no subtitle cues" };
  const tail = cutTail(cues);
  const order = inTimeOrder(cues, cues.count - tail.cues);
  const looked = placesToLookAt(order.count).map((place) => cues.text(order.from[place] ?? 0, order.to[place] ?? 0));
  const dialect = recognise(looked);
  if (dialect === undefined) {
    const content = guessContent(looked);
    return { notTelemetry: content === "nothing" ? "no text in its cues" : content };
  }

  const rest = unknownKeys();
  const readCue = cueReader(dialect, rest);
  const filled = withoutEmpty(order);
  const remarks = [...tail.remarks];
  if (cues.overflow) remarks.push(`Only the first ${cues.count} cues were read.`);
  return foldTelemetry({
    dialect: dialect.id,
    file: path,
    place: `cues 1 to ${cues.count}`,
    streams: [
      {
        starts: filled.starts.subarray(0, filled.count),
        ends: filled.ends.subarray(0, filled.count),
        record: (at) => readCue(cues.bytes, filled.from[at] as number, filled.to[at] as number, cues.text),
      },
    ],
    nameOf: (_, at) => `cue ${(filled.numbers?.[at] ?? at) + 1}`,
    clip,
    rest,
    unreadRecords: tail.unread,
    remarks,
    clockSource: "camera",
  });
}

/** The last cue, when the file was cut off inside it: not counted among the records. */
function cutTail(cues: CueList): { cues: number; unread: number; remarks: readonly string[] } {
  const { count, bytes } = cues;
  if (cues.overflow) return { cues: 0, unread: 0, remarks: [] };
  if (cues.brokenHeading) return { cues: 0, unread: 1, remarks: [says(count + 1)] };
  const text = (place: number): string => cues.text(cues.from[place] as number, cues.to[place] as number);
  // A cue of lines is whole once a blank line follows; a file may also be cut at a line break inside it.
  const ending = Buffer.from(bytes.subarray(-4)).toString("latin1").replaceAll("\r", "");
  if (ending.endsWith("\n\n") || (cues.format === "ass" && ending.endsWith("\n"))) {
    return { cues: 0, unread: 0, remarks: [] };
  }
  const before = count > 1 ? text(count - 2) : undefined;
  return isCutOff(text(count - 1), before)
    ? { cues: 1, unread: 1, remarks: [says(count)] }
    : { cues: 0, unread: 0, remarks: [] };
}

/** Cues by rising start; `numbers` are their places in the file, left out when those are 0, 1, 2 … */
type OrderedCues = Pick<CueList, "count" | "starts" | "ends" | "from" | "to"> & { readonly numbers?: Uint32Array };

/** The first `count` cues by rising start; files in order, which is nearly all, cost one pass. */
function inTimeOrder(cues: CueList, count: number): OrderedCues {
  const { starts } = cues;
  let rising = true;
  for (let place = 1; place < count && rising; place += 1) {
    rising = (starts[place] as number) >= (starts[place - 1] as number);
  }
  if (rising) return { ...cues, count };
  const order = Uint32Array.from({ length: count }, (_, place) => place);
  return picked(
    cues,
    order.sort((a, b) => (starts[a] as number) - (starts[b] as number) || a - b),
  );
}

/** The cues that have any text. */
function withoutEmpty(cues: OrderedCues): OrderedCues {
  const { from, to, count } = cues;
  let empty = 0;
  for (let place = 0; place < count; place += 1) if (from[place] === to[place]) empty += 1;
  if (empty === 0) return cues;
  const places = new Uint32Array(count - empty);
  let at = 0;
  for (let place = 0; place < count; place += 1) {
    if (from[place] === to[place]) continue;
    places[at] = place;
    at += 1;
  }
  return picked(cues, places);
}

const picked = (cues: OrderedCues, places: Uint32Array): OrderedCues => ({
  count: places.length,
  starts: Float64Array.from(places, (place) => cues.starts[place] as number),
  ends: Float64Array.from(places, (place) => cues.ends[place] as number),
  from: places.map((place) => cues.from[place] as number),
  to: places.map((place) => cues.to[place] as number),
  numbers: places.map((place) => cues.numbers?.[place] ?? place),
});

function tooLong(bytes: Uint8Array, path: string): TelemetryFacts | { readonly notTelemetry: string } {
  const head = readCueFile(bytes.subarray(0, headBytes), path, {});
  if ("notTelemetry" in head) return head;
  const why = `${bytes.length} bytes of text telemetry; at most ${mostCueFileBytes} are read`;
  return { telemetry: damaged(why, { kind: "per-frame record", file: path, place: "whole file" }) };
}

const says = (cue: number): string => `The file ends inside cue ${cue}: it was cut off, the cues before it were read.`;
