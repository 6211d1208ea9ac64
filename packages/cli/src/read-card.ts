import { availableParallelism } from "node:os";
import { lstat } from "node:fs/promises";
import { basename, join, resolve } from "node:path";
import { setFlagsFromString } from "node:v8";
import {
  type Card,
  type Clip,
  type FoundClip,
  type FoundStill,
  type List,
  listOf,
  parseClip,
  type Skipped,
  type Still,
  type StillSet,
} from "@goodgate/model";
import type { ClipHead } from "@goodgate/probe";
import pLimit from "p-limit";
import { CommandError } from "./command-error.ts";
import type { Io } from "./io.ts";
import { type Journal, textOf } from "./journal.ts";
import { reason } from "./output-folder.ts";
import { type LineForm, packedList } from "./packed-list.ts";
import { gigabytes } from "./progress.ts";

/** Everything read from the folders handed in. */
export interface CardReading {
  readonly card: Card;
  /** In order of name; packed when there are many. */
  readonly clips: List<Clip>;
  readonly stills: readonly Still[];
  readonly sets: readonly StillSet[];
  /** What was found and not judged, with what was not reached. */
  readonly skipped: readonly Skipped[];
  readonly partial: boolean;
  readonly jobs: number;
  /** The ffprobe at hand, when one was looked for. */
  readonly ffprobe?: string;
  /** Clips and stills taken from an earlier audit, and what reading them cost then. */
  readonly earlier: { readonly count: number; readonly bytes: number; readonly calls: number };
}

/** How clips are read. */
export interface CardReadingOptions {
  readonly jobs?: number;
  readonly secondReader?: boolean;
  /** False leaves the parts of a split recording as they lie on the card. */
  readonly join?: boolean;
  /** Takes from it what an interrupted run read, and keeps in it what this one reads. */
  readonly journal?: Journal;
  /** What earlier audits of the same card read; see `openCache`. */
  readonly cache?: Journal;
  /** Clips held as they are before they are packed; see `packedList`. */
  readonly plainClips?: number;
  /** Told what was found, before anything of it is read. */
  readonly found?: (card: Card) => void;
}

/**
 * From this many clips on memory is tidied up whenever it has grown by a fifth, not when it has doubled or more as V8
 * (11.3) does by itself: at 10,000 clips that halves it and costs no time that can be measured.
 */
const manyClips = 1000;

/** Clips read at the same time: enough to keep a card reader busy while one clip is parsed. */
const defaultJobs = (): number => Math.max(2, Math.min(8, availableParallelism() * 2));

/**
 * When a read takes longer than this, the medium makes us wait for each request (a share on a network, a card behind a
 * slow reader), and more requests under way at once shorten the audit; a disk or a good reader answers in one or two.
 */
const slowCallMilliseconds = 10;
/** Clips read at the same time on such a medium: the most the bench tried (docs/performance.md), and a bound on memory. */
const slowMediumJobs = 16;
/** Reads looked at before anything is said of the medium. */
const callsLookedAt = 16;

/** Time between two looks of the progress line. */
const progressMilliseconds = 100;

/** Reads every clip and still of the given folders with bounded concurrency. An interrupt gives what was read so far. */
export async function readCard(paths: readonly string[], options: CardReadingOptions, io: Io): Promise<CardReading> {
  for (const path of paths) {
    try {
      await lstat(path);
    } catch (error) {
      throw new CommandError(`${path}: ${reason(error)}: give a memory card, a folder or a file`);
    }
  }
  const {
    clockOrderRemarks,
    findCard,
    findFfprobe,
    groupStills,
    headMaker,
    joinParts,
    mediumRemarks,
    proxyPairs,
    proxyRemarks,
    readClip,
    readStill,
    spanChains,
    spanRemarks,
    suitPace,
    withProxy,
  } = await import("@goodgate/probe");
  await suitPace(paths);
  const card = await findCard(paths, io.signal).catch((error: unknown): Card => {
    if (io.signal.aborted) return unlisted(paths);
    throw error;
  });
  if (card.clips.length >= manyClips) setFlagsFromString("--heap-growing-percent=20");
  options.found?.(card);
  const jobs = options.jobs ?? defaultJobs();
  const limit = pLimit(jobs);
  const clips = packedList(clipLines, options.plainClips);
  const headOf = headMaker();
  const heads: NumberedHead[] = [];
  const stills: Still[] = [];
  const skipped: Skipped[] = [...card.skipped];
  const all = card.clips.length + card.stills.length;
  const allBytes = [...card.clips, ...card.stills].reduce((sum, found) => sum + bytesOf(found.files), 0);
  const began = io.now();
  let done = 0;
  let seenBytes = 0;
  let shown = 0;
  let version: string | undefined;
  const ffprobe = async () => {
    const program = await findFfprobe();
    version ??= program === undefined ? "none usable" : `ffprobe ${program.version} (${program.from})`;
    return program;
  };
  const finish = (bytes: number): void => {
    done += 1;
    seenBytes += bytes;
    const now = io.now();
    if (now - shown < progressMilliseconds && done < all) return;
    shown = now;
    const left = done === 0 ? 0 : ((now - began) / done) * (all - done);
    io.progress(
      `reading ${done} of ${all} · ${gigabytes(seenBytes)} of ${gigabytes(allBytes)} · ${Math.ceil(left / 1000)} s left`,
    );
  };
  const spent = { calls: 0, milliseconds: 0 };
  const widen = ({ calls, milliseconds }: Clip["cost"]): void => {
    if (options.jobs !== undefined) return;
    spent.calls += calls;
    spent.milliseconds += milliseconds;
    const slow = spent.calls >= callsLookedAt && spent.milliseconds / spent.calls > slowCallMilliseconds;
    if (slow && limit.concurrency < slowMediumJobs) limit.concurrency = slowMediumJobs;
  };
  const { journal, cache } = options;
  const earlier = { count: 0, bytes: 0, calls: 0 };
  const takeEarlier = <T extends Clip | Still>(read: T): T => {
    earlier.count += 1;
    earlier.bytes += read.cost.bytes;
    earlier.calls += read.cost.calls;
    return read;
  };
  /** A kept reading counts only beside the ffprobe it was made with. */
  const sameFfprobe = async (kept: string | undefined): Promise<boolean> => {
    if (kept === undefined) return true;
    await ffprobe();
    return version === kept;
  };
  const readOne = async (found: FoundClip): Promise<Clip> => {
    const resumed = await journal?.clip(found);
    if (resumed !== undefined && (await sameFfprobe(resumed.ffprobe))) return resumed.read;
    const known = await cache?.clip(found);
    if (known !== undefined && (await sameFfprobe(known.ffprobe))) {
      await journal?.keep(found, known);
      return takeEarlier(known.read);
    }
    let asked = false;
    const ask = (): ReturnType<typeof ffprobe> => {
      asked = true;
      return ffprobe();
    };
    const clip = await readClip(found, {
      signal: io.signal,
      ffprobe: ask,
      secondReader: options.secondReader === true,
    });
    widen(clip.cost);
    if ((journal ?? cache) !== undefined && (await isUnchanged(found))) {
      const kept = { read: clip, ...(asked && version !== undefined ? { ffprobe: version } : {}) };
      await journal?.keep(found, kept);
      await cache?.keep(found, kept);
    }
    return clip;
  };
  const lookAtOne = async (found: FoundStill): Promise<Still> => {
    const resumed = await journal?.still(found);
    if (resumed !== undefined) return resumed.read;
    const known = await cache?.still(found);
    if (known !== undefined) {
      await journal?.keep(found, known);
      return takeEarlier(known.read);
    }
    const still = await readStill(found, io.signal);
    if ((journal ?? cache) !== undefined && (await isUnchanged(found))) {
      await journal?.keep(found, { read: still });
      await cache?.keep(found, { read: still });
    }
    return still;
  };
  const reading = card.clips.map((found) =>
    limit(async () => {
      if (io.signal.aborted) return;
      try {
        const clip = await readOne(found);
        heads.push({ ...headOf(clip), number: clips.length });
        clips.push(clip);
      } catch (error) {
        if (!io.signal.aborted) throw error;
      }
      finish(bytesOf(found.files));
    }),
  );
  const looking = card.stills.map((found) =>
    limit(async () => {
      if (io.signal.aborted) return;
      try {
        stills.push(await lookAtOne(found));
      } catch (error) {
        if (!io.signal.aborted) throw error;
      }
      finish(bytesOf(found.files));
    }),
  );
  await Promise.all([...reading, ...looking]);
  io.progress("");
  const read = new Set([...heads, ...stills].map((each) => each.name));
  for (const found of [...card.clips, ...card.stills]) {
    if (!read.has(found.name))
      skipped.push({ path: found.name, why: "not reached: interrupted", bytes: bytesOf(found.files) });
  }
  const footage = inOrder(heads).filter((head) => {
    if (head.notFootage === undefined) return true;
    const hasSound = clips.at(head.number)?.facts.sound?.state === "read";
    const found = { path: head.name, why: head.notFootage, bytes: bytesOf(head.files) };
    skipped.push(hasSound ? { ...found, hasSound } : found);
    return false;
  });
  const clipOf = ({ number, proxy }: NumberedHead): Clip => {
    // Every number is the place of a clip that was read.
    const clip = clips.at(number) as Clip;
    return proxy === undefined ? clip : withProxy(clip, clipOf(proxy));
  };
  const proxies = proxyPairs(footage);
  const copies = new Set(proxies.values());
  const confirmed = footage
    .filter((head) => !copies.has(head))
    .map((head): NumberedHead => {
      const proxy = proxies.get(head);
      if (proxy === undefined) return head;
      const { number } = head;
      return { ...headOf(clipOf({ ...head, proxy })), number, proxy };
    });
  const chains =
    options.join === false ? confirmed.map((head) => ({ parts: [head], joints: [] })) : spanChains(confirmed);
  const whole = listOf(chains.length, (place): Clip => {
    const { parts, joints } = chains[place] as (typeof chains)[number];
    return joinParts(parts.map(clipOf), joints);
  });
  const spans = chains.map(({ parts }, place) => (parts.length === 1 ? parts[0] : whole.at(place)) as ClipHead);
  const grouped = groupStills(inOrder(stills));
  // What only shows once the files have been read: parts that are missing, proxies of something else, clocks that step.
  const remarks = [
    ...card.remarks,
    ...proxyRemarks(confirmed),
    ...(options.join === false ? [] : [...spanRemarks(spans), ...clockOrderRemarks(spans)]),
    ...mediumRemarks(inOrder(heads), grouped.stills),
  ];
  return {
    card: { ...card, remarks },
    clips: whole,
    stills: grouped.stills,
    sets: grouped.sets,
    skipped: skipped.sort((a, b) => (a.path < b.path ? -1 : 1)),
    partial: io.signal.aborted,
    jobs,
    earlier,
    ...(version === undefined ? {} : { ffprobe: version }),
  };
}

/** Clips as the lines of a packed list. */
const clipLines: LineForm<Clip> = { text: textOf, parse: parseClip };

/** What is held of a clip that was read: its place in the order of reading, and its low-resolution copy. */
interface NumberedHead extends ClipHead {
  readonly number: number;
  readonly proxy?: NumberedHead;
}

/** A card whose listing was interrupted: nothing of it is known but what it is called. */
const unlisted = (paths: readonly string[]): Card => ({
  label: paths.length === 1 ? basename(resolve(paths[0] ?? ".")) : "several",
  layout: "not listed",
  clips: [],
  stills: [],
  skipped: paths.map((path) => ({ path: basename(resolve(path)), why: "not listed: interrupted", unread: true })),
  remarks: [],
  fileCount: 0,
  totalBytes: 0,
});

/** Whether every file is still there as it was found; a card that was pulled out meanwhile gives nothing to keep. */
export async function isUnchanged(found: FoundClip | FoundStill): Promise<boolean> {
  try {
    for (const file of found.files) {
      const now = await lstat(join(found.root, file.path));
      if (now.size !== file.bytes || Math.floor(now.mtimeMs) !== file.modifiedMilliseconds) return false;
    }
    return true;
  } catch {
    return false;
  }
}

const bytesOf = (files: readonly { readonly bytes: number }[]): number =>
  files.reduce((sum, file) => sum + file.bytes, 0);

/** By name in plain code-unit order, so that no locale and no order of reading changes a report. */
const inOrder = <T extends { readonly name: string }>(list: readonly T[]): readonly T[] =>
  [...list].sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0));
