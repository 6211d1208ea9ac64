import { mkdir, rm } from "node:fs/promises";
import { join } from "node:path";
import { beginFile, type BegunFile, finishFile, type Outcome } from "./copy-file.ts";
import { FolderMaker } from "./folder-maker.ts";
import type { ManifestEntry } from "./manifest.ts";
import type { CardSeal, Progress, Unsealed } from "./seal-card.ts";
import { twinPaths } from "./twin-names.ts";
import { walkFiles } from "./walk-files.ts";
import { wordsOf } from "./words-of.ts";

/** What became of the files of a card at one destination. */
export interface CopyResult {
  readonly destination: string;
  readonly copied: number;
  /** Files that were there already with the same bytes. */
  readonly kept: number;
  /** Files that are there with other bytes: never overwritten. */
  readonly refused: readonly string[];
  /** Files whose copy could not be made, or did not read back the same. */
  readonly failed: readonly Unsealed[];
}

/** A finished copy: the hashes of the card as read, and what became of it at each destination. */
export interface CardCopy {
  readonly seal: CardSeal;
  readonly results: readonly CopyResult[];
}

/**
 * Folder at a destination for the files that are being copied: beside the payload, so that no name of a card's file can
 * meet it or grow too long by it. An interrupted copy leaves it; the next run empties it.
 */
export const partialFolder = ".goodgate-part";

/** Files that are synced and read back while the next one is read from the card. */
const mostUnderWay = 3;

/**
 * Copies a tree to `payload` folders below each destination, reading each file once, and reads every copy back. A file
 * that is there already is compared by hash and kept or refused, never overwritten. While a file is synced and read back
 * the next is read and written. Throws only on abort.
 */
export async function copyCard(
  root: string,
  destinations: readonly { readonly destination: string; readonly payload: string }[],
  signal: AbortSignal,
  progress: Progress = {},
): Promise<CardCopy> {
  const tree = await walkFiles(root, signal);
  progress.begin?.(
    tree.files.length,
    tree.files.reduce((sum, file) => sum + file.bytes, 0) * (1 + destinations.length),
  );
  const source = { root, twins: twinPaths(tree.files) };
  const results = destinations.map(({ destination }) => ({
    destination,
    copied: 0,
    kept: 0,
    refused: [] as string[],
    failed: [] as Unsealed[],
  }));
  const places = destinations.map(({ destination, payload }) => ({
    folders: new FolderMaker(payload),
    partials: new FolderMaker(join(destination, partialFolder)),
  }));
  const entries: (ManifestEntry & { bytes: number; rawPath: Buffer })[] = [];
  const unsealed: Unsealed[] = [...tree.left];
  let bytes = 0;
  const count = (path: string, outcomes: readonly Outcome[]): void => {
    for (const [at, result] of results.entries()) {
      const outcome = outcomes[at] ?? { why: "not tried" };
      if (outcome === "copied" || outcome === "kept") result[outcome] += 1;
      else if (outcome === "refused") result.refused.push(path);
      else result.failed.push({ path, why: outcome.why });
    }
  };
  const underWay: Promise<void>[] = [];
  const finish = async (begun: BegunFile, before: Promise<void>): Promise<void> => {
    const outcomes = await finishFile(begun, before, signal, progress);
    count(begun.file.path, outcomes);
  };
  for (const { destination } of destinations) await mkdir(destination, { recursive: true }).catch(() => {});
  const clear = async (): Promise<void> => {
    for (const { destination } of destinations) {
      await rm(join(destination, partialFolder), { recursive: true, force: true }).catch(() => {});
    }
  };
  await clear();
  let last: Promise<void> = Promise.resolve();
  try {
    for (const [number, file] of tree.files.entries()) {
      if (underWay.length >= mostUnderWay) await underWay.shift();
      try {
        const begun = await beginFile(source, file, number, places, signal, progress);
        const { sha256 } = begun.hashed;
        entries.push({ sha256, path: file.path, rawPath: file.rawPath, bytes: begun.hashed.bytes });
        bytes += begun.hashed.bytes;
        last = finish(begun, last);
        last.catch(() => {});
        underWay.push(last);
      } catch (error) {
        signal.throwIfAborted();
        unsealed.push({ path: file.path, why: wordsOf(error) });
      }
    }
    await last;
    for (const [at, { folders }] of places.entries()) results[at]?.failed.push(...(await folders.sync()));
  } finally {
    await Promise.allSettled(underWay);
    await clear();
  }
  return { seal: { entries, unsealed, bytes }, results };
}
