import {
  absent,
  damaged,
  type Disagreement,
  type ExtraTrack,
  type Facts,
  type FactName,
  type Origin,
  read,
  type Reading,
  toNumber,
  valueOf,
} from "@goodgate/model";
import { type CountedFile, openCounted } from "./bytes.ts";
import { baseName, kindOf } from "./card/kinds.ts";
import { reasonOf } from "./card/walk.ts";
import { readIsoMedia } from "./containers/isobmff/isobmff.ts";
import type { ContainerReading, ExtraTrackSource, FfprobeProgram, ReadOptions, TelemetryFacts } from "./contracts.ts";
import { disagreements } from "./ffprobe/disagreements.ts";
import { readOuterBounds } from "./ffprobe/outer-bounds.ts";
import { readWithFfprobe } from "./ffprobe/read-with-ffprobe.ts";
import { sniff, type Sniffed, sniffBytes } from "./ffprobe/sniff.ts";
import { readTextStream } from "./ffprobe/text-stream.ts";
import { readCueFile } from "./telemetry/cue-file.ts";
import { readDataTrack } from "./telemetry/data-track.ts";
import type { ClipTimes } from "./telemetry/fold.ts";
import { readTextTrack } from "./telemetry/text-track.ts";

/** What one moving-picture file says by itself. */
export interface FootageReading {
  readonly facts: Facts;
  readonly textTracks: readonly TelemetryFacts[];
  readonly dataTracks: readonly TelemetryFacts[];
  readonly xmp?: Uint8Array;
  readonly notFootage?: string;
  readonly readers: readonly string[];
  readonly disagreements: readonly Disagreement[];
  readonly cost: { readonly bytes: number; readonly calls: number; readonly milliseconds: number };
  readonly neededBytes: number;
}

/** Our own readers' name in reports. */
const own = "goodgate";

/**
 * Reads one file: by our own reader when it knows the container, else through ffprobe, else by its first bytes and its
 * name. `path` is inside the card. What cannot be read is a damaged structure; only an aborted signal throws.
 */
export async function readFootage(real: string, path: string, options: ReadOptions): Promise<FootageReading> {
  const { signal } = options;
  signal.throwIfAborted();
  let file: CountedFile | undefined;
  try {
    file = await openCounted(real);
    return await readOpened(file, path, options);
  } catch (error) {
    signal.throwIfAborted();
    const origin: Origin = { kind: "file system", file: path, place: "file" };
    const size: Facts = file === undefined ? {} : { fileBytes: read(file.size, { ...origin, place: "size" }) };
    return {
      ...nothing,
      facts: { ...size, structure: damaged(whyUnread(error), origin) },
      readers: [own],
      cost: file?.cost ?? nothing.cost,
    };
  } finally {
    await file?.close().catch(() => undefined);
  }
}

/** A system error in plain words; anything else is a fault of ours, and says so instead of passing as the card's. */
function whyUnread(error: unknown): string {
  if (typeof (error as { readonly code?: unknown } | undefined)?.code === "string") {
    return `cannot be read: ${reasonOf(error)}`;
  }
  const says = error instanceof Error ? error.message.slice(0, 120) : "unknown";
  return `goodgate failed on this file, which is a fault of goodgate: ${says}`;
}

const nothing = {
  textTracks: [],
  dataTracks: [],
  disagreements: [],
  cost: { bytes: 0, calls: 0, milliseconds: 0 },
  neededBytes: 0,
} as const;

async function readOpened(file: CountedFile, path: string, options: ReadOptions): Promise<FootageReading> {
  const { signal } = options;
  const place: Origin = { kind: "file system", file: path, place: "size" };
  const size: Facts = { fileBytes: read(file.size, place) };
  if (file.size === 0) {
    return {
      ...nothing,
      facts: { ...size, structure: damaged("the file is empty", place) },
      readers: [own],
      cost: file.cost,
    };
  }
  const reading = await readIsoMedia(file, signal);
  if (reading === undefined) return await readForeign(file, path, size, options);

  const container = named(reading.facts, path);
  const clip = clipTimes(container);
  const tracks = await readTracks(reading.extraTracks, clip, path, signal);
  let facts: Facts = { ...size, ...container, ...tracks.lists(container) };
  const readers: string[] = [own];
  let notes: readonly Disagreement[] = [];
  if (options.secondReader === true || reading.beyond !== undefined) {
    const program = await options.ffprobe?.();
    if (program !== undefined) {
      const second = await askSecond(program, file, path, facts, reading, signal);
      facts = second.facts;
      notes = second.notes;
      readers.push(second.reader);
    }
  }
  return {
    facts,
    textTracks: tracks.text,
    dataTracks: tracks.data,
    ...(reading.xmp === undefined ? {} : { xmp: reading.xmp }),
    ...(hasNoPicture(facts) ? { notFootage: "no picture track: sound or data only" } : {}),
    readers,
    disagreements: options.secondReader === true ? notes : [],
    cost: file.cost,
    neededBytes: reading.neededBytes + tracks.bytes,
  };
}

/** The container readers know no card; the file's name inside it is put where they left the path open. */
function named(facts: Facts, path: string): Facts {
  const renamed = Object.entries(facts).map(([name, reading]) => {
    if (reading === undefined || reading.state === "absent") return [name, reading];
    const witnesses =
      reading.state === "read" && reading.witnesses !== undefined
        ? { witnesses: reading.witnesses.map((one) => ({ ...one, origin: { ...one.origin, file: path } })) }
        : {};
    return [name, { ...reading, ...witnesses, origin: { ...reading.origin, file: path } }];
  });
  return Object.fromEntries(renamed) as Facts;
}

/** Length and rate of a clip as telemetry readers need them. */
export function clipTimes(facts: Facts): ClipTimes {
  const duration = valueOf(facts.durationSeconds);
  const frameRate = valueOf(facts.frameRate);
  return {
    ...(duration === undefined ? {} : { microseconds: Math.round(toNumber(duration) * 1e6) }),
    ...(frameRate === undefined ? {} : { frameRate }),
  };
}

interface TrackReadings {
  readonly text: readonly TelemetryFacts[];
  readonly data: readonly TelemetryFacts[];
  readonly bytes: number;
  /** The lists of tracks with what each was found to hold. */
  lists(facts: Facts): Facts;
}

const textHandlers = new Set(["text", "sbtl", "subt", "clcp", "subp"]);

async function readTracks(
  tracks: readonly ExtraTrackSource[],
  clip: ClipTimes,
  path: string,
  signal: AbortSignal,
): Promise<TrackReadings> {
  const text: TelemetryFacts[] = [];
  const data: TelemetryFacts[] = [];
  const holds = new Map<number, string>();
  let bytes = 0;
  for (const track of tracks) {
    signal.throwIfAborted();
    const counted = countedTrack(track, (read) => (bytes += read));
    const isText = textHandlers.has(track.handler);
    const result = isText ? await readTextTrack(counted, clip, path) : await readDataTrack(counted, clip, path);
    if ("notTelemetry" in result) {
      holds.set(track.id, result.holds ?? result.notTelemetry);
      continue;
    }
    const dialect = valueOf(result.telemetry)?.dialect;
    holds.set(track.id, dialect ?? (result.telemetry?.state === "damaged" ? "damaged telemetry" : "telemetry"));
    (isText ? text : data).push(result);
  }
  const fill = (list: Reading<readonly ExtraTrack[]> | undefined): Reading<readonly ExtraTrack[]> | undefined =>
    list?.state === "read"
      ? { ...list, value: list.value.map((track) => ({ ...track, holds: holds.get(track.id) ?? track.holds })) }
      : list;
  return {
    text,
    data,
    bytes,
    lists(facts) {
      const [texts, others] = [fill(facts.textTracks), fill(facts.dataTracks)];
      return {
        ...(texts === undefined ? {} : { textTracks: texts }),
        ...(others === undefined ? {} : { dataTracks: others }),
      };
    },
  };
}

function countedTrack(track: ExtraTrackSource, count: (bytes: number) => void): ExtraTrackSource {
  return {
    ...track,
    async read(which) {
      const samples = await track.read(which);
      count(samples.reduce((sum, sample) => sum + sample.bytes.length, 0));
      return samples;
    },
  };
}

const hasNoPicture = (facts: Facts): boolean =>
  facts.structure?.state !== "damaged" &&
  [facts.codec, facts.width, facts.frames].every((reading) => reading === undefined || reading.state === "absent");

async function askSecond(
  program: FfprobeProgram,
  file: CountedFile,
  path: string,
  facts: Facts,
  reading: ContainerReading,
  signal: AbortSignal,
): Promise<{ readonly facts: Facts; readonly notes: readonly Disagreement[]; readonly reader: string }> {
  const second = await readWithFfprobe(program, file.path, path, signal, reading.beyond !== undefined);
  const { reader } = second;
  const ours = facts.structure?.state === "damaged" ? `damaged: ${facts.structure.why}` : "whole";
  if ("fault" in second) {
    const notes = ours === "whole" ? [{ fact: "structure", ours, theirs: `refused: ${second.fault}`, reader }] : [];
    return { facts, notes, reader };
  }
  const notes = [
    ...(ours === "whole" ? [] : [{ fact: "structure", ours, theirs: "reads it without complaint", reader }]),
    ...disagreements(facts, second.facts, reader),
  ];
  if (reading.beyond === undefined) return { facts, notes, reader };
  const filled: Record<string, Reading<unknown> | undefined> = { ...facts };
  for (const [name, theirs] of Object.entries(second.facts)) {
    const known = facts[name as FactName];
    if (theirs?.state === "read" && (known === undefined || known.state === "absent")) filled[name] = theirs;
  }
  return { facts: filled as Facts, notes, reader };
}

/** Containers that only ffprobe can read for us. */
const foreign: Partial<Record<Sniffed, string>> = {
  matroska: "matroska",
  avi: "avi",
  mxf: "mxf",
  "mpeg-ts": "mpeg-ts",
  "mpeg-ps": "mpeg",
};

async function readForeign(
  file: CountedFile,
  path: string,
  size: Facts,
  options: ReadOptions,
): Promise<FootageReading> {
  const { signal } = options;
  const head = await file.read(0, sniffBytes);
  const kind = sniff(head);
  const origin: Origin = { kind: "container", file: path, place: "first bytes" };
  const result = (facts: Facts, more: Partial<FootageReading> = {}): FootageReading => ({
    ...nothing,
    facts: { ...size, ...facts },
    readers: [own],
    cost: file.cost,
    neededBytes: file.cost.bytes,
    ...more,
  });
  if (kind === "still") return result({}, { notFootage: "a still picture" });
  if (kind === "sound") return result({}, { notFootage: "sound only" });
  const container = foreign[kind];
  if (container === undefined) {
    if (!["footage", "proxy"].includes(kindOf(baseName(path)))) {
      return result({}, { notFootage: "not a container of moving pictures" });
    }
    const says: Partial<Record<Sniffed, string>> = {
      zeros: "begins with zeros: the data was never written",
      text: "holds text, not pictures",
    };
    return result({ structure: damaged(says[kind] ?? "does not begin as any container goodgate knows", origin) });
  }
  const bounds = await readOuterBounds(file, path, container);
  const known: Facts = { container: read(container, origin), structure: bounds };
  const program = await options.ffprobe?.();
  if (program === undefined) {
    const why = `no ffprobe to read ${container} with`;
    const silent = { codec: absent(why), frameRate: absent(why), timing: absent(why), durationSeconds: absent(why) };
    return result({ ...known, ...silent, width: absent(why), height: absent(why) });
  }
  const answer = await readWithFfprobe(program, file.path, path, signal, true);
  if ("fault" in answer) {
    const why = `${answer.reader} cannot read it: ${answer.fault}`;
    const structure =
      bounds.state === "damaged" ? bounds : damaged(why, { ...origin, place: "file", reader: answer.reader });
    return result({ ...known, structure }, { readers: [answer.reader] });
  }
  const facts: Facts = { ...answer.facts, ...known };
  if (!answer.hasPicture) return result(facts, { notFootage: "no moving picture in it", readers: [answer.reader] });
  const cues = await readTextStream(program, file.path, answer.answer, signal);
  if (cues === undefined) return result(facts, { readers: [answer.reader] });
  const telemetry = readCueFile(cues.cues, path, clipTimes(facts));
  const isTelemetry = !("notTelemetry" in telemetry);
  const track: ExtraTrack = {
    id: cues.stream,
    entry: cues.codec,
    handler: "subtitle",
    samples: valueOf(isTelemetry ? telemetry.telemetry : undefined)?.records ?? 0,
    holds: isTelemetry ? (valueOf(telemetry.telemetry)?.dialect ?? "telemetry") : telemetry.notTelemetry,
  };
  const textTracks = read([track], { ...origin, place: `stream ${cues.stream}`, reader: answer.reader });
  return result({ ...facts, textTracks }, { readers: [answer.reader], textTracks: isTelemetry ? [telemetry] : [] });
}
