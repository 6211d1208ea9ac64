// Not run by itself: docs/performance.md out of the lines measured.
import { type Line, misses } from "./bars.ts";

const figure = (value: number): string =>
  Number.isNaN(value) ? "–" : value >= 100 ? value.toFixed(0) : value >= 1 ? value.toFixed(2) : value.toPrecision(2);

const barText = (line: Line): string =>
  line.most !== undefined ? `≤ ${figure(line.most)}` : line.least !== undefined ? `≥ ${figure(line.least)}` : "";

/** A line for the terminal. */
export function printed(line: Line): string {
  const { least, median, most } = line.spread;
  const spread = least === most ? figure(median) : `${figure(median)} (${figure(least)} to ${figure(most)})`;
  const bar = barText(line) === "" ? "" : `, bar ${barText(line)}: ${misses(line) ? "MISSED" : "met"}`;
  return `${line.what}: ${spread} ${line.unit}${bar}`;
}

/** What stands between the marks is written by hand and kept. */
const from = "<!-- notes: kept by the script -->";
const to = "<!-- end of notes -->";

/** The whole page; `notes` is the page as it was, whose hand-written part is kept. */
export function pageOf(
  parts: readonly (readonly [string, readonly Line[]])[],
  about: {
    readonly machine: string;
    readonly tools: readonly (string | undefined)[];
    readonly rounds: number;
    readonly notes: string;
  },
): string {
  const start = about.notes.indexOf(from);
  const end = about.notes.indexOf(to);
  const kept = start >= 0 && end > start ? about.notes.slice(start + from.length, end).trim() : "";
  const tables = parts.map(([title, lines]) =>
    [
      `## ${title}\n`,
      "| what | median | least | most | bar | |",
      "|---|---:|---:|---:|---:|---|",
      ...lines.map((line) => {
        const { least, median, most } = line.spread;
        const cells = [figure(median), figure(least), figure(most)].join(" | ");
        const verdict = barText(line) === "" ? "" : misses(line) ? "**missed**" : "met";
        const note = line.note === undefined ? "" : ` (${line.note})`;
        return `| ${line.what}${note}, ${line.unit} | ${cells} | ${barText(line)} | ${verdict} |`;
      }),
      "",
    ].join("\n"),
  );
  return [
    "<!-- Made by npm run bench -- --full (scripts/bench); only the notes are written by hand. -->\n",
    "# How fast goodgate is\n",
    "Ratios of one run count, absolute times do not. Clips are sparse files: real headers and telemetry, and a hole",
    "where the pictures would be, but for the first picture, which is real. goodgate and its yardsticks run in turn, a",
    `round to warm up and then up to ${about.rounds} rounds; least, median and most are of the ratios round by round.\n`,
    `Machine: ${about.machine}. Beside it: ${about.tools.filter((tool) => tool !== undefined).join("; ")}.\n`,
    ...tables,
    `${from}\n\n${kept}\n\n${to}\n`,
  ].join("\n");
}
