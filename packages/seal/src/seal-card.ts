import { createHash } from "node:crypto";
import { hashFile } from "./hash-file.ts";
import { bagManifest, checksumList, isUtf8Name, type ManifestEntry } from "./manifest.ts";
import { wordsOf } from "./words-of.ts";
import { placeOf, type Tree, walkFiles } from "./walk-files.ts";

/** A file that could not be sealed. */
export interface Unsealed {
  readonly path: string;
  readonly why: string;
}

/** The hashes of a whole card. */
export interface CardSeal {
  readonly entries: readonly (ManifestEntry & { readonly bytes: number; readonly rawPath: Buffer })[];
  readonly unsealed: readonly Unsealed[];
  readonly bytes: number;
}

/** Progress of a pass over a card. */
export interface Progress {
  /** Called with the total before the first byte. */
  readonly begin?: (files: number, bytes: number) => void;
  /** Called with bytes as they pass. */
  readonly pass?: (bytes: number) => void;
}

/** Reads every byte of a tree once and hashes it, files that nobody understands included. */
export async function sealCard(root: string, signal: AbortSignal, progress: Progress = {}): Promise<CardSeal> {
  const tree: Tree = await walkFiles(root, signal);
  progress.begin?.(
    tree.files.length,
    tree.files.reduce((sum, file) => sum + file.bytes, 0),
  );
  const entries: (ManifestEntry & { bytes: number; rawPath: Buffer })[] = [];
  const unsealed: Unsealed[] = [...tree.left];
  let bytes = 0;
  for (const file of tree.files) {
    try {
      const hashed = await hashFile(placeOf(root, file), signal, progress.pass);
      entries.push({ sha256: hashed.sha256, path: file.path, rawPath: file.rawPath, bytes: hashed.bytes });
      bytes += hashed.bytes;
    } catch (error) {
      signal.throwIfAborted();
      unsealed.push({ path: file.path, why: wordsOf(error) });
    }
  }
  return { entries, unsealed, bytes };
}

/** The files of a seal: names in its folder and their contents. */
export interface SealFiles {
  readonly [name: string]: string | Buffer;
}

/** Bytes of the files and their count, as RFC 8493 section 2.2.2 writes it. */
const payloadOxum = (seal: CardSeal): string => `${seal.bytes}.${seal.entries.length}`;

/**
 * A seal as files. `card.sha256` holds paths inside the card: `sha256sum -c` reads it standing on the card. The other
 * files make the folder a bag (RFC 8493) as soon as the card's tree stands in it under `data`. `tags` are further files
 * (the audit) to be listed in the tag manifest. `day` is the bagging date, YYYY-MM-DD.
 */
export function sealFiles(seal: CardSeal, day: string, tags: SealFiles = {}): SealFiles {
  const named = seal.entries.filter((entry) => isUtf8Name(entry.rawPath));
  const files: Record<string, string | Buffer> = {
    ...tags,
    "card.sha256": checksumList(seal.entries),
    "bagit.txt": "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
    "bag-info.txt": `Bagging-Date: ${day}\nPayload-Oxum: ${payloadOxum({ ...seal, entries: named, bytes: named.reduce((sum, entry) => sum + entry.bytes, 0) })}\nBag-Software-Agent: goodgate\n`,
    "manifest-sha256.txt": bagManifest(named),
  };
  const tagEntries = Object.entries(files)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([path, text]) => ({ path, sha256: createHash("sha256").update(text).digest("hex") }));
  return { ...files, "tagmanifest-sha256.txt": tagEntries.map(({ path, sha256 }) => `${sha256}  ${path}\n`).join("") };
}

/** What a check of a seal against a tree found. */
export interface SealCheck {
  readonly same: number;
  readonly changed: readonly string[];
  readonly missing: readonly string[];
  readonly extra: readonly string[];
  readonly unreadable: readonly Unsealed[];
}

/** Compares a tree with a checksum list: every byte is read again. */
export async function checkSeal(
  root: string,
  sealed: readonly ManifestEntry[],
  signal: AbortSignal,
  progress: Progress = {},
): Promise<SealCheck> {
  const tree = await walkFiles(root, signal);
  const keyOf = (raw: Buffer): string => raw.toString("latin1");
  const wanted = new Map(sealed.map((entry) => [keyOf(entry.rawPath ?? Buffer.from(entry.path)), entry]));
  progress.begin?.(
    tree.files.length,
    tree.files.reduce((sum, file) => sum + file.bytes, 0),
  );
  const changed: string[] = [];
  const extra: string[] = [];
  const unreadable: Unsealed[] = [];
  const seen = new Set<string>();
  let same = 0;
  for (const file of tree.files) {
    const key = keyOf(file.rawPath);
    const entry = wanted.get(key);
    if (entry === undefined) {
      extra.push(file.path);
      continue;
    }
    seen.add(key);
    try {
      const { sha256 } = await hashFile(placeOf(root, file), signal, progress.pass);
      if (sha256 === entry.sha256) same += 1;
      else changed.push(file.path);
    } catch (error) {
      signal.throwIfAborted();
      unreadable.push({ path: file.path, why: wordsOf(error) });
    }
  }
  const missing = [...wanted].filter(([key]) => !seen.has(key)).map(([, entry]) => entry.path);
  return { same, changed, missing, extra, unreadable };
}
