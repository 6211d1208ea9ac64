import { buildFactsPage } from "../facts-page.ts";
import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
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
  io.print(await buildFactsPage(reading, options, io));
  const damaged = reading.clips.some((clip) => clip.facts.structure?.state === "damaged");
  return reading.partial ? exitCodes.interrupted : damaged ? exitCodes.notGood : exitCodes.good;
}
