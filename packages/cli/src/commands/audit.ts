import { join } from "node:path";
import { assembleReport } from "../assemble.ts";
import { auditPages } from "../audit-pages.ts";
import { CommandError } from "../command-error.ts";
import { auditExitCode } from "../exit-codes.ts";
import { makeFilmstrips } from "../filmstrips.ts";
import type { Io } from "../io.ts";
import { openJournal } from "../journal.ts";
import { makeOutputFolder, writeWhole } from "../output-folder.ts";
import { readCard } from "../read-card.ts";
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
  readonly pictures?: boolean;
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
  let complete = false;
  try {
    const reading = await readCard(cards, { ...options, ...(journal === undefined ? {} : { journal }) }, io);
    if (reading.card.clips.length + reading.card.stills.length === 0 && !reading.partial) {
      throw new CommandError(
        `${cards.join(", ")}: no clips and no stills there: give the card itself or the folder with the clips`,
      );
    }
    const report = await assembleReport(reading, stated, {
      began,
      now: io.now(),
      positions: options.positions !== false,
      ...(source === undefined ? {} : { source }),
    });
    const written: string[] = [];
    if (out !== undefined && options.out !== undefined) {
      const strips = options.pictures === true ? await makeFilmstrips(reading, io) : undefined;
      for (const [name, text] of await auditPages(report, strips)) {
        await writeWhole(join(out, name), text);
        written.push(join(options.out, name));
      }
    }
    complete = !report.partial;
    if (options.json === true) {
      const { renderJson } = await import("@goodgate/report/json");
      io.print(renderJson(report));
    } else {
      const { renderTable } = await import("@goodgate/report/table");
      io.print(renderTable(report, { columns: io.columns, colour: io.colour, notes: options.notes === true, written }));
    }
    if (report.partial) {
      const next = journal === undefined ? "" : "; the same command with --resume goes on from here";
      io.tell(`interrupted: the report is partial and says so${next}`);
    }
    return auditExitCode(report);
  } finally {
    await (complete ? journal?.finish() : journal?.leave());
  }
}
