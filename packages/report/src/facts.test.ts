import type { Clip, FactName, Facts, Origin, Seconds } from "@goodgate/model";
import { absent, constantSeries, damaged, rate, ratio, read, seconds, seriesBuilder } from "@goodgate/model";
import { expect, test } from "vitest";
import { mostPoints } from "./fact-series.ts";
import { alwaysReported, factOrder, flatFacts, leftOut, notLookedFor, reportFacts } from "./facts.ts";

const origin: Origin = { kind: "container", file: "DCIM/A.MP4", place: "moov/trak/mdia" };
const all = { positions: true };

function isoSeries(values: readonly number[]) {
  const builder = seriesBuilder<number>((value) => value);
  values.forEach((value, place) => builder.add(value, place * 1e6, (place + 1) * 1e6));
  const series = builder.finish(values.length * 1e6);
  if (series === undefined) throw new Error("the test made no series");
  return series;
}

// Fails to compile when the model has a fact the report does not list.
const complete: Exclude<FactName, (typeof factOrder)[number]> extends never ? true : false = true;

test("every fact of the model has a place in the report", () => {
  expect(complete).toBe(true);
  expect(new Set(factOrder).size).toBe(factOrder.length);
});

test("a clip of which nothing is known still has the facts every page asks for, each with a reason", () => {
  const report = reportFacts({}, all);
  expect(Object.keys(report)).toEqual([...alwaysReported]);
  for (const fact of Object.values(report)) expect(fact).toEqual({ state: "absent", why: notLookedFor });
});

test("a ratio is kept exact, with a decimal and the words of the trade beside it", () => {
  const { frameRate } = reportFacts({ frameRate: read(rate(30000, 1001), origin) }, all);
  expect(frameRate).toEqual({
    state: "read",
    value: "30000/1001",
    decimal: 30000 / 1001,
    unit: "frames/s",
    text: "29.97 fps",
    origin,
  });
});

test("the order of facts does not depend on the order they were read in", () => {
  const one: Facts = { iso: absent("no record"), frames: read(50, origin), codec: read("h264", origin) };
  const other: Facts = { codec: read("h264", origin), frames: read(50, origin), iso: absent("no record") };
  expect(JSON.stringify(reportFacts(one, all))).toBe(JSON.stringify(reportFacts(other, all)));
});

test("a series says its spread and its typical value", () => {
  const { iso } = reportFacts({ iso: read(isoSeries([100, 200, 200, 400]), origin) }, all);
  expect(iso?.text).toBe("ISO 100 to 400, typically 200");
  expect(iso?.series).toEqual({
    typical: 200,
    first: 100,
    least: 100,
    most: 400,
    records: 4,
    coverage: 1,
    points: [
      [0, 100],
      [1, 200],
      [3, 400],
    ],
  });
});

test("a long series keeps its peaks and its start within the points for drawing", () => {
  const values = Array.from({ length: 3000 }, (_, place) => 100 + (place % 7));
  values[1234] = 6400;
  values[2000] = 50;
  const { iso } = reportFacts({ iso: read(isoSeries(values), origin) }, all);
  const drawn = iso?.series?.points ?? [];
  expect(drawn.length).toBeLessThanOrEqual(mostPoints);
  expect(drawn[0]).toEqual([0, 100]);
  expect(drawn).toContainEqual([1234, 6400]);
  expect(drawn).toContainEqual([2000, 50]);
  expect(drawn.map(([start]) => start)).toEqual(drawn.map(([start]) => start).sort((a, b) => Number(a) - Number(b)));
});

test("a constant shutter reads as a camera menu prints it", () => {
  const shutterSeconds = read(constantSeries<Seconds>(seconds(1, 50), 2e6), origin);
  const report = reportFacts({ shutterSeconds }, all);
  expect(report["shutterSeconds"]).toMatchObject({ value: "1/50", decimal: 0.02, unit: "s", text: "1/50 s" });
});

test("timecode is reported as its label", () => {
  const timecode = read({ start: "01:02:03;04", dropFrame: true, labelsPerSecond: 30, startFrame: 111_582 }, origin);
  expect(reportFacts({ timecode }, all)["timecode"]).toMatchObject({ value: "01:02:03;04", text: "01:02:03;04" });
});

test("a damaged fact keeps its place and its reason", () => {
  const report = reportFacts({ frames: damaged("the sample table is cut", origin) }, all);
  expect(report["frames"]).toEqual({ state: "damaged", why: "the sample table is cut", origin });
});

test("a number that is none is damage, never a value", () => {
  expect(reportFacts({ width: read(Number.NaN, origin) }, all)["width"]).toMatchObject({ state: "damaged" });
});

test("a source that is damaged is told beside the value that another gave", () => {
  const sidecar: Origin = { kind: "sidecar", file: "DCIM/A.XML", place: "VideoFrame@formatFps" };
  const frameRate = { ...read(rate(25), origin), broken: [damaged('"0p" is no frame rate', sidecar)] };
  expect(reportFacts({ frameRate }, all)["frameRate"]?.broken).toEqual([
    { why: '"0p" is no frame rate', origin: sidecar },
  ]);
  expect(reportFacts({ frameRate: read(rate(25), origin) }, all)["frameRate"]).not.toHaveProperty("broken");
});

test("witnesses are told as text, with whether they agree", () => {
  const frameRate = {
    ...read(rate(25), origin),
    witnesses: [{ value: rate(30000, 1001), origin, agrees: false }],
  };
  expect(reportFacts({ frameRate }, all)["frameRate"]?.witnesses).toEqual([
    { value: "29.97 fps", origin, agrees: false },
  ]);
});

test("without positions no place on earth is left anywhere in the facts", () => {
  const place = { latitudeDegrees: 12.345678, longitudeDegrees: 98.765432 };
  const facts: Facts = {
    location: read(place, origin),
    path: read([{ ...place, atSeconds: 0 }], origin),
    metadata: read({ "some.location.key": "x", comment: "+12.3456+098.7654/", make: "none" }, origin),
    telemetry: read(
      {
        dialect: "bracketed",
        records: 2,
        unreadRecords: 0,
        spacingSeconds: 1,
        cadence: "per second",
        coverage: 1,
        gaps: [],
        lagSeconds: 0,
        endSeconds: 2,
        unknownKeys: { homePoint: "12.345678 98.765432", fixed: "12.345678, 98.765432", exposure_mode: "auto" },
      },
      origin,
    ),
  };
  const report = reportFacts(facts, { positions: false });
  expect(report["location"]).toEqual({ state: "absent", why: leftOut });
  expect(report["path"]).toEqual({ state: "absent", why: leftOut });
  const text = JSON.stringify(report);
  expect(text).not.toMatch(/12\.34|98\.76|098\.76/);
  expect(text).toContain("exposure_mode");
  expect(text).toContain("make");
  expect(JSON.stringify(reportFacts(facts, all))).toContain("98.765432");
});

test("maps, big numbers and typed arrays do not stop the report from being written", () => {
  // A reader's metadata may hold what the types do not promise.
  const odd = { a: new Map([["k", 2n ** 70n]]), b: Uint8Array.of(1, 2), c: undefined, __proto__: null } as unknown;
  const report = reportFacts({ metadata: read(odd as Record<string, string>, origin) }, all);
  expect(JSON.parse(JSON.stringify(report["metadata"]?.value))).toEqual({
    a: { k: "1180591620717411303424" },
    b: [1, 2],
  });
});

const clip = (facts: Facts, more: Partial<Clip> = {}): Clip => ({
  name: "DCIM/A.MP4",
  files: [],
  joints: [],
  facts,
  readers: ["goodgate"],
  cost: { bytes: 0, calls: 0, milliseconds: 0 },
  ...more,
});

test("a flat line has every key, and null where nothing is known", () => {
  const flat = flatFacts(
    clip({ frameRate: read(rate(24000, 1001), origin), durationSeconds: read(ratio(5n, 2n), origin) }),
  );
  expect(flat).toMatchObject({ path: "DCIM/A.MP4", state: "read", frameRate: "24000/1001", durationSeconds: 2.5 });
  expect(Object.keys(flat)).toHaveLength(21);
  expect(flat.iso).toBeNull();
  expect(flat.hasAudio).toBeNull();
  expect(flat.variable).toBeNull();
});

test("a flat line tells damage, nothing read and no footage apart from a read clip", () => {
  expect(flatFacts(clip({ frames: damaged("cut", origin), codec: read("hevc", origin) })).state).toBe("damaged");
  expect(flatFacts(clip({})).state).toBe("damaged");
  expect(flatFacts(clip({}, { notFootage: "a text file" })).state).toBe("not footage");
});

test("a flat line gives the first value of what changes through the clip", () => {
  const flat = flatFacts(clip({ codec: read("hevc", origin), iso: read(isoSeries([400, 100]), origin) }));
  expect(flat.iso).toBe(400);
});

const timing = (kind: "rounded" | "slips") => ({
  kind,
  timescale: 600,
  medianTicks: 20,
  leastTicks: 20,
  mostTicks: 20,
  histogram: [],
  slips: [],
  lostFrames: 0,
  offShare: 0,
});

test("missing frames count as variable, a coarse clock does not", () => {
  expect(flatFacts(clip({ timing: read(timing("slips"), origin) })).variable).toBe(true);
  expect(flatFacts(clip({ timing: read(timing("rounded"), origin) })).variable).toBe(false);
});

test("tracks that are not there are counted as none; of a file without index nobody knows", () => {
  const none = { sound: absent("no sound track"), textTracks: absent("no text track"), dataTracks: absent("none") };
  const seen = flatFacts(clip({ ...none, width: read(320, origin) }));
  expect([seen.hasAudio, seen.textTracks, seen.dataTracks]).toEqual([false, 0, 0]);
  const open = flatFacts(clip({ ...none, structure: damaged("never closed", origin), codec: absent("no index") }));
  expect([open.hasAudio, open.textTracks, open.dataTracks]).toEqual([null, null, null]);
  const track = { id: 2, entry: "tx3g", handler: "text", samples: 2, holds: "speech" };
  const two = flatFacts(
    clip({ sound: damaged("no rate", origin), textTracks: read([track, { ...track, id: 3 }], origin) }),
  );
  expect([two.hasAudio, two.textTracks, two.dataTracks]).toEqual([true, 2, null]);
});

test("keys that fill no fact, records and values that could not be read stand in the telemetry's own line", () => {
  const summary = {
    dialect: "bracketed-pairs",
    records: 50,
    unreadRecords: 2,
    spacingSeconds: 0.04,
    cadence: "per frame",
    coverage: 1,
    gaps: [],
    lagSeconds: 0,
    endSeconds: 2,
    unknownKeys: { mode: "auto", home: "12.345678 98.765432" },
    damagedValues: { shutterSeconds: 3 },
  } as const;
  const text = (positions: boolean): string | undefined =>
    reportFacts({ telemetry: read(summary, origin) }, { positions })["telemetry"]?.text;
  expect(text(true)).toBe(
    "50 records per frame, 2 not understood, 100 % of the clip; not readable: shutterSeconds 3 times; " +
      "other keys: mode auto, home 12.345678 98.765432",
  );
  expect(text(false)).not.toContain("98.76");
});
