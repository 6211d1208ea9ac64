import { mkdir, open, realpath, rename, stat, unlink } from "node:fs/promises";
import { basename, dirname, join, relative, resolve, sep } from "node:path";
import { CommandError } from "./command-error.ts";

/** The nearest folder of a path that exists, with links resolved. */
async function realParent(path: string): Promise<string> {
  let at = resolve(path);
  const rest: string[] = [];
  for (;;) {
    try {
      return join(await realpath(at), ...rest);
    } catch {
      const up = dirname(at);
      if (up === at) return resolve(path);
      rest.unshift(basename(at));
      at = up;
    }
  }
}

/** Whether a path is a folder that can be looked at. */
export async function isFolder(path: string): Promise<boolean> {
  try {
    return (await stat(path)).isDirectory();
  } catch {
    return false;
  }
}

/** Whether a path is a folder's own or lies in it, by the names alone. */
export function liesIn(path: string, folder: string): boolean {
  const inside = relative(folder, path);
  return inside === "" || (inside !== ".." && !inside.startsWith(`..${sep}`) && resolve(inside) !== inside);
}

/** Whether one of the folders a path lies in is the given one under another name: in other letters, or mounted twice. */
async function isBelow(path: string, folder: string): Promise<boolean> {
  const identity = async (at: string): Promise<string | undefined> => {
    try {
      const { dev, ino } = await stat(at, { bigint: true });
      // Some file systems have no numbers for files.
      return ino === 0n ? undefined : `${dev} ${ino}`;
    } catch {
      return undefined;
    }
  };
  const wanted = await identity(folder);
  if (wanted === undefined) return false;
  for (let at = path; ; at = dirname(at)) {
    if ((await identity(at)) === wanted) return true;
    if (at === dirname(at)) return false;
  }
}

/** Throws a CommandError when a place lies on one of the cards, by whatever name; else gives its real path. */
export async function refuseOnCard(place: string, cards: readonly string[]): Promise<string> {
  const target = await realParent(place);
  for (const card of cards) {
    if (liesIn(target, await realParent(card)) || (await isBelow(target, card))) {
      throw new CommandError(`${place} lies on the card, which is never written: choose a folder elsewhere`);
    }
  }
  return target;
}

/**
 * Makes the folder reports go to. Throws a CommandError when it lies on the card: the card is never written.
 * Returns the folder's real path.
 */
export async function makeOutputFolder(folder: string, cards: readonly string[]): Promise<string> {
  const target = await refuseOnCard(folder, cards);
  try {
    await mkdir(target, { recursive: true });
  } catch (error) {
    throw new CommandError(`${folder}: ${reason(error)}: choose a folder that can be written`);
  }
  return target;
}

/** Characters of a text given in pieces that are written at once. */
const pieceCharacters = 1024 * 1024;

/** Writes a file whole or not at all: a temporary name in the same folder, synced, then renamed. */
export async function writeWhole(path: string, text: string | Uint8Array | Iterable<string>): Promise<void> {
  const temporary = join(dirname(path), `.${basename(path)}.${process.pid}.part`);
  try {
    const handle = await open(temporary, "w", 0o644);
    try {
      if (typeof text === "string" || text instanceof Uint8Array) await handle.writeFile(text);
      else {
        let held = "";
        for (const piece of text) {
          held += piece;
          if (held.length < pieceCharacters) continue;
          await handle.appendFile(held);
          held = "";
        }
        await handle.appendFile(held);
      }
      await handle.sync();
    } finally {
      await handle.close();
    }
    await rename(temporary, path);
    await syncFolder(dirname(path));
  } catch (error) {
    await unlink(temporary).catch(() => {});
    throw new CommandError(`${path} could not be written: ${reason(error)}: free some space or choose another folder`);
  }
}

/** Makes a rename outlive a power cut, where folders can be synced. */
async function syncFolder(path: string): Promise<void> {
  try {
    const handle = await open(path, "r");
    await handle.sync().finally(() => handle.close());
  } catch {
    // Some systems open no folders; the file itself is synced.
  }
}

/** The system's reason in a few words. */
export function reason(error: unknown): string {
  const code = error !== null && typeof error === "object" && "code" in error ? String(error.code) : "";
  const words: Record<string, string> = {
    EACCES: "no permission",
    EPERM: "no permission",
    ENOENT: "no such file or folder",
    ENOSPC: "no space left",
    EROFS: "read-only",
    ENOTDIR: "a part of the path is a file",
    EEXIST: "a file of that name is there",
    EISDIR: "it is a folder",
    EIO: "the device gave a read error",
  };
  return words[code] ?? (error instanceof Error ? (error.message.split("\n")[0] ?? "") : String(error));
}
