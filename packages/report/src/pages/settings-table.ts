import { type NextFlight, ndLabel, rateLabel, shutterLabel } from "@goodgate/model";
import Table from "cli-table3";
import { wrapped } from "../printed-text.ts";
import { noBorders } from "./no-borders.ts";

/** The table of `goodgate settings`: one row a capture rate, what it serves, and what this light does not allow. */
export function renderSettings(
  flight: NextFlight,
  terminal: { readonly columns: number; readonly colour: boolean; readonly assumed?: string },
): string {
  const fixed = [8, 9, 6, 7] as const;
  const last = Math.max(
    20,
    Math.min(terminal.columns, 140) - fixed.reduce((sum, width) => sum + width, 0) - 2 * fixed.length - 2,
  );
  const table = new Table({
    head: ["fps", "shutter", "ISO", "ND", "serves"],
    colWidths: [...fixed, last],
    wordWrap: true,
    chars: noBorders,
    style: { head: [], border: [], "padding-left": 0, "padding-right": 0, compact: true },
  });
  for (const row of flight.rows) {
    table.push([
      rateLabel(row.captureRate),
      `${shutterLabel(row.shutterSeconds)} s`,
      row.iso === undefined ? "–" : String(Math.round(row.iso)),
      row.ndFactor === undefined ? "–" : ndLabel(row.ndFactor),
      [...row.uses, ...row.cannot.map((text) => `not here: ${text}`)].join("; "),
    ]);
  }
  const rows = table
    .toString()
    .split("\n")
    .map((line) => line.trimEnd());
  const heading =
    flight.lightEv === undefined
      ? "Next flight, light not known"
      : `Next flight, light about EV ${Number(flight.lightEv.toFixed(1))} at ISO 100${flight.fNumber === undefined ? "" : `, f/${flight.fNumber}`}`;
  return `${heading}${terminal.assumed === undefined ? "" : ` (${terminal.assumed})`}\n\n${rows.join("\n")}\n\n${wrapped(flight.caution, Math.min(terminal.columns, 100)).join("\n")}\n`;
}
