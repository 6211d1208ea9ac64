import { readdir } from "node:fs/promises";
import type { TreeFile } from "./walk-files.ts";

/**
 * Paths of a tree that a destination may take for one another: the same but for capitals or for the way accents are
 * written. Where the system finds a file under such a path, it may be another file of the card.
 */
export function twinPaths(files: readonly TreeFile[]): ReadonlySet<string> {
  const seen = new Set<string>();
  const twins = new Set<string>();
  for (const { path } of files) {
    const folded = foldedPath(path);
    if (seen.has(folded)) twins.add(folded);
    else seen.add(folded);
  }
  return twins;
}

/** A path as the most forgetful file system would compare it. Common practice, no source: systems differ in detail. */
export const foldedPath = (path: string): string => path.normalize("NFKC").toUpperCase().toLowerCase();

/** Whether what is found at a place has this very name, byte by byte. Throws the system's error. */
export async function hasThisName(place: Buffer): Promise<boolean> {
  const slash = place.lastIndexOf("/");
  const name = place.subarray(slash + 1);
  const names = await readdir(place.subarray(0, slash), { encoding: "buffer" });
  return names.some((each) => each.equals(name));
}
