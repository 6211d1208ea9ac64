import { readFile, stat } from "node:fs/promises";
import { basename } from "node:path";
import { parseRate, rateLabel, timelineRates, type StatedBrief, type Treatment } from "@goodgate/model";
import { CommandError } from "./command-error.ts";
import { reason } from "./output-folder.ts";

/** Options that state a brief on the command line. */
export interface BriefOptions {
  readonly brief?: string;
  readonly timeline?: string;
  readonly treatment?: Treatment;
}

/** Largest brief file read; a brief is a page of text. */
const mostBriefBytes = 256 * 1024;

/**
 * The brief as stated by a file and by options, options first. Throws a CommandError naming file, line, key and what
 * was expected.
 */
export async function readStatedBrief(
  options: BriefOptions,
): Promise<{ readonly stated: StatedBrief; readonly source?: string }> {
  let stated: StatedBrief = {};
  if (options.brief !== undefined) {
    const { BriefError, parseBrief } = await import("@goodgate/model/brief-file");
    let text: string;
    try {
      const status = await stat(options.brief);
      if (!status.isFile())
        throw new CommandError(`--brief ${options.brief}: not a file: give a file that goodgate brief wrote`);
      if (status.size > mostBriefBytes)
        throw new CommandError(`--brief ${options.brief}: larger than 256 KiB, so no brief`);
      text = await readFile(options.brief, "utf8");
    } catch (error) {
      if (error instanceof CommandError) throw error;
      throw new CommandError(`--brief ${options.brief}: ${reason(error)}: goodgate brief > brief.yaml starts one`);
    }
    try {
      stated = parseBrief(text, basename(options.brief));
    } catch (error) {
      if (error instanceof BriefError) throw new CommandError(error.message);
      throw error;
    }
  }
  if (options.timeline !== undefined) {
    const rate = parseRate(options.timeline);
    if (rate === undefined) {
      const known = timelineRates.map(rateLabel).join(", ");
      throw new CommandError(
        `--timeline ${options.timeline}: no frame rate: use one of ${known}, or a ratio such as 24000/1001`,
      );
    }
    stated = { ...stated, timelineRate: rate };
  }
  if (options.treatment !== undefined) stated = { ...stated, treatment: options.treatment };
  return options.brief === undefined ? { stated } : { stated, source: basename(options.brief) };
}
