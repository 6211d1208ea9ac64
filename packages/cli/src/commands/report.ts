import { readFile } from "node:fs/promises";
import type { Report } from "@goodgate/report";
import { CommandError } from "../command-error.ts";
import { exitCodes } from "../exit-codes.ts";
import type { Io } from "../io.ts";
import { reason, writeWhole } from "../output-folder.ts";

/** Pages that can be made from a report. */
export type PageFormat = "html" | "csv" | "otio" | "handover" | "table" | "json";

/** Reads and checks a report.json. Throws a CommandError naming the file and what is wrong. */
export async function readReport(file: string): Promise<Report> {
  let text: string;
  try {
    text = await readFile(file, "utf8");
  } catch (error) {
    const code = (error as { readonly code?: unknown }).code;
    if (code === "ERR_FS_FILE_TOO_LARGE" || code === "ERR_STRING_TOO_LONG") {
      throw new CommandError(
        `${file}: larger than one text can be (512 MB): take the pages that audit --out wrote beside it, or audit fewer folders at a time`,
      );
    }
    throw new CommandError(`${file}: ${reason(error)}: give the report.json that goodgate audit --out wrote`);
  }
  const { parseReport } = await import("@goodgate/report/parse");
  try {
    return parseReport(text);
  } catch (error) {
    throw new CommandError(`${file}: ${error instanceof Error ? error.message.split("\n")[0] : String(error)}`);
  }
}

/** Makes one page from a report. */
export async function renderPage(
  report: Report,
  format: PageFormat,
  io: Pick<Io, "columns" | "colour">,
): Promise<string> {
  switch (format) {
    case "html":
      return await (await import("@goodgate/report/html")).renderHtml(report);
    case "csv":
      return (await import("@goodgate/report/csv")).renderCsv(report);
    case "otio":
      return (await import("@goodgate/report/otio")).renderOtio(report);
    case "handover":
      return (await import("@goodgate/report/handover")).renderHandover(report);
    case "json":
      return (await import("@goodgate/report/json")).renderJson(report);
    case "table":
      return (await import("@goodgate/report/table")).renderTable(report, {
        columns: io.columns,
        colour: io.colour,
        notes: true,
        written: [],
      });
  }
}

/** Makes a page again from a report, with no card. */
export async function reportCommand(
  file: string,
  options: { readonly format: PageFormat; readonly out?: string },
  io: Io,
): Promise<number> {
  const page = await renderPage(await readReport(file), options.format, io);
  if (options.out === undefined) {
    io.print(page);
    return exitCodes.good;
  }
  await writeWhole(options.out, page);
  io.tell(`written: ${options.out}`);
  return exitCodes.good;
}
