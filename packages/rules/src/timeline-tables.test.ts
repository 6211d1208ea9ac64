import { cleanSlowSpeeds, completeBrief, parseRate, type Rate, realTimeCadence, toNumber } from "@goodgate/model";
import { expect, test } from "vitest";
import { judgeClip } from "./judge.ts";
import { exampleClip } from "./run-example.ts";
import { columns, realTimeTable, slowSpeedTable } from "./timeline-tables.fixture.ts";

const rateOf = (text: string): Rate => {
  const found = parseRate(text);
  if (found === undefined) throw new Error(`${text} is no rate`);
  return found;
};
const cells = (table: Readonly<Record<string, readonly string[]>>): [string, string, string][] =>
  Object.entries(table).flatMap(([capture, row]) =>
    row.map((cell, place): [string, string, string] => [capture, columns[place] ?? "", cell]),
  );
const near = (found: number, stated: string): boolean => Math.abs(found - Number(stated)) <= 0.0501;

test("both tables hold 14 capture rates on 8 timeline rates", () => {
  for (const table of [realTimeTable, slowSpeedTable]) {
    expect(Object.keys(table)).toHaveLength(14);
    for (const row of Object.values(table)) expect(row).toHaveLength(8);
  }
});

test.each(cells(realTimeTable))("%s on %s in real time is %s", (captureText, timelineText, cell) => {
  const [capture, timeline] = [rateOf(captureText), rateOf(timelineText)];
  const cadence = realTimeCadence(capture, timeline);
  const clip = exampleClip({ facts: { frameRate: capture } });
  const judged = judgeClip(clip, completeBrief({ timelineRate: timeline, treatment: "real" }), { now: 0 });
  const cases = judged.findings.map((finding) => finding.case).filter((id) => id?.startsWith("A"));
  const odd = toNumber(cadence.oddPerSecond);
  if (cell === "=") {
    expect(cadence.kind).toBe("one for one");
    expect(cases).toEqual([]);
    return;
  }
  const even = /^([NH])(\d+)$/.exec(cell);
  if (even !== null) {
    expect([cadence.kind, cadence.count]).toEqual([even[1] === "N" ? "every nth" : "held", Number(even[2])]);
    expect(cases).toEqual([even[1] === "N" ? "A2" : "A3"]);
    return;
  }
  const miss = /^~(=|[NH]\d+) ([\d.]+)s$/.exec(cell);
  if (miss !== null) {
    const count = miss[1] === "=" ? 1 : Number((miss[1] ?? "").slice(1));
    expect([cadence.kind, cadence.count]).toEqual(["near", count]);
    expect(near(cadence.eventSeconds === undefined ? 0 : toNumber(cadence.eventSeconds), miss[2] ?? "")).toBe(true);
    expect(cases).toEqual(["A4"]);
    expect(judged.verdict).toBe("unknown");
    return;
  }
  const uneven = /^([FLJR])(\d+)-(\d+) ([\d.]+)\/s(?: (\d+)%)?$/.exec(cell);
  expect(uneven, cell).not.toBeNull();
  const [, letter, least, most, perSecond, share] = uneven ?? [];
  expect([cadence.least, cadence.most]).toEqual([Number(least), Number(most)]);
  expect(near(odd, perSecond ?? ""), `${odd} odd a second`).toBe(true);
  const finding = judged.findings.find((one) => one.case === (letter === "R" ? "A6" : "A5"));
  expect(finding?.grade).toBe(letter === "F" ? "note" : "workable");
  if (letter === "R") return;
  // Whole per cent; a half may have been rounded either way.
  expect(Math.abs(toNumber(cadence.unevenness) * 100 - Number(share))).toBeLessThanOrEqual(0.5 + 1e-9);
  expect(finding?.says).toContain({ F: "faint", L: "light", J: "strong" }[letter ?? ""]);
});

test.each(cells(slowSpeedTable))("%s on %s slows cleanly at %s %%", (captureText, timelineText, cell) => {
  const speeds = cleanSlowSpeeds(rateOf(captureText), rateOf(timelineText));
  const percent = speeds.map(({ speed }) => Number((toNumber(speed) * 100).toFixed(2)));
  expect(percent).toEqual(cell === "" ? [] : cell.split(" ").map(Number));
});
