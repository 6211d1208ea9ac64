import { rateLabel } from "@goodgate/model";
import type { ClipReport, Report } from "../schema.ts";
import { plotRight } from "./axes.ts";
import { type Mark, type Picture, pictureWidth, rect, text } from "./picture.ts";
import { factRatio, grouped, ratioFrom } from "./values.ts";

const uses = ["real time", "slow", "none"] as const;
const useWords = { "real time": "real time", slow: "slow", none: "no clean use" } as const;
const mostRows = 10;
const rowHeight = 26;
const barLeft = 62;

/** The rate the scene was captured at, as the trade names it; `not read` when unknown. */
export function captureLabel(clip: Pick<ClipReport, "facts">): string {
  const rate = factRatio(clip, "captureRate") ?? factRatio(clip, "frameRate");
  return rate === undefined || rate.numerator <= 0n ? "not read" : rateLabel(rate);
}

/** Clips by capture rate and by what they are best used for, with the count in each bar; undefined without clips. */
export function ratesPicture(report: Pick<Report, "clips" | "brief">): Picture | undefined {
  if (report.clips.length === 0) return undefined;
  const rows = new Map<string, Record<(typeof uses)[number], number>>();
  for (const clip of report.clips) {
    const label = captureLabel(clip);
    const row = rows.get(label) ?? { "real time": 0, slow: 0, none: 0 };
    row[clip.plan.use] += 1;
    rows.set(label, row);
  }
  const sorted = [...rows]
    .sort(([, a], [, b]) => all(b) - all(a))
    .slice(0, mostRows)
    .sort(([a], [b]) => order(a) - order(b));
  const most = Math.max(...sorted.map(([, row]) => all(row)));
  const wide = plotRight - barLeft - 44;
  const marks: Mark[] = [text("small end", barLeft - 8, 14, "fps")];
  let keyX = barLeft;
  for (const use of uses) {
    marks.push(
      rect(`use-${use === "real time" ? "real" : use}`, keyX, 5, 12, 10),
      text("small", keyX + 16, 14, useWords[use]),
    );
    keyX += 32 + useWords[use].length * 6.6;
  }
  sorted.forEach(([label, row], place) => {
    const y = 26 + place * rowHeight;
    marks.push(text("num end", barLeft - 8, y + 14, label));
    let x = barLeft;
    for (const use of uses) {
      if (row[use] === 0) continue;
      const width = Math.max(3, (row[use] / most) * wide);
      marks.push(rect(`use-${use === "real time" ? "real" : use}`, x, y, width, 18));
      x += width + 1;
    }
    const parts = uses.filter((use) => row[use] > 0).map((use) => grouped(row[use]));
    marks.push(text("num", x + 4, y + 14, parts.join(" + ")));
  });
  const timeline = ratioFrom(report.brief.items["timelineRate"]);
  const counts = uses.map((use) => [use, report.clips.filter((clip) => clip.plan.use === use).length] as const);
  return {
    id: "rates",
    title: "Clips by capture rate and best use",
    says: `${timeline === undefined ? "" : `On ${rateLabel(timeline)} fps: `}${counts
      .filter(([, count]) => count > 0)
      .map(([use, count]) => `${grouped(count)} ${useWords[use]}`)
      .join(", ")}.${rows.size > mostRows ? ` ${rows.size - mostRows} more rates are not drawn.` : ""}`,
    width: pictureWidth,
    height: 30 + sorted.length * rowHeight,
    marks,
  };
}

const all = (row: Record<(typeof uses)[number], number>): number => row["real time"] + row.slow + row.none;
const order = (label: string): number => (label === "not read" ? Infinity : Number(label));
