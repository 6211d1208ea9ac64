import { type Facts, ratioText, read, seconds, valueOf } from "@goodgate/model";
import { expect, test } from "vitest";
import { joinSpans, partName } from "./join-spans.ts";
import { type MadeClip, madeClip } from "./made-clip.ts";
import { spanRemarks } from "./span-remarks.ts";

const full = 4_290_000_000;
const joined = (...plans: readonly MadeClip[]) => joinSpans(plans.map(madeClip));
const shape = (...plans: readonly MadeClip[]) =>
  joined(...plans).map((clip) => clip.files.map((file) => file.path.replace(/^.*\//, "")).join("+"));

test("part numbers stand before a four-digit counter or set off behind it", () => {
  expect(partName("D/AB020007.MP4")).toEqual({ recording: "D/ab#0007", part: 2 });
  expect(partName("D/ABCD0007_02.MP4")).toEqual({ recording: "D/abcd0007#", part: 2 });
  expect(partName("D/ABCD0007.MP4")).toBeUndefined();
  expect(partName("D/clip.MP4")).toBeUndefined();
});

test("parts with one start clock and full sizes are one recording, in order of parts and not of names", () => {
  const names = ["D/AB010007.MP4", "D/AB010008.MP4", "D/AB020007.MP4", "D/AB030007.MP4"];
  const clips = joined(...names.map((name) => ({ name, startSeconds: 0, bytes: 14_234 })));
  expect(clips.map((clip) => clip.files.map((file) => `${file.role} ${file.path}`))).toEqual([
    ["original D/AB010007.MP4", "part D/AB020007.MP4", "part D/AB030007.MP4"],
    ["original D/AB010008.MP4"],
  ]);
  expect(clips[0]?.joints.map((joint) => joint.afterPart)).toEqual([0, 1]);
  expect(clips[0]?.joints[0]?.evidence).toEqual(["names", "same settings", "same start clock", "full size"]);
});

test("frames, length and bytes add up, and the joined clip keeps its first name", () => {
  const [clip] = joined(
    { name: "AB010007.MP4", frames: 250, startSeconds: 0, bytes: full },
    { name: "AB020007.MP4", frames: 100, startSeconds: 10, bytes: 1000 },
  );
  expect(clip?.name).toBe("AB010007.MP4");
  expect(valueOf(clip?.facts.frames)).toBe(350);
  expect(clip?.files.map((file) => file.frames)).toEqual([250, 100]);
  expect(valueOf(clip?.facts.fileBytes)).toBe(full + 1000);
  const length = valueOf(clip?.facts.durationSeconds);
  expect(length === undefined ? "" : ratioText(length)).toBe("14/1");
});

test("part numbers alone join nothing: another raster, another codec or a clock that contradicts", () => {
  const first: MadeClip = { name: "AB010007.MP4", startSeconds: 0, bytes: full };
  for (const second of [
    { width: 1920, startSeconds: 10 },
    { codec: "hevc", startSeconds: 10 },
    { startSeconds: 3600 },
  ]) {
    expect(shape(first, { name: "AB020007.MP4", ...second })).toEqual(["AB010007.MP4", "AB020007.MP4"]);
  }
});

test("following counters are joined behind a full file when a clock runs through", () => {
  const first: MadeClip = { name: "ABCD0007.MP4", startSeconds: 0, bytes: full };
  expect(shape(first, { name: "ABCD0008.MP4", startSeconds: 10 })).toEqual(["ABCD0007.MP4+ABCD0008.MP4"]);
  expect(shape(first, { name: "ABCD0008.MP4", startSeconds: 12 })).toEqual(["ABCD0007.MP4+ABCD0008.MP4"]);
  expect(shape(first, { name: "ABCD0008.MP4", startSeconds: 15 })).toEqual(["ABCD0007.MP4", "ABCD0008.MP4"]);
  expect(shape(first, { name: "ABCD0009.MP4", startSeconds: 10 })).toEqual(["ABCD0007.MP4", "ABCD0009.MP4"]);
});

test("two small recordings in quick succession are two, whatever one clock says", () => {
  expect(shape({ name: "ABCD0007.MP4", startSeconds: 0 }, { name: "ABCD0008.MP4", startSeconds: 10 })).toHaveLength(2);
  // A timecode that goes on from clip to clip over a pause proves nothing.
  expect(
    shape({ name: "ABCD0007.MP4", timecode: "10:00:00:00" }, { name: "ABCD0008.MP4", timecode: "10:00:10:00" }),
  ).toHaveLength(2);
  expect(
    shape(
      { name: "ABCD0007.MP4", timecode: "10:00:00:00", startSeconds: 0 },
      { name: "ABCD0008.MP4", timecode: "10:00:10:00", startSeconds: 10 },
    ),
  ).toHaveLength(1);
});

test("clips of one start clock and following numbers are not joined: the clock stands still", () => {
  expect(
    shape({ name: "ABCD0007.MP4", startSeconds: 0, bytes: full }, { name: "ABCD0008.MP4", startSeconds: 0 }),
  ).toHaveLength(2);
});

test("the telemetry's clock joins and forbids", () => {
  const first: MadeClip = {
    name: "ABCD0007.MP4",
    bytes: full,
    firstClock: "2031-04-05 12:00:00",
    lastClock: "2031-04-05 12:00:09",
  };
  expect(shape(first, { name: "ABCD0008.MP4", firstClock: "2031-04-05 12:00:10" })).toHaveLength(1);
  expect(shape(first, { name: "ABCD0008.MP4", firstClock: "2031-04-05 12:05:10" })).toHaveLength(2);
});

const gap = (second: string, first = "10:00:00:00") =>
  joined(
    { name: "ABCD0007.MP4", timecode: first, startSeconds: 0, bytes: full },
    { name: "ABCD0008.MP4", timecode: second, startSeconds: 10 },
  )[0]?.joints[0]?.gapFrames;

test("records that stop before the end of a part say nothing of what follows", () => {
  const first = madeClip({
    name: "ABCD0007.MP4",
    bytes: full,
    startSeconds: 0,
    frames: 25_000,
    lastClock: "2031-04-05 12:00:01",
  });
  const early = { ...first, facts: { ...first.facts, telemetry: cutShort(first.facts.telemetry) } };
  const second = madeClip({ name: "ABCD0008.MP4", startSeconds: 1000, firstClock: "2031-04-05 12:16:40" });
  expect(joinSpans([early, second])[0]?.joints[0]?.evidence).toEqual(["names", "same settings", "clock", "full size"]);
});

function cutShort(telemetry: Facts["telemetry"]): NonNullable<Facts["telemetry"]> {
  if (telemetry?.state !== "read") throw new Error("no telemetry");
  return { ...telemetry, value: { ...telemetry.value, endSeconds: 1 } };
}

test("time stamps of a transport stream that go on where the last file ended join, stamps that start again do not", () => {
  expect(shape(stream("STREAM/00000.MTS", 14), stream("STREAM/00001.MTS", 114))).toEqual(["00000.MTS+00001.MTS"]);
  expect(shape(stream("STREAM/00000.MTS", 14), stream("STREAM/00001.MTS", 14))).toHaveLength(2);
  expect(shape(stream("STREAM/00000.MTS", 14), stream("STREAM/00001.MTS", 115))).toHaveLength(2);
});

/** A transport stream of ten seconds whose first time stamp is given in tenths of a second. */
function stream(name: string, startTenths: number): MadeClip {
  const origin = { kind: "container", file: name, place: "test" } as const;
  return { name, facts: { container: read("mpeg-ts", origin), startSeconds: read(seconds(startTenths, 10), origin) } };
}

test("the gap at a joint is counted in timecode, over midnight too", () => {
  expect(gap("10:00:10:00")).toBe(0);
  expect(gap("10:00:10:02")).toBe(2);
  expect(gap("10:00:09:24")).toBe(-1);
  expect(gap("00:00:05:01", "23:59:55:00")).toBe(1);
});

test("a hole in the parts is not joined across and is told", () => {
  const plans = ["AB010007.MP4", "AB030007.MP4"].map((name) => ({ name, startSeconds: 0, bytes: full }));
  expect(shape(...plans)).toHaveLength(2);
  expect(spanRemarks(joined(...plans))).toMatchObject([
    { kind: "span-part-missing", paths: ["AB010007.MP4", "AB030007.MP4"] },
  ]);
});

test("parts whose first is not here lack their beginning; parts counted from zero do not", () => {
  const parts = (first: number) =>
    [first, first + 1].map((part, place) => ({
      name: `ABCD0007_0${part}.MP4`,
      startSeconds: place * 10,
      timecode: `10:00:${place}0:00`,
    }));
  const remarks = (first: number) => spanRemarks(joined(...parts(first)));
  expect(remarks(2)).toMatchObject([{ kind: "span-part-missing", paths: ["ABCD0007_02.MP4"] }]);
  expect([...remarks(0), ...remarks(1)]).toEqual([]);
});

// CIPA DC-009: behind file number 9999 comes 0001, in the next folder.
test("a recording goes on over the end of the count", () => {
  const first = { name: "100MEDIA/CLIP9999.MP4", startSeconds: 0, bytes: full };
  const next = (name: string, startSeconds: number) => ({ name, startSeconds, bytes: 1000 });
  expect(shape(first, next("101MEDIA/CLIP0001.MP4", 10))).toEqual(["CLIP9999.MP4+CLIP0001.MP4"]);
  expect(shape(first, next("101MEDIA/CLIP0001.MP4", 20))).toHaveLength(2);
  expect(shape(first, next("101MEDIA/CLIP0002.MP4", 10))).toHaveLength(2);
});

test("a last part of the greatest size lacks its end", () => {
  const clips = joined(
    { name: "AB010007.MP4", startSeconds: 0, bytes: full },
    { name: "AB020007.MP4", startSeconds: 10, bytes: full },
  );
  expect(spanRemarks(clips)).toMatchObject([{ kind: "span-part-missing", paths: ["AB020007.MP4"] }]);
});

test("joining again changes nothing, and no clip is lost", () => {
  const once = joined(
    { name: "AB010007.MP4", startSeconds: 0 },
    { name: "AB020007.MP4", startSeconds: 10 },
    { name: "x.MP4", startSeconds: 99 },
  );
  expect(joinSpans(once)).toEqual(once);
  expect(joinSpans([])).toEqual([]);
});
