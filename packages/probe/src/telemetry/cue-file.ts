import { damaged } from "@goodgate/model";
import type { TelemetryFacts } from "../contracts.ts";
import type { Dialect } from "../dialects/dialect.ts";
import { type CueBytes, cueBytes } from "./cue-bytes.ts";
import { cueColumns, type CueColumns } from "./cue-columns.ts";
import { type CueList, mostCues } from "./cue-list.ts";
import { cueReader, readCues } from "./cue-reader.ts";
import type { CueHeading } from "./cue-splitter.ts";
import { cueSplitter, splitCues } from "./cues.ts";
import { type ClipTimes, foldTelemetry } from "./fold.ts";
import { guessContent, placesToLookAt, recognise } from "./recognise.ts";
import { isCutOff } from "./tail.ts";
import { type UnknownKeys, unknownKeys } from "./unknown-keys.ts";

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
  const text = cueBytes(bytes);
  return readInOrder(text, path, clip) ?? readSorted(text, path, clip);
}

/** Reads a file whose cues stand in order of time, which is nearly every one; undefined for another. */
function readInOrder(text: CueBytes, path: string, clip: ClipTimes): TelemetryFacts | undefined {
  const splitter = cueSplitter(text);
  if (splitter === undefined) return undefined;
  const { open } = splitter;
  const textAt = (from: number): string => {
    open.bodyFrom = from;
    if (!splitter.close()) splitter.closeLast();
    return text.text(from, splitter.bodyTo);
  };
  const firstFrom = open.bodyFrom;
  // A guess, which is proved once the cues are counted.
  const dialect = recognise([textAt(firstFrom)]);
  if (dialect === undefined) return undefined;
  open.bodyFrom = firstFrom;

  const numbers = cueNumbers();
  const columns = cueColumns(clip, (place) => nameOf(numbers.numberOf(place)));
  const rest = unknownKeys();
  const reader = cueReader(dialect, rest, columns);
  const readOpen = (next?: CueHeading): void => {
    if (splitter.bodyTo === open.bodyFrom) numbers.skip(columns.count);
    else reader.readCarefully(text, open.bodyFrom, splitter.bodyTo, open.times, next);
  };
  while (splitter.close()) {
    readOpen(splitter.next);
    splitter.advance();
    reader.readFitting(splitter);
    if (columns.falls || columns.count + numbers.skipped() >= mostCues) return undefined;
  }
  const brokenHeading = splitter.closeLast();
  const count = columns.count + numbers.skipped() + 1;
  const lastFrom = open.bodyFrom;
  const textOf = (number: number): string => {
    if (number === count - 1) return textAt(lastFrom);
    const place = numbers.placeOf(number);
    return place === undefined ? "" : textAt(columns.froms[place] as number);
  };
  const last = splitter.bodyTo;
  const tail = cutTail({ ...text, format: splitter.format, count, overflow: false, brokenHeading, textOf });
  if (tail.cues === 0) {
    open.bodyFrom = lastFrom;
    splitter.bodyTo = last;
    readOpen();
  }
  const allAtOnce = columns.count > 1 && columns.starts[0] === columns.starts[columns.count - 1];
  if (columns.falls || allAtOnce || recognise(placesToLookAt(count - tail.cues).map(textOf)) !== dialect)
    return undefined;
  return foldCues(columns, { dialect, path, clip, rest, tail, count, overflow: false });
}

/** Reads the cues of a file in order of time, wherever they stand. */
function readSorted(text: CueBytes, path: string, clip: ClipTimes): TelemetryFacts | { readonly notTelemetry: string } {
  const cues = splitCues(text);
  if (cues.count === 0) return { notTelemetry: "no subtitle cues" };
  const textOf = (place: number): string => text.text(cues.from[place] as number, cues.to[place] as number);
  const tail = cutTail({ ...cues, textOf });
  const order = inTimeOrder(cues, cues.count - tail.cues);
  const looked = placesToLookAt(order.count).map((place) => text.text(order.from[place] ?? 0, order.to[place] ?? 0));
  const dialect = recognise(looked);
  if (dialect === undefined) {
    const content = guessContent(looked);
    return { notTelemetry: content === "nothing" ? "no text in its cues" : content };
  }
  const rest = unknownKeys();
  const filled = withoutEmpty(order);
  const columns = cueColumns(clip, (place) => nameOf(filled.numbers?.[place] ?? place), filled.ends);
  readCues({ ...filled, ...text }, dialect, rest, columns);
  return foldCues(columns, { dialect, path, clip, rest, tail, count: cues.count, overflow: cues.overflow });
}

const nameOf = (number: number): string => `cue ${number + 1}`;

/** Numbers of cues in a file, of which those without any text are skipped. */
function cueNumbers() {
  const skipped: number[] = [];
  const before = (number: number): number => skipped.filter((one) => one < number).length;
  return {
    /** Skips the cue that stands before the one at a place. */
    skip: (place: number) => skipped.push(place + skipped.length),
    skipped: () => skipped.length,
    numberOf(place: number): number {
      let number = place;
      for (const one of skipped) if (one <= number) number += 1;
      return number;
    },
    /** Place of a cue among those that have text. */
    placeOf: (number: number) => (skipped.includes(number) ? undefined : number - before(number)),
  };
}

interface ReadCues {
  readonly dialect: Dialect;
  readonly path: string;
  readonly clip: ClipTimes;
  readonly rest: UnknownKeys;
  readonly tail: Tail;
  readonly count: number;
  readonly overflow: boolean;
}

function foldCues(columns: CueColumns, { dialect, path, clip, rest, tail, count, overflow }: ReadCues): TelemetryFacts {
  const remarks = [...tail.remarks];
  if (overflow) remarks.push(`Only the first ${count} cues were read.`);
  return foldTelemetry({
    dialect: dialect.id,
    file: path,
    place: `cues 1 to ${count}`,
    records: columns,
    clip,
    rest,
    unreadRecords: tail.unread,
    remarks,
    clockSource: "camera",
  });
}

interface Tail {
  /** The last cue, when the file was cut off inside it: not counted among the records. */
  readonly cues: number;
  readonly unread: number;
  readonly remarks: readonly string[];
}

function cutTail({
  count,
  bytes,
  format,
  overflow,
  brokenHeading,
  textOf,
}: Pick<CueList, "count" | "bytes" | "format" | "overflow" | "brokenHeading"> & {
  readonly textOf: (number: number) => string;
}): Tail {
  if (overflow) return { cues: 0, unread: 0, remarks: [] };
  if (brokenHeading) return { cues: 0, unread: 1, remarks: [says(count + 1)] };
  // A cue of lines is whole once a blank line follows; a file may also be cut at a line break inside it.
  const ending = Buffer.from(bytes.subarray(-4)).toString("latin1").replaceAll("\r", "");
  if (ending.endsWith("\n\n") || (format === "ass" && ending.endsWith("\n"))) {
    return { cues: 0, unread: 0, remarks: [] };
  }
  const before = count > 1 ? textOf(count - 2) : undefined;
  return isCutOff(textOf(count - 1), before)
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
