import {
  absent,
  constantSeries,
  type CreationTime,
  damaged,
  type Facts,
  type Origin,
  rate,
  read,
  seconds,
  type TelemetrySummary,
  valueOf,
} from "@goodgate/model";
import { expect, test } from "vitest";
import { choose, combineFacts, metresApart, type Sources } from "./precedence.ts";

const from = (file: string): Origin => ({ kind: "container", file, place: "test" });
const none: Sources = { container: {}, dataTracks: [], textTracks: [], cueFiles: [], clipXml: [], xmp: [], stills: [] };
const combined = (sources: Partial<Sources>): Facts => combineFacts({ ...none, ...sources });
const same = (a: number, b: number): boolean => a === b;

test("the first that was read wins, the others bear witness", () => {
  const chosen = choose(
    [undefined, damaged("x", from("d")), read(1, from("a")), read(1, from("b")), read(2, from("c"))],
    same,
  );
  expect(chosen).toEqual({
    ...read(1, from("a")),
    witnesses: [
      { value: 1, origin: from("b"), agrees: true },
      { value: 2, origin: from("c"), agrees: false },
    ],
    broken: [damaged("x", from("d"))],
  });
});

test("when none was read, damage stands before absence; a witness never wins", () => {
  expect(choose([absent("x"), damaged("y", from("a"))], same)).toMatchObject({ state: "damaged" });
  expect(choose([absent("x"), absent("y")], same)).toEqual(absent("x"));
  expect(choose([absent("x")], same, [read(1, from("still"))])).toEqual(absent("x"));
  expect(choose([], same)).toBeUndefined();
});

test("the rate of the container is the rate; a sidecar's 29.97 agrees with 30000/1001, its 30 does not", () => {
  const container = { frameRate: read(rate(30000, 1001), from("clip")) };
  const withRate = (value: ReturnType<typeof rate>) =>
    combined({ container, clipXml: [{ frameRate: read(value, from("xml")) }] }).frameRate;
  expect(withRate(rate(2997, 100))).toMatchObject({ value: rate(30000, 1001), witnesses: [{ agrees: true }] });
  expect(withRate(rate(30))).toMatchObject({ witnesses: [{ agrees: false }] });
});

const said = (value: number, name: string) => ({ captureRate: read(rate(value), from(name)) });

test("capture rate: data track, then XML, then the container's key, then the cues' clock", () => {
  const all: Partial<Sources> = {
    dataTracks: [said(100, "d")],
    clipXml: [said(101, "x")],
    container: said(120, "c"),
    cueFiles: [said(50, "s")],
  };
  const winner = (sources: Partial<Sources>) => {
    const { captureRate } = combined(sources);
    return captureRate?.state === "read" ? captureRate.origin.file : captureRate?.state;
  };
  expect(winner(all)).toBe("d");
  expect(winner({ ...all, dataTracks: [] })).toBe("x");
  expect(winner({ ...all, dataTracks: [], clipXml: [] })).toBe("c");
  expect(winner({ cueFiles: all.cueFiles ?? [] })).toBe("s");
  expect(combined(all).captureRate).toMatchObject({
    witnesses: [{ agrees: true }, { agrees: false }, { agrees: false }],
  });
});

test("an absurd key does not hide what the XML says, and alone it stays damage", () => {
  const broken = { captureRate: damaged("0 frames a second", from("clip")) };
  expect(
    combined({ container: broken, clipXml: [{ captureRate: read(rate(100), from("xml")) }] }).captureRate,
  ).toMatchObject({
    state: "read",
    value: rate(100),
  });
  expect(combined({ container: broken }).captureRate).toMatchObject({ state: "damaged" });
});

const shutter = (top: number, bottom: number, name: string) => ({
  shutterSeconds: read(constantSeries(seconds(top, bottom), 1e6), from(name)),
});

const agreed = (bottom: number) => {
  const { shutterSeconds } = combined({ textTracks: [shutter(1, 1000, "t")], cueFiles: [shutter(1, bottom, "s")] });
  return shutterSeconds?.state === "read" ? shutterSeconds.witnesses?.map((one) => one.agrees) : undefined;
};

test("shutter times of a track and a sidecar agree within 3 %", () => {
  expect([agreed(1000), agreed(1020), agreed(1040), agreed(500)]).toEqual([[true], [true], [false], [false]]);
});

test("a thumbnail is another exposure: a witness, never the value", () => {
  const still = { iso: read(constantSeries(200, 1e6), from("thm")) };
  expect(combined({ stills: [still] }).iso).toBeUndefined();
  expect(
    combined({ stills: [still], cueFiles: [{ iso: read(constantSeries(100, 1e6), from("s")) }] }).iso,
  ).toMatchObject({
    value: { values: [100] },
    witnesses: [{ agrees: false }],
  });
});

test("a source that is broken stays beside the one that was read, whichever goes first", () => {
  const bad = damaged("no rate", from("xml"));
  const good = read(rate(25), from("container"));
  expect(combined({ container: { frameRate: good }, clipXml: [{ frameRate: bad }] }).frameRate).toEqual({
    ...good,
    broken: [bad],
  });
  expect(combined({ container: { timecode: bad }, xmp: [{ timecode: read(code, from("xmp")) }] }).timecode).toEqual({
    ...read(code, from("xmp")),
    broken: [bad],
  });
  expect(combined({ container: { frameRate: good } }).frameRate).not.toHaveProperty("broken");
});

const code = { start: "10:00:00:00", dropFrame: false, labelsPerSecond: 25, startFrame: 900_000 };

test("what the container does not know is not invented", () => {
  expect(combined({})).toEqual({});
});

const time = (text: string, zone: CreationTime["zone"], more: Partial<CreationTime> = {}): CreationTime => ({
  text,
  zone,
  epochMilliseconds: Date.parse(zone === "unknown" ? `${text}Z` : text),
  ...more,
});
const telemetry = (clockSource: "satellite" | "camera", firstClock: string): TelemetrySummary => ({
  dialect: "test",
  records: 1,
  unreadRecords: 0,
  spacingSeconds: 1,
  cadence: "per second",
  coverage: 1,
  gaps: [],
  lagSeconds: 0,
  endSeconds: 1,
  unknownKeys: {},
  firstClock,
  clockSource,
});

test("start clock: satellite, then offset, then UTC, then local; a doubtful one last", () => {
  const utc = { createdAt: read(time("2031-04-05T06:07:08Z", "utc"), from("mvhd")) };
  const offset = { createdAt: read(time("2031-04-05T08:07:09+02:00", "offset"), from("xml")) };
  const satellite = { telemetry: read(telemetry("satellite", "2031-04-05T06:07:08.500"), from("gps")) };
  const cue = { telemetry: read(telemetry("camera", "2031-04-05 08:07:08"), from("cue")) };
  const winner = (sources: Partial<Sources>) => {
    const { createdAt } = combined(sources);
    return createdAt?.state === "read" ? createdAt.origin.file : undefined;
  };
  const all: Partial<Sources> = { container: utc, clipXml: [offset], dataTracks: [satellite], cueFiles: [cue] };
  expect(winner(all)).toBe("gps");
  expect(winner({ ...all, dataTracks: [] })).toBe("xml");
  expect(winner({ ...all, dataTracks: [], clipXml: [] })).toBe("mvhd");
  expect(winner({ cueFiles: [cue] })).toBe("cue");
  const reset = {
    createdAt: read(time("2000-01-01T00:00:30Z", "utc", { suspect: "start of an epoch" }), from("mvhd")),
  };
  expect(winner({ container: reset, cueFiles: [cue] })).toBe("cue");
  expect(valueOf(combined({ container: reset }).createdAt)?.suspect).toBe("start of an epoch");
  // Local time against UTC is a zone, not a contradiction.
  expect(combined({ container: utc, cueFiles: [cue] }).createdAt).toMatchObject({ witnesses: [{ agrees: true }] });
});

const at = (latitudeDegrees: number, longitudeDegrees = 0) => ({ latitudeDegrees, longitudeDegrees });

test("places 50 m apart agree", () => {
  // One minute of latitude is a nautical mile, 1852 m by definition, to within half a percent.
  expect(metresApart(at(0), at(1 / 60)) / 1852).toBeCloseTo(1, 2);
  expect(metresApart(at(60), at(60, 1 / 60)) / 926).toBeCloseTo(1, 2);
  expect(metresApart(at(10, 179.9999), at(10, -179.9999))).toBeLessThan(50);
  const place = (latitude: number, file: string) => ({ location: read(at(latitude), from(file)) });
  expect(combined({ container: place(10, "c"), cueFiles: [place(10.0004, "s")] }).location).toMatchObject({
    origin: { file: "s" },
    witnesses: [{ agrees: true }],
  });
  expect(combined({ container: place(10, "c"), cueFiles: [place(10.001, "s")] }).location).toMatchObject({
    witnesses: [{ agrees: false }],
  });
});
