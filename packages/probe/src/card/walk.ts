import type { Dirent, Stats } from "node:fs";
import { lstat, opendir, realpath, stat } from "node:fs/promises";
import { basename, dirname, join, resolve } from "node:path";
import type { CardFile, CardRemark, Skipped } from "@goodgate/model";
import { byCodeUnits, foldedName, isRecoveryFolder, skippedFile, skippedFolder, stemOf } from "./kinds.ts";

/** Camera trees are three or four folders deep, clip structures six; deeper is a backup, not a card. */
export const mostDepth = 16;
/** A full 1 TB card of stills holds some 50,000 files. */
export const mostEntries = 200_000;

/** A regular file of the card with where it really is. */
export interface WalkedFile extends CardFile {
  readonly root: string;
  /** Named by the user, not met while walking. */
  readonly asked: boolean;
}

/** All regular files below the paths given. */
export interface Walk {
  readonly label: string;
  readonly files: readonly WalkedFile[];
  readonly folders: readonly string[];
  readonly skipped: readonly Skipped[];
  readonly remarks: readonly CardRemark[];
  /** A folder whose file system can be asked for free space. */
  readonly anyFolder?: string;
}

/**
 * Lists files and folders. Links are never followed, so no loop and no way out; pipes, sockets and devices are listed as
 * skipped. What cannot be listed is skipped with the system's reason. Throws only for an aborted signal.
 */
export async function walk(paths: readonly string[], signal: AbortSignal): Promise<Walk> {
  const files: WalkedFile[] = [];
  const folders: string[] = [];
  const skipped: Skipped[] = [];
  const remarks: CardRemark[] = [];
  let entries = 0;
  let full = false;
  let anyFolder: string | undefined;
  const seen = new Set<string>();

  const add = (root: string, path: string, status: Stats, asked: boolean): void => {
    const real = join(root, path);
    if (seen.has(real)) return;
    seen.add(real);
    files.push({ root, path, bytes: status.size, modifiedMilliseconds: Math.floor(status.mtimeMs), asked });
  };

  const visit = async (root: string, path: string, depth: number): Promise<void> => {
    signal.throwIfAborted();
    const here = path === "" ? root : join(root, path);
    const names: Dirent[] = [];
    try {
      for await (const entry of await opendir(here)) {
        entries += 1;
        if (entries > mostEntries) {
          full = true;
          break;
        }
        names.push(entry);
      }
    } catch (error) {
      skipped.push({
        path: path === "" ? "." : path,
        why: `folder cannot be listed: ${reasonOf(error)}`,
        unread: true,
      });
    }
    names.sort((a, b) => byCodeUnits(a.name, b.name));
    for (const entry of names) {
      signal.throwIfAborted();
      const inside = path === "" ? entry.name : `${path}/${entry.name}`;
      if (entry.isDirectory()) {
        // Cameras keep thumbnails in a folder MISC beside DCIM; elsewhere that name may hold anything.
        const isCameraMisc =
          path === "" && /^misc$/i.test(entry.name) && names.some(({ name }) => /^dcim$/i.test(name));
        const why = isCameraMisc ? "the camera's own folder for thumbnails and logs" : skippedFolder(entry.name);
        if (why !== undefined) {
          skipped.push({ path: inside, why });
          if (isRecoveryFolder(entry.name)) {
            remarks.push({
              kind: "recovered-fragments",
              says: `${inside} holds pieces recovered by a file system check: a recording may be incomplete`,
              paths: [inside],
            });
          }
        } else if (depth >= mostDepth)
          skipped.push({ path: inside, why: `deeper than ${mostDepth} folders`, unread: true });
        else {
          folders.push(inside);
          if (!full) await visit(root, inside, depth + 1);
        }
        continue;
      }
      const why = unusual(entry) ?? skippedFile(entry.name);
      if (why !== undefined) {
        skipped.push({ path: inside, why });
        continue;
      }
      try {
        const status = await lstat(join(root, inside));
        if (status.isFile()) add(root, inside, status, false);
        else skipped.push({ path: inside, why: unusual(status) ?? "not a regular file" });
      } catch (error) {
        skipped.push({ path: inside, why: `cannot be looked at: ${reasonOf(error)}`, unread: true });
      }
    }
  };

  for (const { given, root, prefix } of rootsOf(paths)) {
    signal.throwIfAborted();
    let status: Stats;
    try {
      // A link that the user names is followed once; links inside are not.
      status = await stat(given);
    } catch (error) {
      skipped.push({
        path: prefix === "" ? basename(given) : prefix,
        why: `cannot be opened: ${reasonOf(error)}`,
        unread: true,
      });
      continue;
    }
    if (status.isDirectory()) {
      anyFolder ??= given;
      if (prefix === "") await visit(await realpath(given).catch(() => given), "", 0);
      else await visit(root, prefix, 0);
    } else if (status.isFile()) {
      anyFolder ??= dirname(given);
      const name = prefix === "" ? basename(given) : prefix;
      add(root, name, status, true);
      await addCompanions(root, name, add, signal);
    } else
      skipped.push({ path: prefix === "" ? basename(given) : prefix, why: unusual(status) ?? "not a regular file" });
  }
  if (full) {
    const says = `more than ${mostEntries} entries: the rest was not listed`;
    remarks.push({ kind: "too-many-entries", says, paths: [] });
  }
  files.sort((a, b) => byCodeUnits(a.path, b.path));
  return {
    label: paths.length === 1 ? basename(resolve(paths[0] ?? ".")) || "card" : "several",
    files,
    folders: folders.sort(byCodeUnits),
    skipped: skipped.sort((a, b) => byCodeUnits(a.path, b.path)),
    remarks,
    ...(anyFolder === undefined ? {} : { anyFolder }),
  };
}

/** Sidecars of a file named alone: what shares its stem in its folder, or continues it by three characters. */
async function addCompanions(
  root: string,
  path: string,
  add: (root: string, path: string, status: Stats, asked: boolean) => void,
  signal: AbortSignal,
): Promise<void> {
  const folder = dirname(join(root, path));
  const inside = dirname(path) === "." ? "" : `${dirname(path)}/`;
  const stem = foldedName(stemOf(basename(path)));
  let looked = 0;
  try {
    for await (const entry of await opendir(folder)) {
      signal.throwIfAborted();
      looked += 1;
      if (looked > mostEntries) return;
      const name = foldedName(entry.name);
      const companion = /\.(srt|ass|ssa|vtt|xmp|xml|thm|lrv|lrf)$/.test(name) && name.startsWith(stem);
      if (!companion || !entry.isFile() || skippedFile(entry.name) !== undefined) continue;
      add(root, `${inside}${entry.name}`, await lstat(join(folder, entry.name)), false);
    }
  } catch (error) {
    signal.throwIfAborted();
    void error; // The folder of a single file need not be readable: the file itself is.
  }
}

/**
 * One root and one path inside the card for every path given: a single folder is its own root; several keep their last
 * name, or as much of their path as tells them apart.
 */
function rootsOf(paths: readonly string[]): readonly { given: string; root: string; prefix: string }[] {
  const all = [...new Set(paths.map((path) => resolve(path)))];
  const [only] = all;
  if (all.length === 1 && only !== undefined) {
    return [{ given: only, root: dirname(only), prefix: "" }];
  }
  const names = all.map((path) => basename(path));
  if (new Set(names.map(foldedName)).size === names.length) {
    return all.map((given) => ({ given, root: dirname(given), prefix: basename(given) }));
  }
  const shared = sharedFolder(all);
  return all.map((given) => ({
    given,
    root: shared,
    prefix: given.slice(shared.length).replaceAll("\\", "/").replace(/^\/+/, ""),
  }));
}

/** For every path given, as it was written: the path on the card that it, or everything below it, begins with. */
export function namesOnCard(paths: readonly string[]): ReadonlyMap<string, string> {
  const names = new Map(
    rootsOf(paths).map(({ given, prefix }) => [given, prefix === "" ? basename(given) : prefix] as const),
  );
  return new Map(paths.map((path) => [path, names.get(resolve(path)) ?? basename(path)]));
}

function sharedFolder(paths: readonly string[]): string {
  let shared = dirname(paths[0] ?? "/");
  while (shared !== dirname(shared) && !paths.every((path) => path.startsWith(join(shared, "/")))) {
    shared = dirname(shared);
  }
  return shared;
}

type Typed = Pick<Dirent, "isSymbolicLink" | "isFIFO" | "isSocket" | "isCharacterDevice" | "isBlockDevice">;

function unusual(entry: Typed): string | undefined {
  if (entry.isSymbolicLink()) return "link, not followed";
  if (entry.isFIFO()) return "pipe, not a file";
  if (entry.isSocket()) return "socket, not a file";
  if (entry.isCharacterDevice() || entry.isBlockDevice()) return "device, not a file";
  return undefined;
}

const reasons: Readonly<Record<string, string>> = {
  EACCES: "no permission",
  EPERM: "no permission",
  ENOENT: "it is not there",
  EIO: "the medium does not read",
  ELOOP: "links go in a circle",
  ENAMETOOLONG: "the name is too long",
  EMFILE: "too many files are open",
  ENOTFILE: "it is not a regular file",
  EISDIR: "it is a folder",
  ESHORTER: "it became shorter while it was read",
};

/** A system error in plain words, without any path of this machine. */
export function reasonOf(error: unknown): string {
  const code = (error as { readonly code?: unknown } | undefined)?.code;
  if (typeof code === "string") return reasons[code] ?? `system error ${code}`;
  return "unreadable";
}
