import { readFile, stat } from "node:fs/promises";
import { basename, join, resolve } from "node:path";
import { visible } from "@goodgate/report/visible";
import { assembleReport } from "../assemble.ts";
import { auditTexts } from "../audit-pages.ts";
import { CommandError, nothingThere } from "../command-error.ts";
import { auditExitCode, exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
import { isFolder, makeOutputFolder, reason, writeWhole } from "../output-folder.ts";
import { byteProgress } from "../progress.ts";
import { readCard } from "../read-card.ts";
import { type BriefOptions, readStatedBrief } from "../stated-brief.ts";

/** Options of `goodgate seal`. */
export interface SealOptions extends BriefOptions {
  readonly out?: string;
  readonly check?: string;
  readonly positions: boolean;
}

/** Hashes every byte of a card into a sealed record with the audit, or checks a folder against a record. */
export async function sealCommand(card: string, options: SealOptions, io: Io): Promise<number> {
  if (!(await isFolder(card))) throw new CommandError(`${card}: no folder: give the card itself or a copy of it`);
  if (options.check !== undefined) return await check(card, options.check, io);
  if (options.out === undefined) throw new CommandError("give --out DIR for a new record, or --check DIR to check one");
  const { stated, source } = await readStatedBrief(options);
  const out = await makeOutputFolder(options.out, [card]);
  const began = io.now();
  const { sealCard, sealFiles } = await import("@goodgate/seal");
  const seal = await sealCard(resolve(card), io.signal, byteProgress("sealing", io));
  if (seal.entries.length + seal.unsealed.length === 0) throw nothingThere(card);
  const reading = await readCard([card], {}, io);
  const report = await assembleReport(reading, stated, {
    began,
    now: io.now(),
    positions: options.positions,
    ...(source === undefined ? {} : { source }),
  });
  const pages = await auditTexts(report);
  const files = sealFiles(seal, new Date(began).toISOString().slice(0, 10), pages);
  for (const [name, text] of Object.entries(files)) await writeWhole(join(out, name), text);
  io.print(
    `sealed: ${seal.entries.length} files, ${seal.bytes} bytes, SHA-256 of each in ${visible(join(options.out, "card.sha256"))}\n` +
      `A seal proves these bytes at this time by this machine's clock; not who, where, or that the card is complete.\n`,
  );
  for (const each of seal.unsealed) io.print(`not sealed: ${visible(each.path)}: ${each.why}\n`);
  return seal.unsealed.length > 0
    ? exitCodes.notGood
    : auditExitCode(report) === exitCodes.interrupted
      ? exitCodes.interrupted
      : exitCodes.good;
}

/** Two million files with long names; more is no record. */
const mostRecordBytes = 400_000_000;

async function check(card: string, record: string, io: Io): Promise<number> {
  const { checkSeal, ManifestError, parseChecksumList } = await import("@goodgate/seal");
  const path = (await isFolder(record)) ? join(record, "card.sha256") : record;
  let list: ReturnType<typeof parseChecksumList>;
  try {
    const { size } = await stat(path);
    if (size > mostRecordBytes) throw new ManifestError(`larger than ${mostRecordBytes / 1e6} MB`);
    list = parseChecksumList(await readFile(path));
  } catch (error) {
    const why = error instanceof ManifestError ? error.message : reason(error);
    throw new CommandError(`${path}: ${why}: give the folder that goodgate seal --out wrote`);
  }
  const found = await checkSeal(resolve(card), list, io.signal, byteProgress("checking", io));
  const lists = [
    ["changed", found.changed],
    ["missing", found.missing],
    ["extra", found.extra],
  ] as const;
  for (const [word, paths] of lists) for (const each of paths) io.print(`${word}: ${visible(each)}\n`);
  for (const each of found.unreadable) io.print(`unreadable: ${visible(each.path)}: ${each.why}\n`);
  const wrong = found.changed.length + found.missing.length + found.extra.length + found.unreadable.length;
  io.print(
    wrong === 0
      ? `the same: all ${found.same} files of ${visible(basename(card))} are as sealed\n`
      : `not the same: ${found.same} files as sealed, ${found.changed.length} changed, ${found.missing.length} missing, ${found.extra.length} extra, ${found.unreadable.length} unreadable. Do not wipe the card.\n`,
  );
  return wrong === 0 ? exitCodes.good : exitCodes.notGood;
}
