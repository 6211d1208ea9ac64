import { stat } from "node:fs/promises";
import { type Clip, listOf } from "@goodgate/model";
import { factsPieces } from "../facts-page.ts";
import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import { type Io, printPieces } from "../io.ts";
import { readCard } from "../read-card.ts";

/** Options of `goodgate facts`. */
export interface FactsOptions {
  readonly json?: boolean;
  readonly jsonl?: boolean;
  readonly secondReader?: boolean;
  readonly positions?: boolean;
  readonly jobs?: number;
}

/** Prints every fact with its origin and what was read. Exit code 1 when a file is damaged. */
export async function facts(paths: readonly string[], options: FactsOptions, io: Io): Promise<number> {
  if (options.json === true && options.jsonl === true) throw new CommandError("--json and --jsonl: choose one");
  const reading = await readCard(paths, { ...options, join: false }, io);
  const page = options.jsonl === true ? { ...options, pathOf: await pathsAsGiven(paths) } : options;
  let damaged = false;
  // Noted while the page goes through the clips: unpacking ten thousand of them once more takes a second or two.
  const clips = listOf(reading.clips.length, (place) => {
    const clip = reading.clips.at(place) as Clip;
    damaged ||= clip.facts.structure?.state === "damaged";
    return clip;
  });
  await printPieces(factsPieces({ ...reading, clips }, page, io), io);
  return reading.partial ? exitCodes.interrupted : damaged ? exitCodes.notGood : exitCodes.good;
}

/**
 * Flat lines are for scripts: a file named by itself keeps the name it was given by, one in a folder its path inside
 * that folder, and what merely lies beside a named file has no line.
 */
async function pathsAsGiven(paths: readonly string[]): Promise<(path: string) => string | undefined> {
  const { namesOnCard } = await import("@goodgate/probe");
  const files = new Map<string, string>();
  const folders: string[] = [];
  for (const [given, name] of namesOnCard(paths)) {
    if ((await stat(given).catch(() => undefined))?.isDirectory() !== true) files.set(name, given);
    else if (paths.length === 1) return (path) => path;
    else folders.push(`${name}/`);
  }
  return (path) => files.get(path) ?? (folders.some((folder) => path.startsWith(folder)) ? path : undefined);
}
