import { expect, test } from "vitest";
import { sampleReport } from "../sample-report.ts";
import type { ClipReport, Report } from "../schema.ts";
import { cadencePicture, stripFrames } from "./cadence-picture.ts";
import { intervalPicture } from "./interval-picture.ts";
import { lightPicture } from "./light-picture.ts";
import { outline, type Picture } from "./picture.ts";
import { allowedAngles, shutterPicture, viewedDegreesPerSecond } from "./shutter-picture.ts";

const report = sampleReport();
const clip = (place: number): ClipReport => report.clips[place] as ClipReport;
const read = (value: string, decimal: number) => ({ state: "read" as const, value, decimal });
const on = (timelineRate: string): Report["brief"] => ({
  ...report.brief,
  items: { ...report.brief.items, timelineRate },
});
const used = (of: ClipReport, rate: string, speed: string): ClipReport => ({
  ...of,
  facts: { ...of.facts, frameRate: read(rate, Number(rate.split("/")[0]) / Number(rate.split("/")[1])) },
  uses: [],
  plan: { ...of.plan, use: "real time", speed },
});
const marks = (picture: Picture | undefined, look: string) =>
  (picture?.marks ?? []).filter((mark) => mark.look.split(" ").includes(look));
const boxes = (picture: Picture | undefined, look: string) =>
  marks(picture, look).flatMap((mark) => (mark.kind === "rect" ? [mark.box] : []));

test("the band is the wanted angle and the tolerance in stops either way, never more than the whole frame", () => {
  expect(allowedAngles(report.brief)).toEqual({ wanted: 180, least: 180 / Math.SQRT2, most: 180 * Math.SQRT2 });
  const wide = { ...report.brief, items: { shutterAngleDegrees: 300, shutterToleranceStops: 1 } };
  expect(allowedAngles(wide)).toEqual({ wanted: 300, least: 150, most: 360 });
});

test("the angle drawn is the one the viewer sees: 1/240 at 120 is 180 degrees at 20 % on 24 and 36 in real time", () => {
  // 360·t·C/m: five source frames a timeline frame in real time; worked by hand.
  const real = viewedDegreesPerSecond(used(clip(0), "120/1", "1/1"), on("24/1")) ?? 0;
  const slow = viewedDegreesPerSecond(used(clip(0), "120/1", "1/5"), on("24/1")) ?? 0;
  expect([real / 240, slow / 240].map((angle) => Number(angle.toFixed(6)))).toEqual([36, 180]);
});

test("a shutter outside the band is said to be outside, with its times", () => {
  const inside = shutterPicture(clip(0), report.brief);
  expect(inside?.says).toBe("180° throughout (1/50 s); the brief allows 127° to 255°: inside the band.");
  const outside = shutterPicture(clip(3), report.brief);
  expect(outside?.says).toContain("(1/1250 to 1/1000 s)");
  expect(outside?.says).toContain("outside the band");
  expect(shutterPicture(clip(5), report.brief)).toBeUndefined();
});

test("light is drawn with its own scale, and said to be unknown without an f-number", () => {
  const picture = lightPicture(clip(3), report.brief);
  expect(picture?.says).toMatch(
    /^ISO 1600 throughout, ceiling 800; light EV [\d.]+ to [\d.]+ at ISO 100, as exposed for\.$/,
  );
  expect(marks(picture, "data")).toHaveLength(2);
  const { fNumber: _, ...facts } = clip(3).facts;
  const without = lightPicture({ ...clip(3), facts }, report.brief);
  expect(without?.says).toContain("Light not known");
  expect(marks(without, "data")).toHaveLength(1);
  expect(lightPicture(clip(5), report.brief)).toBeUndefined();
});

test("intervals are counted by length, and every missing place is marked", () => {
  expect(intervalPicture(clip(0))?.says).toBe("311 intervals: every interval is equal.");
  const slips = intervalPicture(clip(6));
  expect(slips?.says).toBe("2,998 intervals: constant, with 4 frames missing. Bars are logarithmic.");
  expect(marks(slips, "slip").map((mark) => (mark.kind === "path" ? mark.d.match(/M/g)?.length : 0))).toEqual([2]);
  expect(boxes(slips, "bar")).toHaveLength(2);
  const { timing: _, ...facts } = clip(0).facts;
  expect(intervalPicture({ ...clip(0), facts })).toBeUndefined();
});

test("29.97 on 25 shows a doubled step every fifth frame, underlined", () => {
  // floor(i·30000/25025) for i = 0 … 23: 0 1 2 3 4 5 7 8 9 10 11 13 …; the model's cadence, worked by hand.
  const picture = cadencePicture(used(clip(0), "30000/1001", "1/1"), on("25/1"));
  // The second lane is the full conform, where every step is one.
  const high = boxes(picture, "frame")
    .slice(0, stripFrames)
    .map(([, , , height]) => height);
  expect(boxes(picture, "frame")).toHaveLength(2 * stripFrames);
  const tall = high.flatMap((height, place) => (height > 30 ? [place] : []));
  expect(tall).toEqual([6, 11, 16, 21]);
  expect(marks(picture, "odd").map((mark) => (mark.kind === "path" ? mark.d.match(/M/g)?.length : 0))).toEqual([4]);
});

test("an even cadence has nothing underlined: one for one, every second, each held twice", () => {
  for (const [rate, speed] of [
    ["25/1", "1/1"],
    ["50/1", "1/1"],
    ["50/1", "1/2"],
    ["25/1", "1/2"],
  ] as const) {
    const picture = cadencePicture(used(clip(0), rate, speed), on("25/1"));
    expect(marks(picture, "odd"), `${rate} at ${speed}`).toEqual([]);
  }
  const held = cadencePicture(used(clip(0), "25/1", "1/2"), on("25/1"));
  expect(boxes(held, "hold")).toHaveLength(stripFrames / 2);
});

test("24 on 25 holds one frame a second, underlined", () => {
  const picture = cadencePicture(used(clip(0), "24/1", "1/1"), on("25/1"));
  expect(boxes(picture, "hold")).toHaveLength(1);
});

test("the bar stands where the shown picture belongs, in the time the frames take", () => {
  const picture = cadencePicture(used(clip(0), "25/1", "1/2"), on("25/1"));
  const motion = picture?.movers?.[0]?.motion;
  expect(motion?.seconds).toBeCloseTo(0.96, 9);
  expect(motion?.places).toHaveLength(stripFrames);
  // Held frames keep the bar where it is.
  expect(motion?.places[1]).toBe(motion?.places[0]);
  expect(motion?.places[2]).toBeGreaterThan(motion?.places[1] ?? Infinity);
  expect(motion?.name).toMatch(/^[a-z][a-z0-9-]*$/);
});

test("a speed or rate that is no positive number draws nothing rather than something wrong", () => {
  for (const speed of ["0/1", "-1/2", "1/0", "fast"]) {
    expect(cadencePicture(used(clip(0), "25/1", speed), on("25/1"))).toBeUndefined();
  }
  expect(cadencePicture(clip(0), on("0/1"))).toBeUndefined();
});

test("no picture holds a coordinate that is not a number", () => {
  for (const of of report.clips) {
    for (const picture of [
      shutterPicture(of, report.brief),
      lightPicture(of, report.brief),
      intervalPicture(of),
      cadencePicture(of, report.brief),
    ]) {
      for (const mark of picture?.marks ?? []) {
        if (mark.kind === "path") expect(outline(mark.d)).toBe(mark.d);
        else expect((mark.kind === "rect" ? mark.box : [mark.x, mark.y]).every(Number.isFinite)).toBe(true);
      }
    }
  }
});

test("real time and the full conform are both drawn, whatever the brief asked", () => {
  const slowOnly = cadencePicture(
    { ...used(clip(0), "60/1", "5/12"), plan: { ...clip(0).plan, use: "slow", speed: "5/12", cadence: "as planned" } },
    on("25/1"),
  );
  expect(slowOnly?.says).toBe(
    "Slow at 41.67 %: as planned. Real time at 100 %: uneven steps of 2 and 3 frames, 10 odd a second.",
  );
  const realOnly = cadencePicture(used(clip(0), "50/1", "1/1"), on("25/1"));
  expect(realOnly?.says).toContain("Slow at 50 %: one frame for one frame.");
  expect(cadencePicture(used(clip(0), "25/1", "1/1"), on("25/1"))?.movers).toHaveLength(1);
});
