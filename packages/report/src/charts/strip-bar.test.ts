import { expect, test } from "vitest";
import { seenReport } from "../sample-pictures.ts";
import { sampleReport } from "../sample-report.ts";
import type { ClipReport } from "../schema.ts";
import { stripBar } from "./strip-bar.ts";

const seen = seenReport().clips[0] as ClipReport;
const found = (grade: "note" | "workable", rule: string, ...atSeconds: number[]): ClipReport["findings"][number] => ({
  ...(sampleReport().clips[3]?.findings[0] as ClipReport["findings"][number]),
  rule,
  grade,
  atSeconds,
});

test("the bar marks what findings name and what was lost, and says the same in words", () => {
  const findings = [found("workable", "repeated-pictures", 6.24), found("note", "black-frozen", 11.5, 99)];
  const bar = stripBar({ ...seen, findings }, 6);
  expect(bar?.says).toEqual([
    "workable at 0:06.2 (repeated-pictures)",
    "note at 0:11.5 (black-frozen)",
    "black 0:11.5 to 0:12.5",
    "frozen 0:09.5 to 0:10.6",
    "clipped over 1 % 0:06 to 0:08",
    "9 of 13 s looked at, the rest is hatched",
  ]);
  // 6.24 s of 12.48 s is the middle; a time behind the end is no place on the bar.
  expect(bar?.marks.map(({ x, grade }) => [x, grade])).toEqual([
    ["92.15%", "note"],
    ["50%", "workable"],
  ]);
  expect(new Set(bar?.marks.map(({ d }) => d)).size).toBe(2);
  expect(bar?.lanes.map(({ word }) => word)).toEqual(["black", "frozen", "clipped over 1 %"]);
  expect([bar?.looked.length, bar?.unseen.length]).toEqual([3, 2]);
});

test("the frames of a filmstrip are the middles of six equal parts", () => {
  expect(stripBar(seen, 6)?.ticks.map(({ x }) => x)).toEqual(["8.33%", "25%", "41.67%", "58.33%", "75%", "91.67%"]);
  expect(stripBar(seen)?.ticks.map(({ text }) => text)).toEqual(["0:00", "0:06.2", "0:12.5"]);
});

test("without a look at the pictures nothing is called unseen, and without a filmstrip there is no bar", () => {
  const plain = sampleReport().clips[0] as ClipReport;
  expect(stripBar(plain)).toBeUndefined();
  expect(stripBar(plain, 6)).toMatchObject({ looked: [], unseen: [], lanes: [] });
});

test("a word stands beside its stretch where it has room, whichever side", () => {
  const at = (fromSeconds: number, toSeconds: number) => {
    const stillness = { state: "read" as const, value: { black: [{ fromSeconds, toSeconds }], frozen: [] } };
    const [lane] = stripBar({ ...seen, facts: { ...seen.facts, stillness } as never }, 6)?.lanes ?? [];
    return [lane?.wordX, lane?.lean];
  };
  expect(at(0, 6.24)).toEqual(["50%", false]);
  expect(at(6.24, 12.48)).toEqual(["50%", true]);
  expect(at(0, 12.48)).toEqual(["0%", false]);
});
