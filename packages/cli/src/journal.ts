import { isAscii } from "node:buffer";
import { createHash } from "node:crypto";
import { constants } from "node:fs";
import { type FileHandle, open, rm } from "node:fs/promises";
import { join } from "node:path";
import {
  type Clip,
  ClipTextError,
  clipText,
  clipTextForm,
  type FoundClip,
  type FoundStill,
  parseClip,
  parseStill,
  type Still,
} from "@goodgate/model";
import { CommandError } from "./command-error.ts";
import { reason } from "./output-folder.ts";

/** Name of the journal in the report folder; it is there only while an audit is under way or was interrupted. */
export const journalName = ".goodgate-journal";

/**
 * What was read of a card so far, kept in the report folder so that an interrupted audit need not read it again. One
 * line a clip or still: digest, key, ffprobe, JSON. The digest makes a line that was cut off or altered count for nothing.
 */
export interface Journal {
  /** Whether nothing was in it when it was opened. */
  readonly empty: boolean;
  /** The clip as read before, when its files are unchanged by name, size and time and the same readers read it. */
  clip(found: FoundClip): Promise<Kept<Clip> | undefined>;
  still(found: FoundStill): Promise<Kept<Still> | undefined>;
  /** Keeps what was read. A folder that takes no more ends the keeping, never the audit. */
  keep(found: FoundClip | FoundStill, kept: Kept<Clip | Still>): Promise<void>;
  /** Closes and removes it: the audit is complete. */
  finish(): Promise<void>;
  /** Closes it and leaves it for a later run, safe from a loss of power when `synced`. */
  leave(synced?: boolean): Promise<void>;
}

/** Something read, and the ffprobe that was at hand when one was asked for. */
export interface Kept<T> {
  readonly read: T;
  readonly ffprobe?: string;
}

/** Longest line taken from a journal; a clip with every series full is some 2 MB. */
const mostLineBytes = 64 * 1024 * 1024;
/** Bytes scanned at once when a journal is opened. */
const scanBytes = 1024 * 1024;
const digestLength = 16;
const keyLength = 32;
/** Digest, space, key, space. */
const headLength = digestLength + 1 + keyLength + 1;
const lineBreak = 0x0a;

interface Place {
  readonly offset: number;
  readonly length: number;
}

/**
 * Opens the journal of a report folder. With `resume` its whole lines are taken, else it starts empty. `readers` names
 * what reads (program version, options): lines of other readers are not taken. Throws a CommandError when the folder
 * cannot be written.
 */
export async function openJournal(folder: string, resume: boolean, readers: string): Promise<Journal> {
  const path = join(folder, journalName);
  let handle: FileHandle;
  try {
    if (!resume) await rm(path, { force: true });
    // A link there could lead anywhere, also to the card.
    const flags = constants.O_RDWR | constants.O_APPEND | constants.O_CREAT | (constants.O_NOFOLLOW ?? 0);
    handle = await open(path, flags, 0o600);
  } catch (error) {
    throw new CommandError(`${folder}: ${reason(error)}: choose a folder that can be written`);
  }
  const { places, end } = await scan(handle);
  const keyOf = (found: FoundClip | FoundStill): string =>
    hex(JSON.stringify([clipTextForm, readers, filesOf(found)]), keyLength);
  let keeps = true;
  // A line that an interrupt cut off must not swallow the next one.
  let separate = end.whole ? "" : "\n";
  let tail: Promise<unknown> = Promise.resolve();

  const lookUp = async <T>(found: FoundClip | FoundStill, parse: (text: string) => T): Promise<Kept<T> | undefined> => {
    const place = places.get(keyOf(found));
    if (place === undefined) return undefined;
    const buffer = Buffer.allocUnsafe(place.length);
    try {
      const { bytesRead } = await handle.read(buffer, 0, place.length, place.offset);
      const bytes = buffer.subarray(0, bytesRead);
      if (hex(bytes.subarray(digestLength + 1), digestLength) !== bytes.toString("latin1", 0, digestLength))
        return undefined;
      // Nearly every line is ASCII, which is read several times as fast when it is known to be.
      const line = bytes.toString(isAscii(bytes) ? "latin1" : "utf8");
      const split = line.indexOf("\t");
      const ffprobe = line.slice(headLength, split);
      return { read: parse(line.slice(split + 1)), ...(ffprobe === "" ? {} : { ffprobe }) };
    } catch (error) {
      if (error instanceof ClipTextError || isSystemError(error)) return undefined;
      throw error;
    }
  };
  return {
    empty: places.size === 0,
    clip: (found) => lookUp(found, parseClip),
    still: (found) => lookUp(found, parseStill),
    async keep(found, { read, ffprobe = "" }) {
      // What could not be read may be readable on the next run: a card put back, a file given rights.
      if (!keeps || isDoubtful(read)) return;
      const content = `${keyOf(found)} ${ffprobe.replace(/[\t\r\n]/g, " ")}\t${textOf(read)}`;
      const line = `${separate}${hex(content, digestLength)} ${content}\n`;
      separate = "";
      const write = tail.then(() => handle.appendFile(line));
      tail = write.catch(() => {
        keeps = false;
      });
      await tail;
    },
    async finish() {
      await tail;
      await handle.close();
      await rm(path, { force: true });
    },
    async leave(synced = true) {
      await tail;
      if (synced) await handle.sync().catch(() => {});
      const { size } = await handle.stat();
      await handle.close();
      if (size === 0) await rm(path, { force: true });
    },
  };
}

/** Finds every line by its key; what is no line of a journal is passed over. */
async function scan(handle: FileHandle): Promise<{ places: Map<string, Place>; end: { whole: boolean } }> {
  const places = new Map<string, Place>();
  const buffer = Buffer.allocUnsafe(scanBytes);
  let offset = 0;
  let start = 0;
  let head = "";
  for (;;) {
    const { bytesRead } = await handle.read(buffer, 0, scanBytes, offset);
    if (bytesRead === 0) break;
    let from = 0;
    for (;;) {
      const found = buffer.subarray(0, bytesRead).indexOf(lineBreak, from);
      const until = found < 0 ? bytesRead : found;
      if (head.length < headLength)
        head += buffer.toString("latin1", from, Math.min(until, from + headLength - head.length));
      if (found < 0) break;
      const length = offset + found - start;
      if (length > headLength && length <= mostLineBytes && lineHead.test(head)) {
        places.set(head.slice(digestLength + 1, headLength - 1), { offset: start, length });
      }
      start = offset + found + 1;
      head = "";
      from = found + 1;
    }
    offset += bytesRead;
  }
  return { places, end: { whole: start === offset } };
}

const lineHead = /^[0-9a-f]{16} [0-9a-f]{32} $/;

const hex = (text: string | Buffer, length: number): string =>
  createHash("sha256").update(text).digest("hex").slice(0, length);

const filesOf = (found: FoundClip | FoundStill): readonly unknown[] => [
  found.name,
  found.files.map((file) => [file.path, file.role, file.bytes, file.modifiedMilliseconds]),
];

/** Whether the system refused a read of it, or anything in it is damaged: then it is read again. */
function isDoubtful(read: Clip | Still): boolean {
  if ((read.cost.failures ?? 0) > 0) return true;
  const readings: readonly unknown[] = Object.values("facts" in read ? { ...read.facts, ...read.proxyFacts } : read);
  return readings.some(
    (each) => typeof each === "object" && each !== null && "state" in each && each.state === "damaged",
  );
}

const texts = new WeakMap<Clip | Still, string>();

/** The text of `clipText`, made once for the journal, the cache and the packed list. */
export function textOf(read: Clip | Still): string {
  let text = texts.get(read);
  if (text === undefined) texts.set(read, (text = clipText(read)));
  return text;
}

const isSystemError = (error: unknown): boolean => error instanceof Error && "code" in error;
