import { type NextFlight, ndLabel, rateLabel, shutterLabel } from "@goodgate/model";
import Table from "cli-table3";

/** Borders of plain lines: the table reads the same in a file as on a screen. */
const lines = {
  top: "",
  "top-mid": "",
  "top-left": "",
  "top-right": "",
  bottom: "",
  "bottom-mid": "",
  "bottom-left": "",
  "bottom-right": "",
  left: "",
  "left-mid": "",
  mid: "─",
  "mid-mid": "─",
  right: "",
  "right-mid": "",
  middle: "  ",
};

/** The table of `goodgate settings`: one row a capture rate, what it serves, and what this light does not allow. */
export function renderSettings(
  flight: NextFlight,
  terminal: { readonly columns: number; readonly colour: boolean },
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
    chars: lines,
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
  const heading =
    flight.lightEv === undefined
      ? "Next flight, light not known"
      : `Next flight, light about EV ${Number(flight.lightEv.toFixed(1))} at ISO 100${flight.fNumber === undefined ? "" : `, f/${flight.fNumber}`}`;
  return `${heading}\n\n${table.toString()}\n\n${wrap(flight.caution, Math.min(terminal.columns, 100))}\n`;
}

/** Breaks a sentence at spaces so that no line is wider than `columns`. */
function wrap(text: string, columns: number): string {
  const rows: string[] = [];
  let row = "";
  for (const word of text.split(" ")) {
    if (row !== "" && row.length + 1 + word.length > columns) {
      rows.push(row);
      row = word;
    } else row = row === "" ? word : `${row} ${word}`;
  }
  return [...rows, row].join("\n");
}
