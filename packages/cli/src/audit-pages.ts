import type { Report } from "@goodgate/report";

/** The text of a page; a long one comes in pieces. */
export type PageText = string | Iterable<string>;

/** The files an audit writes, one after the other so that none waits in memory for the last: name and text of each. */
export async function* auditPages(
  report: Report,
  filmstrips?: ReadonlyMap<string, string>,
): AsyncGenerator<readonly [string, PageText]> {
  const { renderHtml } = await import("@goodgate/report/html");
  yield ["report.html", await renderHtml(report, filmstrips === undefined ? {} : { filmstrips })];
  const { jsonPieces } = await import("@goodgate/report/json");
  yield ["report.json", jsonPieces(report)];
  const { renderCsv } = await import("@goodgate/report/csv");
  yield ["report.csv", renderCsv(report)];
  const { otioPieces } = await import("@goodgate/report/otio");
  yield ["report.otio", otioPieces(report)];
  const { renderHandover } = await import("@goodgate/report/handover");
  yield ["handover.md", renderHandover(report)];
}

/** The same files as whole texts by name, for a record that hashes them. */
export async function auditTexts(report: Report): Promise<Readonly<Record<string, string>>> {
  const texts: Record<string, string> = {};
  for await (const [name, text] of auditPages(report)) {
    texts[name] = typeof text === "string" ? text : [...text].join("");
  }
  return texts;
}
