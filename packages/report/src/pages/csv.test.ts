import { performance } from "node:perf_hooks";
import { parse } from "csv-parse/sync";
import { expect, test } from "vitest";
import { seenReport } from "../sample-pictures.ts";
import { bigReport, emptyReport, hostileReport, hostileTexts, sampleReport } from "../sample-report.ts";
import { renderCsv } from "./csv.ts";

type Row = Readonly<Record<string, string>>;
/** Outside check: csv-parse reads RFC 4180 text; `strict` column counts make a ragged row an error. */
const rowsOf = (text: string): readonly Row[] =>
  parse(text, { bom: true, columns: true, relax_column_count: false, record_delimiter: "\r\n" });

test("a CSV reader gets one row a clip with its numbers as numbers", () => {
  const rows = rowsOf(renderCsv(sampleReport()));
  expect(rows).toHaveLength(7);
  expect(rows[2]).toMatchObject({
    clip: "DCIM/100MEDIA/CLIP0003.MP4",
    verdict: "workable",
    use: "slow",
    "speed (%)": "83.4166667",
    "speed (exact)": "1001/1200 of full speed",
    "frame rate (fps)": "29.97003",
    "frame rate (exact)": "30000/1001 fps",
    frames: "599",
    "shutter typical (s)": "0.0166666667",
    "ISO typical": "100",
    "most urgent finding":
      "29.97 fps on a 25 timeline skips unevenly 5 times a second in real time: set the speed to 83.42 %.",
  });
  expect(rows[5]).toMatchObject({ verdict: "unknown", "ISO typical": "", "shutter typical (s)": "", transfer: "" });
  expect(rows[5]?.["not judged"]).toContain("The shutter was not judged");
});

test("lines end as RFC 4180 says and the text starts with a byte order mark", () => {
  const text = renderCsv(sampleReport());
  expect(text.charCodeAt(0)).toBe(0xfeff);
  expect(text.split("\r\n")).toHaveLength(1 + 7 + 1);
  expect(text.replaceAll("\r\n", "")).not.toContain("\n");
});

test("no cell is taken for a formula or a date by a spreadsheet", () => {
  const rows = rowsOf(renderCsv(hostileReport()));
  expect(rows).toHaveLength(hostileTexts.length);
  for (const cell of rows.flatMap((row) => Object.values(row))) {
    // Common practice, no source: cells that start with these are computed.
    if (!/^-?\d+(\.\d+)?(e-?\d+)?$/.test(cell)) expect(cell).not.toMatch(/^\s*[=+\-@\t\r\uFF1D\uFF0B\uFF0D\uFF20]/);
    expect(cell).not.toMatch(/^\d+\/\d+$/);
    expect(cell.length).toBeLessThan(32_767);
    expect(cell).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}]/u);
  }
});

test("an empty card gives the names of the columns and nothing else", () => {
  expect(rowsOf(renderCsv(emptyReport()))).toEqual([]);
  expect(renderCsv(emptyReport())).toMatch(/^\uFEFFclip,verdict,/);
});

test("2,000 clips are written in well under five seconds", () => {
  const report = bigReport(2000);
  const began = performance.now();
  renderCsv(report);
  expect(performance.now() - began).toBeLessThan(5000); // the aim is one; the test machines are shared
});

test("an angle says whether it is from the record or from motion blur", () => {
  const rows = rowsOf(renderCsv(seenReport()));
  const angles = [0, 5].map((place) => [
    rows[place]?.["shutter angle as seen (degrees)"],
    rows[place]?.["shutter angle taken from"],
  ]);
  expect(angles).toEqual([
    ["180", "record"],
    ["42.85", "motion blur"],
  ]);
  expect(rowsOf(renderCsv(sampleReport()))[5]?.["shutter angle taken from"]).toBe("");
});
