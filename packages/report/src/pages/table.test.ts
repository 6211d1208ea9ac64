import { performance } from "node:perf_hooks";
import stringWidth from "string-width";
import { expect, test } from "vitest";
import { seenReport } from "../sample-pictures.ts";
import { bigReport, emptyReport, hostileReport, sampleReport } from "../sample-report.ts";
import type { Report } from "../schema.ts";
import { renderTable, tableFacts } from "./table.ts";

const at = (columns: number) => ({ columns, colour: false });
const linesOf = (text: string): readonly string[] => text.split("\n");

test("the first twelve lines at 80 columns decide: answer, counts, what to fly again, the caution, settings, what is unknown", () => {
  expect(linesOf(renderTable(sampleReport(), at(80))).slice(0, 12)).toEqual([
    "Not yet: 2 of 7 clips cannot be used as planned and 1 could not be judged.",
    "7 clips: RESHOOT 2, UNKNOWN 1, WORKABLE 2, CLEAN 2. Not copied: keep the card.",
    "BRIEF    25 fps, real time or slow, ISO up to 800, 50 Hz lamps, 180 degrees;…",
    "RESHOOT  CLIP0004, CLIP0005: 1/1000 s, 1/800 s, limit 180 degrees: Set 1/50 s",
    "         and ND64.",
    "RESHOOT  CLIP0004: ISO 1600, limit ISO 800: Set ISO 800 or lower.",
    "Refly only if the rules at this place, airspace, daylight, weather, people below",
    "  and battery allow; this tool does not know them and local flying rules come",
    "  first.",
    "NEXT     25 fps 1/50 ISO 100 ND64: real time 180 degrees",
    "NEXT     50 fps 1/100 ISO 100 ND32: slow to 50 % 180 degrees",
    "UNKNOWN  CLIP0006: The shutter was not judged: no record of settings in the fil…",
  ]);
});

const named: readonly (readonly [string, Report])[] = [
  ["golden", sampleReport()],
  ["hostile", hostileReport()],
  ["empty", emptyReport()],
  ["big", bigReport(40)],
];

test.each(named.flatMap(([name, report]) => [60, 80, 100, 160].map((columns) => [name, columns, report] as const)))(
  "no line of the %s report is wider than %i columns",
  (_, columns, report) => {
    for (const notes of [false, true]) {
      const text = renderTable(report, { ...at(columns), notes, written: [`out/${"long".repeat(60)}/report.html`] });
      // Outside check: string-width counts the columns.
      for (const line of linesOf(text)) expect([line, stringWidth(line) <= columns]).toEqual([line, true]);
    }
  },
);

test("nothing a card can hold reaches the terminal as a command", () => {
  const text = renderTable(hostileReport(), { columns: 100, colour: false, notes: true });
  expect(text.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}\u2028\u2029]/u);
  const coloured = renderTable(hostileReport(), { columns: 100, colour: true, notes: true });
  expect(coloured.replaceAll("\n", "").replaceAll(/\u001B\[(0|1|2|31|32|33|35)m/g, "")).not.toMatch(/\p{Cc}/u);
});

test("colour adds nothing that the words do not say", () => {
  const coloured = renderTable(sampleReport(), { columns: 80, colour: true });
  expect(coloured).toContain("\u001B[31m");
  expect(coloured.replaceAll(/\u001B\[\d+m/g, "")).toBe(renderTable(sampleReport(), at(80)));
});

test("every clip has a line with its verdict as a word", () => {
  const lines = linesOf(renderTable(sampleReport(), at(80)));
  for (const clip of sampleReport().clips) {
    const short = clip.name.slice("DCIM/100MEDIA/".length, -".MP4".length);
    expect(lines.some((line) => line.startsWith(short) && line.includes(clip.verdict.toUpperCase()))).toBe(true);
  }
});

test("the caution stands in the same twelve lines as what is to be flown again, however much that is", () => {
  const report = sampleReport();
  const [first] = report.clips[3]?.findings ?? [];
  if (first === undefined) throw new Error("the golden report lost its finding");
  const many = Array.from({ length: 30 }, (_, place) => ({
    ...first,
    rule: `rule-${place}`,
    onLocation: `Set ${place}.`,
  }));
  const clips = report.clips.map((clip) => (clip.verdict === "reshoot" ? { ...clip, findings: many } : clip));
  const top = linesOf(renderTable({ ...report, clips }, at(80))).slice(0, 12);
  expect(top.join(" ")).toMatch(/local flying rules\s+come\s+first/);
  expect(top.some((line) => /causes more, listed below/.test(line))).toBe(true);
  expect(top.some((line) => line.startsWith("UNKNOWN"))).toBe(true);
});

test("same causes stand together with the clips behind them", () => {
  const text = renderTable(sampleReport(), at(120));
  expect(text).toContain("  2 clips: shutter angle: 1/1000 s, 1/800 s against 180 degrees: Set 1/50 s and ND64.");
  expect(text).toContain("    CLIP0004, CLIP0005");
});

test("notes are counted, and listed when asked", () => {
  expect(renderTable(sampleReport(), at(80))).toContain("NOTES 2, listed with --notes");
  const text = renderTable(sampleReport(), { ...at(80), notes: true });
  expect(text).toContain("The camera split this recording into 2 files");
  expect(text).toContain("Still numbers 0018 and 0019 are missing");
});

test("no page says that a card may be wiped, and every page says to keep it", () => {
  for (const [, report] of named) {
    const text = renderTable(report, { columns: 120, colour: false, notes: true });
    expect(text).not.toMatch(/wipe|erase|format the card|delete/i);
    expect(text).toContain("keep the card");
  }
});

test("a card without anything to fly again carries neither caution nor settings", () => {
  const report = sampleReport();
  const clips = report.clips.filter((clip) => clip.verdict === "clean");
  const counts = { ...report.counts, clips: clips.length, workable: 0, unknown: 0, reshoot: 0 };
  const text = renderTable({ ...report, clips, counts }, at(80));
  expect(text).not.toMatch(/Refly|NEXT/);
});

test("names that are the same in two folders are told apart", () => {
  const report = sampleReport();
  const clips = report.clips.slice(0, 2).map((clip, place) => ({ ...clip, name: `DCIM/${100 + place}MEDIA/A.MP4` }));
  const text = renderTable({ ...report, clips }, at(80));
  expect(text).toContain("DCIM/100MEDIA/A.MP4");
  expect(text).toContain("DCIM/101MEDIA/A.MP4");
});

test("2,000 clips are printed in well under five seconds", () => {
  const report = bigReport(2000);
  const began = performance.now();
  renderTable(report, { columns: 120, colour: true });
  expect(performance.now() - began).toBeLessThan(5000); // the aim is one; the test machines are shared
});

test("a table of many clips is laid out in blocks that line up", () => {
  const sample = sampleReport();
  const one = sample.clips[0];
  if (one === undefined) throw new Error("the sample card has clips");
  const many = (count: number): Report => ({
    ...sample,
    clips: Array.from({ length: count }, (_, place) => ({ ...one, name: `C${place}.MP4` })),
  });
  for (const columns of [80, 160]) {
    const options = { columns, colour: false, notes: false, written: [] };
    const lines = renderTable(many(250), options).split("\n");
    const rows = lines.filter((line) => /^C\d+ /.test(line));
    expect(rows).toHaveLength(250);
    // The same clip under names of one length looks the same in every block.
    const rest = new Set(rows.filter((line) => /^C\d{3} /.test(line)).map((line) => line.slice(4)));
    expect(rest.size).toBe(1);
    expect(lines.filter((line) => line.startsWith("clip "))).toHaveLength(1);
  }
});

test("the page needs no facts but those it names", () => {
  for (const report of [sampleReport(), seenReport(), hostileReport()]) {
    const clips = report.clips.map((clip) => ({
      ...clip,
      facts: Object.fromEntries(tableFacts.flatMap((name) => (clip.facts[name] ? [[name, clip.facts[name]]] : []))),
    }));
    for (const columns of [80, 160]) {
      const options = { columns, colour: false, notes: true };
      expect(renderTable({ ...report, clips }, options)).toBe(renderTable(report, options));
    }
  }
});

test("an angle from motion blur is marked, and the mark explained", () => {
  const text = renderTable(seenReport(), at(100));
  expect(linesOf(text).find((line) => /^\S*CLIP0006/.test(line))).toContain(" 43 blur ");
  expect(text).toContain("blur: measured from motion blur");
  expect(text).toContain("Pictures: 19 of 22.5 s looked at in 2 clips of 7.");
  expect(renderTable(sampleReport(), at(100))).not.toMatch(/blur: measured|looked at in/);
});
