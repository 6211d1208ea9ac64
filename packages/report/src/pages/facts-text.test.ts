import stringWidth from "string-width";
import { expect, test } from "vitest";
import { hostileReport, sampleReport } from "../sample-report.ts";
import type { Report } from "../schema.ts";
import { type FactsEntry, renderFacts } from "./facts-text.ts";

const entries = (report: Report): readonly FactsEntry[] =>
  report.clips.map((clip) => ({
    name: clip.name,
    files: clip.files,
    facts: clip.facts,
    readers: clip.readers,
    cost: { bytes: 61_440, calls: 9, milliseconds: 3.25, neededBytes: 58_000 },
    disagreements: [],
  }));

test("every fact stands with its value, its exact ratio and where it was read", () => {
  const text = renderFacts(entries(sampleReport()), 100);
  expect(text).toContain(
    "  frameRate           29.97 fps, exactly 30000/1001  (container: moov/trak/mdia/minf/stbl/stts)",
  );
  expect(text).toContain("  read 61.44 kB, 58 kB needed in 9 calls, 3.3 ms, by goodgate");
  expect(text).toContain("  shutterSeconds      1/50 s, 1 record");
  expect(text).toContain("per-frame record: cues of DCIM/100MEDIA/CLIP0001.SRT");
  for (const clip of sampleReport().clips) {
    for (const name of Object.keys(clip.facts)) expect(text).toContain(`  ${name} `);
  }
});

test("what is absent or damaged says why, and damage says where", () => {
  const text = renderFacts(entries(sampleReport()), 120);
  expect(text).toContain("absent: no record of settings in the file or beside it");
  expect(text).toContain("damaged: transfer code 77 is not in ITU-T H.273  (container: colr)");
});

test("other sources and a second reader are told apart by whether they agree", () => {
  const origin = { kind: "sidecar" as const, file: "A.XML", place: "line 3", reader: "someprobe 1.2" };
  const entry: FactsEntry = {
    name: "A.MP4",
    facts: {
      frameRate: {
        state: "read",
        value: "25/1",
        decimal: 25,
        text: "25 fps",
        witnesses: [
          { value: "25 fps", origin, agrees: true },
          { value: "50 fps", origin, agrees: false },
        ],
      },
    },
    readers: [],
    cost: { bytes: 1, calls: 1, milliseconds: 0 },
    disagreements: [{ fact: "frames", ours: "50", theirs: "49", reader: "ffprobe 5.1" }],
  };
  const text = renderFacts([entry], 100);
  expect(text).toContain("also 25 fps (sidecar: line 3 of A.XML, read by someprobe 1.2)");
  expect(text).toContain("but 50 fps (sidecar: line 3 of A.XML, read by someprobe 1.2)");
  expect(text).toContain("ffprobe 5.1 disagrees on frames: 49; in use: 50");
  expect(text).toMatch(/frameRate +25 fps\n/);
});

test.each([60, 80, 120])("no line is wider than %i columns and none commands the terminal", (columns) => {
  const text = renderFacts(entries(hostileReport()), columns);
  for (const line of text.split("\n")) {
    expect([line, stringWidth(line) <= columns]).toEqual([line, true]);
    expect(line).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}]/u);
  }
});

test("nothing to show says so", () => {
  expect(renderFacts([], 80)).toBe("no clips and no stills\n");
});
