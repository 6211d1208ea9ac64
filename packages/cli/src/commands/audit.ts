import { join } from "node:path";
import type { Card } from "@goodgate/model";
import { assembleReport } from "../assemble.ts";
import { auditPages } from "../audit-pages.ts";
import { CommandError } from "../command-error.ts";
import { auditExitCode } from "../exit-codes.ts";
import { makeFilmstrips } from "../filmstrips.ts";
import { measurePictures } from "../measure-pictures.ts";
import { type Io, printPieces } from "../io.ts";
import { openJournal } from "../journal.ts";
import { openCache } from "../reading-cache.ts";
import { makeOutputFolder, writeWhole } from "../output-folder.ts";
import { gigabytes } from "../progress.ts";
import { type CardReading, readCard } from "../read-card.ts";
import { type BriefOptions, readStatedBrief } from "../stated-brief.ts";
import { version } from "../version.ts";

/** Options of `goodgate audit`. */
export interface AuditOptions extends BriefOptions {
  readonly out?: string;
  readonly json?: boolean;
  readonly notes?: boolean;
  readonly secondReader?: boolean;
  readonly positions?: boolean;
  readonly jobs?: number;
  readonly resume?: boolean;
  /** Takes what earlier audits read of files that are unchanged, and keeps what this one reads. */
  readonly cache?: boolean;
  /** Reads everything anew; the cache then holds this reading. */
  readonly fresh?: boolean;
  readonly pictures?: boolean;
  /** Asks the pictures themselves: true for a sample of each clip, or the word given. */
  readonly measure?: true | "sample" | "all";
}

/** Reads cards, judges every clip, prints the answer and writes the report. Gives the exit code. */
export async function audit(cards: readonly string[], options: AuditOptions, io: Io): Promise<number> {
  const began = io.now();
  const { stated, source } = await readStatedBrief(options);
  if (options.resume === true && options.out === undefined) {
    throw new CommandError("--resume goes on from what --out DIR kept: give the same --out as the interrupted audit");
  }
  if (options.pictures === true && options.out === undefined) {
    throw new CommandError("--pictures go into report.html: say with --out DIR where it is to be written");
  }
  // The folder is made first: an audit whose report cannot be written should not run for an hour to say so.
  const out = options.out === undefined ? undefined : await makeOutputFolder(options.out, cards);
  const readers = `${version} second-reader ${options.secondReader === true}`;
  const journal = out === undefined ? undefined : await openJournal(out, options.resume === true, readers);
  const cache = options.cache === true ? await openCache(cards, options.fresh === true, readers) : undefined;
  let complete = false;
  try {
    const { jobs, secondReader } = options;
    let reading: CardReading | undefined = await readCard(
      cards,
      {
        ...(jobs === undefined ? {} : { jobs }),
        ...(secondReader === undefined ? {} : { secondReader }),
        ...(journal === undefined ? {} : { journal }),
        ...(cache === undefined ? {} : { cache }),
        // What is under way is said at once: reading a slow card takes its time.
        found: (card) => {
          if (options.json !== true && card.clips.length + card.stills.length > 0) io.print(`${foundText(card)}\n`);
        },
      },
      io,
    );
    if (options.json !== true && reading.earlier.count > 0) {
      io.print(`${reading.earlier.count} of them are as an earlier audit read them; --fresh reads all anew.\n`);
    }
    if (reading.card.clips.length + reading.card.stills.length === 0 && !reading.partial) {
      throw new CommandError(
        `${cards.join(", ")}: no clips and no stills there: give the card itself or the folder with the clips`,
      );
    }
    if (options.measure !== undefined && !reading.partial) {
      const mode = options.measure === "all" ? "all" : "sample";
      reading = await measurePictures(reading, mode, stated.mainsHertz, io, { journal, cache });
    }
    // The terminal shows a handful of facts; the files hold all.
    const { renderTable, tableFacts } = await import("@goodgate/report/table");
    const printed = out === undefined && options.json !== true;
    const report = await assembleReport(reading, stated, {
      ...(printed ? { only: tableFacts } : {}),
      began,
      now: io.now(),
      positions: options.positions !== false,
      ...(source === undefined ? {} : { source }),
    });
    const strips = options.pictures === true ? await makeFilmstrips(reading, io) : undefined;
    // The report holds all that the pages need; with ten thousand clips the reading is half of the memory.
    reading = undefined;
    const written: string[] = [];
    if (out !== undefined && options.out !== undefined) {
      for await (const [name, text] of auditPages(report, strips)) {
        await writeWhole(join(out, name), text);
        written.push(join(options.out, name));
      }
    }
    complete = !report.partial;
    if (options.json === true) {
      const { jsonPieces } = await import("@goodgate/report/json");
      await printPieces(jsonPieces(report), io);
    } else {
      io.print(renderTable(report, { columns: io.columns, colour: io.colour, notes: options.notes === true, written }));
    }
    if (report.partial) {
      const next = journal === undefined ? "" : "; the same command with --resume goes on from here";
      io.tell(`interrupted: the report is partial and says so${next}`);
    }
    return auditExitCode(report);
  } finally {
    await (complete ? journal?.finish() : journal?.leave());
    await cache?.leave();
  }
}

/** What was found, in one line. */
function foundText(card: Card): string {
  const count = (number: number, word: string): string => `${number} ${word}${number === 1 ? "" : "s"}`;
  const parts = [
    ...(card.clips.length > 0 || card.stills.length === 0 ? [count(card.clips.length, "clip")] : []),
    ...(card.stills.length > 0 ? [count(card.stills.length, "still")] : []),
  ];
  return `Found ${parts.join(" and ")}, ${gigabytes(card.totalBytes)}: reading headers and telemetry, not the pictures.`;
}
