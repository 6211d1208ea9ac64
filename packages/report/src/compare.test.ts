import { performance } from "node:perf_hooks";
import { expect, test } from "vitest";
import { compareReports, renderComparison } from "./compare.ts";
import { bigReport, hostileReport, sampleReport } from "./sample-report.ts";
import { type ClipReport, type Report, volatileFields } from "./schema.ts";

const withClip = (place: number, change: (clip: ClipReport) => ClipReport): Report => {
  const report = sampleReport();
  return { ...report, clips: report.clips.map((clip, at) => (at === place ? change(clip) : clip)) };
};

test("a report compared with itself is the same, read back from JSON too", () => {
  const report = sampleReport();
  expect(compareReports(report, report)).toEqual({
    same: true,
    added: [],
    gone: [],
    moved: [],
    changed: [],
    card: [],
    audit: [],
  });
  expect(compareReports(report, JSON.parse(JSON.stringify(report)) as Report).same).toBe(true);
  expect(renderComparison(compareReports(report, report))).toBe(
    "Nothing changed: the same clips, facts, findings and verdicts.\n",
  );
});

test("every field that differs between two audits of one card is left aside", () => {
  const later = JSON.parse(JSON.stringify(sampleReport())) as Record<string, Record<string, unknown>>;
  for (const path of volatileFields) {
    const [part = "", key = ""] = path.split(".");
    const held = later[part]?.[key];
    (later[part] ?? {})[key] = typeof held === "number" ? held + 1 : "2031-05-05T00:00:00.000Z";
  }
  expect(compareReports(sampleReport(), later as unknown as Report).same).toBe(true);
});

test("a clip that came and one that went are named", () => {
  const report = sampleReport();
  const first = { ...report, clips: report.clips.slice(1) };
  const second = { ...report, clips: report.clips.slice(0, -1) };
  const comparison = compareReports(first, second);
  expect(comparison).toMatchObject({
    same: false,
    added: ["DCIM/100MEDIA/CLIP0001.MP4"],
    gone: ["DCIM/100MEDIA/CLIP0007.MP4"],
  });
  expect(renderComparison(comparison)).toMatch(/added: DCIM.*CLIP0001[^]*gone: DCIM.*CLIP0007/);
});

test("a clip in another folder is moved, not gone and added", () => {
  const moved = withClip(1, (clip) => ({
    ...clip,
    name: "COPY/CLIP0002.MP4",
    files: clip.files.map((file) => file.replace("DCIM/100MEDIA", "COPY")),
  }));
  expect(compareReports(sampleReport(), moved)).toMatchObject({
    added: [],
    gone: [],
    moved: [{ from: "DCIM/100MEDIA/CLIP0002.MP4", to: "COPY/CLIP0002.MP4" }],
    changed: [],
  });
});

test("a recording of the same name and other frames elsewhere is another recording", () => {
  const other = withClip(1, (clip) => ({
    ...clip,
    name: "COPY/CLIP0002.MP4",
    files: clip.files.map((file) => file.replace("DCIM/100MEDIA", "COPY")),
    facts: { ...clip.facts, frames: { state: "read", value: 1499, text: "1499 frames" } },
  }));
  expect(compareReports(sampleReport(), other)).toMatchObject({
    added: ["COPY/CLIP0002.MP4"],
    gone: ["DCIM/100MEDIA/CLIP0002.MP4"],
    moved: [],
  });
});

test("verdict, plan, finding and fact are told before and after", () => {
  const later = withClip(3, (clip) => ({
    ...clip,
    verdict: "workable",
    plan: { ...clip.plan, percent: "50 %", speed: "1/2" },
    findings: clip.findings.slice(0, 1).map((finding) => ({ ...finding, grade: "workable" as const })),
    facts: { ...clip.facts, iso: { state: "absent" as const, why: "no record" } },
  }));
  const { changed } = compareReports(sampleReport(), later);
  expect(changed).toHaveLength(1);
  expect(changed[0]?.changes.map(({ what }) => what)).toEqual([
    "verdict",
    "use",
    "finding shutter-angle",
    "finding iso-ceiling",
    "iso",
  ]);
  const text = renderComparison(compareReports(sampleReport(), later));
  expect(text).toContain("    verdict: reshoot -> workable\n");
  expect(text).toContain("    iso: ISO 1600 -> absent: no record\n");
  expect(text).toContain("finding iso-ceiling: no longer: reshoot: ISO 1600");
});

test("where a fact was read does not make it another fact", () => {
  const later = withClip(0, (clip) => ({
    ...clip,
    facts: Object.fromEntries(
      Object.entries(clip.facts).map(([name, fact]) => [
        name,
        { ...fact, ...(fact.origin === undefined ? {} : { origin: { ...fact.origin, place: "elsewhere" } }) },
      ]),
    ),
  }));
  expect(compareReports(sampleReport(), later).same).toBe(true);
});

test("another brief and another version of the program are told apart", () => {
  const report = sampleReport();
  const items = { ...report.brief.items, isoCeiling: 400 };
  const later = { ...report, brief: { ...report.brief, items }, audit: { ...report.audit, version: "9.0.0" } };
  const comparison = compareReports(report, later);
  expect(comparison.same).toBe(false);
  expect(comparison.card).toEqual([{ what: "brief, isoCeiling", before: "800", after: "400" }]);
  expect(comparison.audit).toEqual([{ what: "goodgate", before: "0.1.0", after: "9.0.0" }]);
  expect(compareReports(report, { ...report, audit: later.audit }).same).toBe(true);
});

test("hostile text in either report reaches no terminal as a command", () => {
  for (const text of [
    renderComparison(compareReports(sampleReport(), hostileReport())),
    renderComparison(compareReports(hostileReport(), sampleReport())),
  ]) {
    expect(text.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\p{Cf}\p{Cs}]/u);
    for (const line of text.split("\n")) expect(line.length).toBeLessThanOrEqual(220);
  }
});

test("2,000 clips are compared in well under five seconds", () => {
  const [before, after] = [bigReport(2000), bigReport(1999)];
  const began = performance.now();
  expect(compareReports(before, after).gone).toHaveLength(1);
  expect(performance.now() - began).toBeLessThan(5000); // the aim is one; the test machines are shared
});
