import { parseRatio, ratio, ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { bigReport, emptyReport, hostileReport, sampleReport } from "./sample-report.ts";
import { reportSchema, type Report } from "./schema.ts";

test.each([
  ["golden", sampleReport()],
  ["hostile", hostileReport()],
  ["big", bigReport(50)],
  ["empty", emptyReport()],
] as const)("the %s report has the published shape and nothing beside it", (_, report: Report) => {
  expect(reportSchema.parse(report)).toEqual(report);
});

test("the golden report has clips of all four verdicts, and its counts are theirs", () => {
  const { clips, counts } = sampleReport();
  expect(new Set(clips.map((clip) => clip.verdict)).size).toBe(4);
  expect(counts.clean + counts.workable + counts.unknown + counts.reshoot).toBe(clips.length);
});

test("the golden report's lengths on the timeline follow from frames, rate and speed", () => {
  for (const clip of sampleReport().clips) {
    const frames = Number(clip.facts["frames"]?.value);
    const rate = parseRatio(String(clip.facts["frameRate"]?.value)) ?? ratio(1);
    const speed = parseRatio(clip.plan.speed) ?? ratio(1);
    // frames / (rate · speed), in lowest terms
    const seconds = ratio(BigInt(frames) * rate.denominator * speed.denominator, rate.numerator * speed.numerator);
    expect(clip.plan.timelineSeconds).toBe(ratioText(seconds));
  }
});
