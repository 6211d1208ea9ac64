import { join, resolve } from "node:path";
import { visible } from "@goodgate/report/visible";
import type { CardCopy } from "@goodgate/seal";
import { assembleReport } from "../assemble.ts";
import { auditTexts } from "../audit-pages.ts";
import { CommandError, nothingThere } from "../command-error.ts";
import { auditExitCode, exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
import { isFolder, liesIn, makeOutputFolder, refuseOnCard, writeWhole } from "../output-folder.ts";
import { byteProgress } from "../progress.ts";
import { readCard } from "../read-card.ts";
import { type BriefOptions, readStatedBrief } from "../stated-brief.ts";

/** Folder of a bag that holds what was copied (RFC 8493, section 2.1.2). */
const payloadFolder = "data";

/** Copies a card to one or more places in one read, verifies by reading back, and audits it. */
export async function copyCommand(
  card: string,
  places: readonly string[],
  options: BriefOptions & { readonly positions: boolean },
  io: Io,
): Promise<number> {
  if (!(await isFolder(card))) throw new CommandError(`${card}: no folder: give the card itself`);
  const { stated, source } = await readStatedBrief(options);
  const real: string[] = [];
  for (const place of places) {
    real.push(await refuseOnCard(place, [card]));
    // A card at PLACE/data would be its own copy.
    await refuseOnCard(join(place, payloadFolder), [card]);
  }
  if (real.some((path, at) => real.some((other, place) => place !== at && liesIn(path, other)))) {
    throw new CommandError("a destination was given twice or lies in another: give places apart from each other");
  }
  const destinations = [];
  for (const place of places) {
    const destination = await makeOutputFolder(place, [card]);
    destinations.push({ destination, payload: join(destination, payloadFolder) });
  }
  const began = io.now();
  const { copyCard, isUtf8Name, sealFiles } = await import("@goodgate/seal");
  let copy: CardCopy;
  try {
    copy = await copyCard(resolve(card), destinations, io.signal, byteProgress("copying", io));
  } catch (error) {
    if (!io.signal.aborted) throw error;
    io.tell(
      "interrupted: what is copied is whole, the rest is missing; the same command goes on. Do not wipe the card.",
    );
    return exitCodes.interrupted;
  }
  if (copy.seal.entries.length + copy.seal.unsealed.length === 0) throw nothingThere(card);
  const reading = await readCard([card], {}, io);
  const report = await assembleReport(reading, stated, {
    began,
    now: io.now(),
    positions: options.positions,
    ...(source === undefined ? {} : { source }),
  });
  const files = sealFiles(copy.seal, new Date(began).toISOString().slice(0, 10), await auditTexts(report));
  let wrong = copy.seal.unsealed.length;
  for (const each of copy.seal.unsealed) io.print(`not copied: ${visible(each.path)}: ${each.why}\n`);
  for (const [at, result] of copy.results.entries()) {
    const shown = visible(places[at] ?? result.destination);
    wrong += result.refused.length + result.failed.length;
    for (const path of result.refused) io.print(`${shown}: a different file is there and was kept: ${visible(path)}\n`);
    for (const each of result.failed) io.print(`${shown}: ${visible(each.path)}: ${each.why}\n`);
    const whole = result.refused.length + result.failed.length === 0;
    if (whole) for (const [name, text] of Object.entries(files)) await writeWhole(join(result.destination, name), text);
    io.print(
      `${shown}: ${result.copied} files copied and read back the same, ${result.kept} there already` +
        `${whole ? `; checksums in ${join(shown, "manifest-sha256.txt")}` : "; NOT complete: do not wipe the card"}\n`,
    );
  }
  const unlisted = copy.seal.entries.filter((entry) => !isUtf8Name(entry.rawPath)).length;
  if (unlisted > 0) {
    io.print(
      `${unlisted} files have names that are no UTF-8: copied, in card.sha256, and in no bag manifest, which holds UTF-8 alone\n`,
    );
  }
  if (wrong > 0) return exitCodes.notGood;
  io.print(`${visible(report.answer.says)}\n`);
  return auditExitCode(report);
}
