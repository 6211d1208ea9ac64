import {
  damaged,
  type Damaged,
  type Disagreement,
  type ExtraTrack,
  type Facts,
  type FactName,
  type Origin,
  read,
  type Reading,
  valueOf,
} from "@goodgate/model";
import { type CountedFile, openReusing } from "./bytes.ts";
import { reasonOf } from "./card/walk.ts";
import { readIsoMedia } from "./containers/isobmff/isobmff.ts";
import type { ContainerReading, ExtraTrackSource, FfprobeProgram, ReadOptions, TelemetryFacts } from "./contracts.ts";
import { disagreements } from "./ffprobe/disagreements.ts";
import { clipTimes, type FootageReading, nothing, own } from "./footage.ts";
import { readDataTrack } from "./telemetry/data-track.ts";
import type { ClipTimes } from "./telemetry/fold.ts";
import { readTextTrack } from "./telemetry/text-track.ts";

/**
 * Reads one file: by our own reader when it knows the container, else through ffprobe, else by its first bytes and its
 * name. `path` is inside the card. What cannot be read is a damaged structure; only an aborted signal throws.
 */
export async function readFootage(real: string, path: string, options: ReadOptions): Promise<FootageReading> {
  const { signal } = options;
  signal.throwIfAborted();
  let file: CountedFile | undefined;
  try {
    file = await openReusing(real);
    const reading = await readOpened(file, path, options);
    return (await file.unchanged?.()) === false ? changedMeanwhile(reading, path) : reading;
  } catch (error) {
    signal.throwIfAborted();
    const origin: Origin = { kind: "file system", file: path, place: "file" };
    const size: Facts = file === undefined ? {} : { fileBytes: read(file.size, { ...origin, place: "size" }) };
    return {
      ...nothing,
      facts: { ...size, structure: unread(error, origin) },
      readers: [own],
      cost: file?.cost ?? nothing.cost,
    };
  } finally {
    await file?.close().catch(() => undefined);
  }
}

/** Facts of a file that something was writing to belong to no state of it: they stay listed, but it is not whole. */
function changedMeanwhile(reading: FootageReading, path: string): FootageReading {
  const structure = damaged("the file changed while it was read", { kind: "file system", file: path, place: "file" });
  return { ...reading, facts: { ...reading.facts, structure } };
}

/** A system error in plain words; anything else is a fault of ours, and says so instead of passing as the card's. */
function unread(error: unknown, origin: Origin): Damaged {
  if (typeof (error as { readonly code?: unknown } | undefined)?.code === "string") {
    return { ...damaged(`cannot be read: ${reasonOf(error)}`, origin), cause: "not given" };
  }
  const says = error instanceof Error ? error.message.slice(0, 120) : "unknown";
  return damaged(`goodgate failed on this file, which is a fault of goodgate: ${says}`, origin);
}

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
  if (reading === undefined) {
    // What asks ffprobe is loaded when the first file needs it: most cards have none.
    const { readForeign } = await import("./read-foreign.ts");
    return await readForeign(file, path, size, options);
  }

  const container = named(reading.facts, path);
  const clip = clipTimes(container);
  const tracks = await readTracks(reading.extraTracks, clip, path, signal);
  let facts: Facts = { ...size, ...container, ...tracks.lists(container) };
  const readers: string[] = [own];
  let notes: readonly Disagreement[] = [];
  let silent: string | undefined;
  if (options.secondReader === true || reading.beyond !== undefined) {
    const program = await options.ffprobe?.();
    if (program === undefined) silent = "no ffprobe at hand";
    else {
      const second = await askSecond(program, file, path, facts, reading, signal);
      facts = second.facts;
      notes = second.notes;
      silent = second.silent;
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
    ...(options.secondReader === true && silent !== undefined ? { secondReaderSilent: silent } : {}),
    cost: file.cost,
    neededBytes: reading.neededBytes + tracks.bytes,
  };
}

/** The container readers know no card; the file's name inside it is put where they left the path open. */
function named(facts: Facts, path: string): Facts {
  // Many facts stand in one box: they share one origin, which counts with ten thousand clips in memory.
  const origins = new Map<string, Origin>();
  const placed = (origin: Origin): Origin => {
    const key = `${origin.kind}\n${origin.place}\n${origin.reader ?? ""}`;
    const known = origins.get(key);
    if (known !== undefined) return known;
    const made = { ...origin, file: path };
    origins.set(key, made);
    return made;
  };
  const renamed: Record<string, Reading<unknown>> = {};
  for (const [name, reading] of Object.entries(facts)) {
    if (reading === undefined) continue;
    if (reading.state === "absent") renamed[name] = reading;
    else if (reading.state === "damaged" || reading.witnesses === undefined) {
      renamed[name] = { ...reading, origin: placed(reading.origin) };
    } else {
      const witnesses = reading.witnesses.map((one) => ({ ...one, origin: placed(one.origin) }));
      renamed[name] = { ...reading, witnesses, origin: placed(reading.origin) };
    }
  }
  return renamed as Facts;
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
): Promise<{
  readonly facts: Facts;
  readonly notes: readonly Disagreement[];
  readonly reader: string;
  readonly silent?: string;
}> {
  const { readWithFfprobe } = await import("./ffprobe/read-with-ffprobe.ts");
  const second = await readWithFfprobe(program, file.path, path, signal, reading.beyond !== undefined);
  const { reader } = second;
  const ours = facts.structure?.state === "damaged" ? `damaged: ${facts.structure.why}` : "whole";
  if ("fault" in second) {
    if (!second.refused) return { facts, notes: [], reader, silent: `${reader}: ${second.fault}` };
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
