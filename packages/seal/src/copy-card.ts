import { type BigIntStats, constants } from "node:fs";
import { type FileHandle, link, lstat, mkdir, open, rename, rm, unlink, utimes } from "node:fs/promises";
import { join } from "node:path";
import { FolderMaker } from "./folder-maker.ts";
import { hashFile } from "./hash-file.ts";
import type { ManifestEntry } from "./manifest.ts";
import type { CardSeal, Progress, Unsealed } from "./seal-card.ts";
import { codeOf, wordsOf } from "./words-of.ts";
import { placeOf, type TreeFile, walkFiles } from "./walk-files.ts";

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
 * Folder at a destination for the file that is being copied: beside the payload, so that no name of a card's file can
 * meet it or grow too long by it. An interrupted copy leaves it; the next run empties it.
 */
export const partialFolder = ".goodgate-part";

interface Target {
  readonly destination: string;
  readonly folders: FolderMaker;
  copied: number;
  kept: number;
  readonly refused: string[];
  readonly failed: { path: string; why: string }[];
}

/**
 * Copies a tree to `payload` folders below each destination, reading each file once, and reads every copy back. A file
 * that is there already is compared by hash and kept or refused, never overwritten. Throws only on abort.
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
  const targets: Target[] = destinations.map(({ destination, payload }) => ({
    destination,
    folders: new FolderMaker(payload),
    copied: 0,
    kept: 0,
    refused: [],
    failed: [],
  }));
  const entries: (ManifestEntry & { bytes: number; rawPath: Buffer })[] = [];
  const unsealed: Unsealed[] = [...tree.left];
  let bytes = 0;
  for (const { destination } of targets) await mkdir(destination, { recursive: true }).catch(() => {});
  const partials = targets.map(({ destination }) => join(destination, partialFolder));
  for (const folder of partials) await rm(folder, { recursive: true, force: true }).catch(() => {});
  try {
    for (const file of tree.files) {
      const hashed = await copyFile(root, file, targets, signal, progress, unsealed);
      if (hashed === undefined) continue;
      entries.push({ sha256: hashed.sha256, path: file.path, rawPath: file.rawPath, bytes: hashed.bytes });
      bytes += hashed.bytes;
    }
  } finally {
    for (const folder of partials) await rm(folder, { recursive: true, force: true }).catch(() => {});
  }
  return { seal: { entries, unsealed, bytes }, results: targets };
}

/** One file to every destination. Gives undefined when the card's own file could not be read. */
async function copyFile(
  root: string,
  file: TreeFile,
  targets: readonly Target[],
  signal: AbortSignal,
  progress: Progress,
  unsealed: Unsealed[],
): Promise<{ sha256: string; bytes: number } | undefined> {
  const open_: { target: Target; final: Buffer; partial: Buffer; handle: FileHandle }[] = [];
  const there: { target: Target; final: Buffer }[] = [];
  for (const target of targets) {
    const partial = Buffer.from(join(target.destination, partialFolder, "file"));
    try {
      const final = await target.folders.placeFor(file.rawPath);
      const already = await statusOf(final);
      if (already !== undefined) {
        if (!already.isFile()) throw new Error("something else than a file is there and was kept");
        if (await isSameFile(already, placeOf(root, file))) throw new Error("what is there is the card's own file");
        there.push({ target, final });
        continue;
      }
      await mkdir(join(target.destination, partialFolder), { recursive: true });
      await unlink(partial).catch(() => {});
      const flags = constants.O_WRONLY | constants.O_CREAT | constants.O_EXCL;
      open_.push({ target, final, partial, handle: await open(partial as unknown as string, flags, 0o644) });
    } catch (error) {
      target.failed.push({ path: file.path, why: wordsOf(error) });
    }
  }
  const broken = new Set<Target>();
  const writing = async (chunk: Uint8Array): Promise<void> => {
    await Promise.all(
      open_.map(async ({ target, handle }) => {
        if (broken.has(target)) return;
        try {
          let at = 0;
          while (at < chunk.length) at += (await handle.write(chunk, at, chunk.length - at)).bytesWritten;
        } catch (error) {
          broken.add(target);
          target.failed.push({ path: file.path, why: wordsOf(error) });
        }
      }),
    );
  };
  let hashed: { sha256: string; bytes: number } | undefined;
  try {
    hashed = await hashFile(placeOf(root, file), signal, progress.pass, open_.length > 0 ? writing : undefined);
  } catch (error) {
    for (const { handle, partial } of open_) {
      await handle.close();
      await unlink(partial).catch(() => {});
    }
    signal.throwIfAborted();
    unsealed.push({ path: file.path, why: wordsOf(error) });
    return undefined;
  }
  await Promise.all(
    open_.map(async ({ target, handle }) => {
      try {
        if (!broken.has(target)) await handle.sync();
      } catch (error) {
        broken.add(target);
        target.failed.push({ path: file.path, why: wordsOf(error) });
      } finally {
        await handle.close();
      }
    }),
  );
  for (const { target, final, partial } of open_) {
    try {
      if (broken.has(target)) continue;
      const back = await hashFile(partial, signal, progress.pass);
      if (back.sha256 !== hashed.sha256) {
        target.failed.push({ path: file.path, why: "the copy does not read back as the card reads" });
        continue;
      }
      await utimes(partial, file.modifiedMilliseconds / 1000, file.modifiedMilliseconds / 1000);
      await putInPlace(partial, final);
      target.copied += 1;
    } catch (error) {
      signal.throwIfAborted();
      target.failed.push({ path: file.path, why: wordsOf(error) });
    } finally {
      await unlink(partial).catch(() => {});
    }
  }
  for (const { target, final } of there) {
    try {
      const back = await hashFile(final, signal, progress.pass);
      if (back.sha256 === hashed.sha256) target.kept += 1;
      else target.refused.push(file.path);
    } catch (error) {
      signal.throwIfAborted();
      target.failed.push({ path: file.path, why: wordsOf(error) });
    }
  }
  return hashed;
}

/** Gives a finished copy its name. A link fails where a rename would overwrite a file that appeared meanwhile. */
async function putInPlace(partial: Buffer, final: Buffer): Promise<void> {
  try {
    await link(partial, final);
  } catch (error) {
    if (codeOf(error) === "EEXIST") throw error;
    // File systems of cards and travel drives know no links; there a last look must do.
    const isThere = await lstat(final).then(
      () => true,
      () => false,
    );
    if (isThere) throw Object.assign(new Error("a file of that name appeared meanwhile"), { code: "EEXIST" });
    await rename(partial, final);
  }
}

/** What is at a place, links not followed; undefined when nothing is. */
async function statusOf(place: Buffer): Promise<BigIntStats | undefined> {
  try {
    return await lstat(place, { bigint: true });
  } catch (error) {
    if (codeOf(error) === "ENOENT") return undefined;
    throw error;
  }
}

/** Whether a file of the card and one at the destination are one and the same: then there is no copy. */
async function isSameFile(there: BigIntStats, source: Buffer): Promise<boolean> {
  const own = await statusOf(source);
  return own !== undefined && own.ino !== 0n && own.ino === there.ino && own.dev === there.dev;
}
