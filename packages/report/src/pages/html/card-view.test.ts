import { expect, test } from "vitest";
import { bigReport, emptyReport, sampleReport } from "../../sample-report.ts";
import type { Report } from "../../schema.ts";
import { cardView, nextSays, reshootLines, settingsLines, unknownLines } from "./card-view.ts";

const report = sampleReport();

test("clips to fly again stand one line a cause, with the others of the same cause behind it", () => {
  const { shown, hidden } = reshootLines(report);
  expect(hidden).toBe(0);
  expect(shown).toHaveLength(1);
  expect(shown[0]).toMatchObject({
    first: { number: 3, base: "CLIP0004.MP4" },
    more: [{ number: 4, base: "CLIP0005.MP4" }],
  });
  const big = reshootLines(bigReport(700));
  expect(big.shown).toHaveLength(1);
  expect(big.shown[0]?.more).toHaveLength(199);
});

test("a broken file stands before every other cause", () => {
  const broken = { structure: { state: "damaged" as const, why: "cut short" } };
  const clips = report.clips.map((clip, place) =>
    place === 4 ? { ...clip, facts: { ...clip.facts, ...broken } } : clip,
  );
  expect(reshootLines({ ...report, clips }).shown[0]?.first.number).toBe(4);
});

test("more causes than a first screen holds are counted", () => {
  const clips = Array.from({ length: 12 }, (_, place) => {
    const clip = report.clips[3] as Report["clips"][number];
    const findings = clip.findings.map((finding) => ({ ...finding, remedy: `remedy ${place}` }));
    return { ...clip, findings };
  });
  const { shown, hidden } = reshootLines({ ...report, clips });
  expect([shown.length, hidden]).toEqual([8, 4]);
});

test("what was not judged says what would supply it", () => {
  const [line] = unknownLines(report).shown;
  expect(line?.first.base).toBe("CLIP0006.MP4");
  expect(line?.needs).toContain("subtitle file");
  expect(line?.says).toContain("(1 more question)");
});

test("settings stand as a camera menu prints them, possible ones first, and are not said twice", () => {
  const rows = report.nextFlight?.rows ?? [];
  const impossible = { ...(rows[0] as (typeof rows)[number]), possible: false, cannot: ["too dark"] };
  const turned: Report = {
    ...report,
    nextFlight: { ...(report.nextFlight as NonNullable<Report["nextFlight"]>), rows: [impossible, ...rows] },
  };
  const { first, more } = settingsLines({ ...turned, nextFlight: { ...turned.nextFlight, says: [] } as never });
  expect(first[0]).toMatchObject({ rate: "25", shutter: "1/50", iso: "100", nd: "ND64", angle: "180", possible: true });
  expect(more.at(-1)).toMatchObject({ possible: false, cannot: "too dark" });
  const says = ["Light about EV 12.", rows[0]?.says ?? ""];
  expect(
    nextSays({ ...turned, nextFlight: { ...(turned.nextFlight as NonNullable<Report["nextFlight"]>), says } }),
  ).toEqual([says[0]]);
});

test("a name that occurs twice on the card is given with its folder", () => {
  const clips = report.clips.map((clip, place) => ({ ...clip, name: `DCIM/${place}/CLIP.MP4` }));
  expect(reshootLines({ ...report, clips }).shown[0]?.first.base).toBe("DCIM/3/CLIP.MP4");
});

test("what nobody stated is marked assumed, in the line and in the table", () => {
  const assumed = { ...report.brief.assumed, isoCeiling: "not given: no ceiling" };
  const { isoCeiling: _, ...items } = report.brief.items;
  const view = cardView({ ...report, brief: { ...report.brief, items, assumed } }, false);
  expect(view.briefLine).toContain("no ISO ceiling (assumed)");
  expect(view.brief.find(({ label }) => label === "ISO ceiling")).toMatchObject({
    value: "–",
    assumed: "not given: no ceiling",
  });
  expect(view.brief.find(({ label }) => label === "timeline")?.assumed).toBeUndefined();
});

test("a card without clips has a page too", () => {
  const view = cardView(emptyReport(), true);
  expect(view.cardLine).toBe("EMPTY · 0 clips · 0 bytes");
  expect(view.pictures).toEqual([]);
  expect(view.counts.map(({ clips }) => clips)).toEqual(["0", "0", "0", "0"]);
});
