import { constants, type Dirent } from "node:fs";
import { type FileHandle, lstat, open, opendir } from "node:fs/promises";
import { join, sep } from "node:path";

/** One regular file of a tree. */
export interface TreeFile {
  /** Path inside the tree, forward slashes; a name in broken UTF-8 shows replacement characters. */
  readonly path: string;
  /** The path's own bytes, for names that are no UTF-8. */
  readonly rawPath: Buffer;
  readonly bytes: number;
  readonly modifiedMilliseconds: number;
}

/** What a tree holds. */
export interface Tree {
  readonly files: readonly TreeFile[];
  /** Links, pipes, devices and what could not be listed: named, never followed. */
  readonly left: readonly { readonly path: string; readonly why: string }[];
}

/** Files in one tree; a full card of stills holds a few ten thousand. */
export const mostTreeFiles = 2_000_000;
/** Folders inside folders; cameras use four. */
export const mostTreeDepth = 64;

/**
 * Lists every regular file below a folder, in plain byte order of their paths. What a bound or the system leaves out is
 * named. Throws only on abort.
 */
export async function walkFiles(root: string, signal: AbortSignal): Promise<Tree> {
  const files: TreeFile[] = [];
  const left: { path: string; why: string }[] = [];
  const slash = Buffer.from("/");
  let full = false;
  const visit = async (inside: Buffer, depth: number): Promise<void> => {
    signal.throwIfAborted();
    if (depth > mostTreeDepth) {
      left.push({ path: inside.toString(), why: `deeper than ${mostTreeDepth} folders` });
      return;
    }
    const folder = inside.length === 0 ? Buffer.from(root) : Buffer.concat([Buffer.from(root + sep), inside]);
    const entries: Dirent<Buffer>[] = [];
    try {
      // Names come as bytes, so that one in broken UTF-8 can still be opened.
      const listing = await opendir(folder as unknown as string, { encoding: "buffer" as unknown as BufferEncoding });
      for await (const entry of listing) entries.push(entry as unknown as Dirent<Buffer>);
    } catch (error) {
      left.push({ path: inside.toString() || ".", why: `folder could not be listed: ${codeOf(error)}` });
      return;
    }
    for (const entry of entries) {
      const path = inside.length === 0 ? entry.name : Buffer.concat([inside, slash, entry.name]);
      if (entry.isDirectory()) await visit(path, depth + 1);
      else if (entry.isFile()) {
        if (files.length >= mostTreeFiles) {
          if (!full)
            left.push({ path: path.toString(), why: `more than ${mostTreeFiles} files: the rest is left out` });
          full = true;
          continue;
        }
        try {
          const status = await lstat(Buffer.concat([Buffer.from(root + sep), path]));
          files.push({
            path: path.toString(),
            rawPath: path,
            bytes: status.size,
            modifiedMilliseconds: status.mtimeMs,
          });
        } catch (error) {
          left.push({ path: path.toString(), why: `not readable: ${codeOf(error)}` });
        }
      } else
        left.push({ path: path.toString(), why: entry.isSymbolicLink() ? "a link, not followed" : "no regular file" });
    }
  };
  await visit(Buffer.alloc(0), 0);
  files.sort((a, b) => Buffer.compare(a.rawPath, b.rawPath));
  left.sort((a, b) => (a.path < b.path ? -1 : 1));
  return { files, left };
}

/** The path of a file on this machine, as bytes. */
export const placeOf = (root: string, file: TreeFile): Buffer =>
  Buffer.concat([Buffer.from(join(root, sep)), file.rawPath]);

const readOnly = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);
const quiet = readOnly | (constants.O_NOATIME ?? 0);

/**
 * Opens for reading alone and, where the system lets us, without leaving a time of last access: that would be a write to
 * the card. A pipe cannot hang it. Throws the system's error.
 */
export async function openQuietly(path: string | Buffer): Promise<FileHandle> {
  // Node takes a name as bytes here; its types say text alone.
  const name = path as string;
  try {
    return await open(name, quiet);
  } catch (error) {
    // Only a file's owner may ask for O_NOATIME (open(2)); some file systems do not know it.
    const code = codeOf(error);
    if (quiet === readOnly || (code !== "EPERM" && code !== "EINVAL")) throw error;
    return await open(name, readOnly);
  }
}

const codeOf = (error: unknown): string =>
  error !== null && typeof error === "object" && "code" in error ? String(error.code) : String(error);
