import { expect, test } from "vitest";
import { seenReport } from "../../sample-pictures.ts";
import { sampleReport } from "../../sample-report.ts";
import type { ClipReport } from "../../schema.ts";
import { clipSheet, factLine, findingLines } from "./clip-sheet.ts";

const report = sampleReport();
const clip = (place: number): ClipReport => report.clips[place] as ClipReport;

test("the plan says use, speed and cadence, with the fraction where the percent is rounded", () => {
  expect(clipSheet(clip(0), 0, report, false)).toMatchObject({
    plan: "Real time at 100 %",
    planDetail: "one frame for one frame; fills 0:12.5 of timeline",
  });
  expect(clipSheet(clip(2), 2, report, false).plan).toBe("Slow at 83.42 % = 1001/1200");
  const none = { ...clip(0), uses: [], plan: { ...clip(0).plan, use: "none" as const } };
  expect(clipSheet(none, 0, report, false).plan).toBe("No clean use");
});

test("a finding has measured, limit with its origin, remedies, and what it assumes", () => {
  const [shutter, iso] = clip(3).findings.map(findingLines);
  expect(shutter).toMatchObject({
    measured: "1/1000 s",
    limit: "180 degrees (default, assumed)",
    assumed: "shutter angle",
    use: "real time",
  });
  expect(iso).toMatchObject({ limit: "ISO 800 (brief)", assumed: undefined });
  const [missing] = clip(6).findings.map(findingLines);
  expect(missing?.times).toBe("0:12.4, 1:00.1");
  const bare = findingLines({ ...(clip(3).findings[0] as ClipReport["findings"][number]), inEdit: undefined as never });
  expect(bare.inEdit).toBe("no remedy in the edit");
});

test("a finding at a thousand places names the first and counts the rest", () => {
  const [finding] = clip(6).findings;
  const many = findingLines({
    ...(finding as ClipReport["findings"][number]),
    atSeconds: Array.from({ length: 64 }, (_, at) => at),
  });
  expect(many.times).toMatch(/0:11 and 52 more places$/);
});

test("a fact names its origin, an absent one its reason, and contradiction is shown with both values", () => {
  const origin = { kind: "sidecar" as const, file: "DCIM/A.XML", place: "line 3", reader: "goodgate" };
  expect(factLine("iso", { state: "read", value: 100, unit: "ISO", text: "ISO 100", origin })).toMatchObject({
    label: "ISO",
    text: "ISO 100",
    origin: "sidecar: line 3 in A.XML",
    conflict: undefined,
  });
  const disputed = factLine("frameRate", {
    state: "read",
    value: "25/1",
    unit: "frames/s",
    origin,
    witnesses: [
      { value: "50 fps", origin: { ...origin, reader: "ffprobe 5.1" }, agrees: false },
      { value: "25 fps", origin, agrees: true },
    ],
  });
  expect(disputed.text).toBe("25/1 frames/s");
  expect(disputed.conflict).toBe("50 fps (sidecar: line 3 in A.XML, ffprobe 5.1)");
  expect(disputed.origin).toContain("1 more source agrees");
  expect(factLine("sound", { state: "absent", why: "no sound track" })).toMatchObject({
    state: "absent",
    text: "no sound track",
  });
});

test("pictures are drawn for what was read, and left out on request", () => {
  expect(clipSheet(clip(3), 3, report, true).pictures.map(({ id }) => id)).toEqual([
    "cadence",
    "shutter",
    "light",
    "intervals",
  ]);
  expect(clipSheet(clip(5), 5, report, true).pictures.map(({ id }) => id)).toEqual(["cadence", "intervals"]);
  expect(clipSheet(clip(3), 3, report, false).pictures).toEqual([]);
});

const question = (says: string, supply: string, decides: boolean) => ({
  rule: "r",
  missing: [],
  says,
  supply,
  decides,
});

test("questions that one thing would answer stand together, those that decide first", () => {
  const unknown = [question("a", "sidecar", false), question("b", "sidecar", true), question("c", "sidecar", true)];
  expect(clipSheet({ ...clip(5), unknown }, 5, report, false).unknown).toEqual([
    { says: ["b", "c"], supply: "sidecar", decides: true },
    { says: ["a"], supply: "sidecar", decides: false },
  ]);
});

test("findings with something to do on location have the flying caution beside them", () => {
  expect(clipSheet(clip(3), 3, report, false).caution).toBe(report.nextFlight?.caution);
  expect(clipSheet(clip(0), 0, report, false).caution).toBeUndefined();
});

test("a use whose angle is from motion blur says so", () => {
  const seen = seenReport();
  expect(clipSheet(seen.clips[5] as ClipReport, 5, seen, false).uses).toMatchObject([{ angle: "43", blur: true }]);
  expect(clipSheet(clip(0), 0, report, false).uses).toMatchObject([{ angle: "180", blur: false }]);
});
