import type { ClipReport } from "../schema.ts";
import { clipTimeAxis, plotLeft, plotRight } from "./axes.ts";
import { type Mark, type Picture, pictureWidth, rect, strokes, text } from "./picture.ts";
import { clipSeconds, factParts, grouped, numberFrom } from "./values.ts";

/** Interval lengths drawn; the rest are counted together. */
const mostKinds = 5;
const rowHeight = 19;

interface Kind {
  readonly milliseconds: number;
  readonly count: number;
}

/** How regular the frame intervals are: each length with its count, and where frames are missing. */
export function intervalPicture(clip: ClipReport): Picture | undefined {
  const timing = factParts(clip, "timing");
  const timescale = numberFrom(timing?.["timescale"]);
  if (timing === undefined || timescale === undefined || timescale <= 0) return undefined;
  const kinds: Kind[] = [];
  for (const entry of listOf(timing["histogram"])) {
    const ticks = numberFrom(entry["ticks"]);
    const count = numberFrom(entry["count"]);
    if (ticks !== undefined && count !== undefined && count > 0) {
      kinds.push({ milliseconds: (ticks / timescale) * 1000, count });
    }
  }
  if (kinds.length === 0) return undefined;
  const total = kinds.reduce((sum, kind) => sum + kind.count, 0);
  const shown = kinds.slice(0, mostKinds).sort((a, b) => a.milliseconds - b.milliseconds);
  const others = kinds.slice(mostKinds).reduce((sum, kind) => sum + kind.count, 0);
  const rows = shown.map(({ milliseconds, count }) => ({ label: `${milliseconds.toFixed(2)} ms`, count }));
  if (others > 0) rows.push({ label: "others", count: others });

  const barLeft = 76;
  const most = Math.max(...rows.map((row) => row.count));
  // Counts from 1 to 100,000 side by side: the bar's length follows the logarithm, the number stands beside it.
  const length = (count: number): number =>
    6 + (plotRight - barLeft - 70) * (Math.log(count) / Math.log(Math.max(most, 10)));
  const marks: Mark[] = [];
  rows.forEach((row, place) => {
    const y = 6 + place * rowHeight;
    const width = length(row.count);
    marks.push(text("num end", barLeft - 6, y + 11, row.label), rect("bar", barLeft, y, width, 13));
    marks.push(text("num", barLeft + width + 5, y + 11, grouped(row.count)));
  });

  const seconds = clipSeconds(clip);
  const slips = listOf(timing["slips"])
    .map((slip) => numberFrom(slip["seconds"]))
    .filter((at): at is number => at !== undefined && at >= 0 && at <= seconds);
  const lost = numberFrom(timing["lostFrames"]) ?? 0;
  let height = 12 + rows.length * rowHeight;
  if (slips.length > 0) {
    const bottom = height + 30;
    const { x, marks: axisMarks } = clipTimeAxis(seconds, bottom);
    marks.push(text("small", plotLeft, height + 8, "frames missing at"), ...axisMarks);
    marks.push(
      strokes(
        "slip",
        slips.map((at) => [x.at(at), bottom, x.at(at), bottom - 16]),
      ),
    );
    height = bottom + 22;
  }
  const words: Record<string, string> = {
    constant: "every interval is equal",
    rounded: "equal but for the rounding of the file's clock",
    slips: `constant, with ${grouped(lost)} ${lost === 1 ? "frame" : "frames"} missing`,
    variable: "the interval varies",
  };
  const kind = String(timing["kind"]);
  return {
    id: "intervals",
    title: "Frame intervals",
    says: `${grouped(total)} intervals: ${Object.hasOwn(words, kind) ? words[kind] : "of an unknown kind"}.${most > 0 && rows.length > 1 ? " Bars are logarithmic." : ""}`,
    width: pictureWidth,
    height,
    marks,
  };
}

const listOf = (value: unknown): readonly Readonly<Record<string, unknown>>[] =>
  Array.isArray(value) ? value.filter((entry) => typeof entry === "object" && entry !== null) : [];
