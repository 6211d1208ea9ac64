import { expect, test } from "vitest";
import { seenReport } from "../../sample-pictures.ts";
import { sampleReport } from "../../sample-report.ts";
import type { ClipReport } from "../../schema.ts";
import { clipKeys, clipRow, worstFindings } from "./clip-row.ts";

const { clips } = sampleReport();
const clip = (place: number): ClipReport => clips[place] as ClipReport;

test("a row holds the numbers an editor reads first", () => {
  expect(clipRow(clip(1), 1)).toEqual({
    number: 1,
    verdict: "clean",
    folder: "DCIM/100MEDIA/",
    base: "CLIP0002.MP4",
    start: "05-04 10:15",
    length: "0:30",
    rate: "50",
    use: "slow",
    percent: "50",
    angle: "180",
    blur: false,
    iso: "100–200",
    raster: "3840×2160 10 bit",
    headline: "one frame for one frame at 50 %",
    more: 0,
  });
});

test("the headline is the worst finding, or what was not judged when that decides", () => {
  expect(clipRow(clip(3), 3).headline).toContain("1/1000 s at 25 fps");
  expect(clipRow(clip(3), 3).more).toBe(1);
  expect(clipRow(clip(5), 5).headline).toContain("not judged");
  const grades = worstFindings({ ...clip(3), findings: [...clip(6).findings, ...clip(3).findings] }).map(
    ({ grade }) => grade,
  );
  expect(grades).toEqual(["reshoot", "reshoot", "workable", "note"]);
});

test("what was not read is a dash in the row and null in the keys, so that it sorts last", () => {
  const row = clipRow(clip(5), 5);
  expect([row.angle, row.iso]).toEqual(["–", "–"]);
  expect(clipKeys(clip(5))).toMatchObject({ angle: null, iso: null, rate: 25, verdict: 1 });
  const bare: ClipReport = { ...clip(0), facts: {}, uses: [], plan: { ...clip(0).plan, use: "none" } };
  expect(clipRow(bare, 0)).toMatchObject({
    length: "–",
    rate: "not read",
    use: "no clean use",
    percent: "–",
    raster: "–",
  });
  expect(clipKeys(bare)).toMatchObject({ length: null, rate: null, speed: null, start: null });
});

test("an angle that motion blur tells is marked", () => {
  expect(seenReport().clips.map((of, place) => clipRow(of, place).blur)).toEqual([
    false,
    false,
    false,
    false,
    false,
    true,
    false,
  ]);
});
