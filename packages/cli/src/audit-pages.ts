import type { Report } from "@goodgate/report";

/** The files an audit writes: name and text of each. */
export async function auditPages(
  report: Report,
  filmstrips?: ReadonlyMap<string, string>,
): Promise<readonly (readonly [string, string])[]> {
  const [{ renderHtml }, { renderJson }, { renderCsv }, { renderOtio }, { renderHandover }] = await Promise.all([
    import("@goodgate/report/html"),
    import("@goodgate/report/json"),
    import("@goodgate/report/csv"),
    import("@goodgate/report/otio"),
    import("@goodgate/report/handover"),
  ]);
  return [
    ["report.html", await renderHtml(report, filmstrips === undefined ? {} : { filmstrips })],
    ["report.json", renderJson(report)],
    ["report.csv", renderCsv(report)],
    ["report.otio", renderOtio(report)],
    ["handover.md", renderHandover(report)],
  ];
}
