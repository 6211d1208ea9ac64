import type { BigIntStats } from "node:fs";
import { lstat } from "node:fs/promises";
import type { FolderMaker } from "./folder-maker.ts";
import { hashFile, type HashedFile, readBack } from "./hash-file.ts";
import { PartialFile } from "./partial-file.ts";
import type { Progress } from "./seal-card.ts";
import { foldedPath, hasThisName } from "./twin-names.ts";
import { placeOf, type TreeFile } from "./walk-files.ts";
import { codeOf, wordsOf } from "./words-of.ts";

/** A card that is copied. */
export interface Source {
  readonly root: string;
  /** Folded paths that stand for more than one file of the card. */
  readonly twins: ReadonlySet<string>;
}

/** A place a card is copied to. */
export interface Place {
  readonly folders: FolderMaker;
  /** Folder for copies in the making. */
  readonly partials: FolderMaker;
}

/** What became of one file at one place. */
export type Outcome = "copied" | "kept" | "refused" | { readonly why: string };

/** A file on its way to one place: being written, found there already, or failed. */
type Leg = { readonly final: Buffer; readonly partial?: PartialFile } | { readonly why: string };

/** A file of the card that was read once, and what was begun with it at each place. */
export interface BegunFile {
  readonly file: TreeFile;
  readonly hashed: HashedFile;
  readonly legs: readonly Leg[];
}

/**
 * Reads a file of the card once and writes it to each place under a name of its own. `number` tells it from the others
 * under way. Throws when the card's file cannot be read, and on abort; nothing is left then.
 */
export async function beginFile(
  source: Source,
  file: TreeFile,
  number: number,
  places: readonly Place[],
  signal: AbortSignal,
  progress: Progress,
): Promise<BegunFile> {
  const legs: Leg[] = [];
  for (const place of places) legs.push(await beginLeg(source, file, number, place));
  const partials = partialsOf(legs);
  const writing = async (chunk: Uint8Array): Promise<void> => {
    await Promise.all(partials.map((partial) => partial.write(chunk)));
  };
  try {
    const sink = partials.length > 0 ? writing : undefined;
    const hashed = await hashFile(placeOf(source.root, file), signal, progress.pass, sink);
    return { file, hashed, legs: await Promise.all(legs.map(endBroken)) };
  } catch (error) {
    await discard(partials);
    throw error;
  }
}

/** A copy that could not be written gives its space back at once: the next file may find room there. */
async function endBroken(leg: Leg): Promise<Leg> {
  if ("why" in leg || leg.partial?.fault === undefined) return leg;
  await discard([leg.partial]);
  return { why: wordsOf(leg.partial.fault) };
}

const takenByTwin =
  "another file of the card has its place there: this disk takes names for one that differ only in capitals or accents";

async function beginLeg({ root, twins }: Source, file: TreeFile, number: number, place: Place): Promise<Leg> {
  try {
    const final = await place.folders.placeFor(file.rawPath);
    const already = await statusOf(final);
    if (already !== undefined) {
      if (!already.isFile()) throw new Error("something else than a file is there and was kept");
      if (await isSameFile(already, placeOf(root, file))) throw new Error("what is there is the card's own file");
      if (twins.has(foldedPath(file.path)) && !(await hasThisName(final))) throw new Error(takenByTwin);
      return { final };
    }
    const own = await place.partials.placeFor(Buffer.from(`file-${number}`));
    return { final, partial: await PartialFile.begin(own) };
  } catch (error) {
    return { why: wordsOf(error) };
  }
}

/**
 * Reads back what was begun while the disk takes the rest of it, then, when `turn` comes, gives each good copy its name.
 * Turns go one by one: where a name can only be looked for and then taken, no other copy may come between. Gives one
 * outcome for each place. Throws only on abort; nothing without its final name is left.
 */
export async function finishFile(
  { file, hashed, legs }: BegunFile,
  turn: Promise<unknown>,
  signal: AbortSignal,
  progress: Progress,
): Promise<readonly Outcome[]> {
  try {
    const checked = await Promise.all(legs.map((leg) => checkLeg(leg, hashed, signal, progress)));
    await turn;
    signal.throwIfAborted();
    const outcomes: Outcome[] = [];
    for (const [at, leg] of legs.entries()) {
      const outcome = checked[at] ?? "refused";
      if (outcome !== "copied" || "why" in leg) outcomes.push(outcome);
      else outcomes.push(await named(leg.final, leg.partial, file));
    }
    return outcomes;
  } finally {
    await discard(partialsOf(legs));
  }
}

async function named(final: Buffer, partial: PartialFile | undefined, file: TreeFile): Promise<Outcome> {
  try {
    await partial?.putInPlace(final, file.modifiedMilliseconds);
    return "copied";
  } catch (error) {
    if (codeOf(error) === "EEXIST" && !(await hasThisName(final).catch(() => true))) return { why: takenByTwin };
    return { why: wordsOf(error) };
  }
}

/** "copied" means on the disk and read back the same; the name is still to be given. */
async function checkLeg(leg: Leg, hashed: HashedFile, signal: AbortSignal, progress: Progress): Promise<Outcome> {
  if ("why" in leg) return leg;
  const { final, partial } = leg;
  try {
    if (partial === undefined) {
      const there = await hashFile(final, signal, progress.pass);
      return there.sha256 === hashed.sha256 ? "kept" : "refused";
    }
    // Both are waited for even when one fails: the file must not be closed under the other.
    const [synced, back] = await Promise.allSettled([partial.sync(), readBack(partial.place, signal, progress.pass)]);
    await partial.close();
    if (synced.status === "rejected") throw synced.reason;
    if (back.status === "rejected") throw back.reason;
    if (back.value.sha256 !== hashed.sha256) return { why: "the copy does not read back as the card reads" };
    return "copied";
  } catch (error) {
    signal.throwIfAborted();
    return { why: wordsOf(error) };
  }
}

const partialsOf = (legs: readonly Leg[]): readonly PartialFile[] =>
  legs.flatMap((leg) => ("why" in leg || leg.partial === undefined ? [] : [leg.partial]));

async function discard(partials: readonly PartialFile[]): Promise<void> {
  for (const partial of partials) {
    await partial.close().catch(() => {});
    await partial.remove();
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
