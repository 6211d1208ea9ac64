import { type Facts, type Reading, type Series, rate, ratioText, type Ratio } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { TelemetryFacts } from "../contracts.ts";
import { mostCueFileBytes, readCueFile } from "./cue-file.ts";
import {
  homeGpsText,
  madeClock,
  madeSrt,
  perFrame,
  perSecond,
  slashLineText,
  spacedBrackets,
  tightBrackets,
} from "./made-cues.ts";

const twoSeconds = { microseconds: 2_000_000, frameRate: rate(25) };

const facts = (text: string | Uint8Array, clip: Parameters<typeof readCueFile>[2] = twoSeconds): TelemetryFacts => {
  const read = readCueFile(typeof text === "string" ? Buffer.from(text) : text, "a/clip.srt", clip);
  if ("notTelemetry" in read) throw new Error(`not telemetry: ${read.notTelemetry}`);
  return read;
};
const summary = (from: TelemetryFacts) => {
  if (from.telemetry?.state !== "read") throw new Error("no summary");
  return from.telemetry.value;
};
const valuesOf = (series: Reading<Series<number>> | undefined): readonly number[] =>
  series?.state === "read" ? series.value.values : [];
const ratiosOf = (series: Reading<Series<Ratio>> | undefined): readonly string[] =>
  series?.state === "read" ? series.value.values.map(ratioText) : [];
const captureRate = (from: Facts): string | undefined =>
  from.captureRate?.state === "read" ? ratioText(from.captureRate.value) : undefined;

const contentOf = (texts: readonly string[]) =>
  readCueFile(Buffer.from(madeSrt(perSecond(texts.length, (place) => texts[place] ?? ""))), "a.srt", {});

test("settings per frame are read with place, clock and cadence", () => {
  const read = facts(madeSrt(perFrame(50, 25, (place) => spacedBrackets(place))));
  expect(ratiosOf(read.shutterSeconds)).toEqual(["1/1000"]);
  expect(valuesOf(read.iso)).toEqual([110]);
  expect(read.iso).toMatchObject({
    origin: { kind: "per-frame record", file: "a/clip.srt", place: "cues 1 to 50" },
    value: { coverage: 1, records: 50 },
  });
  expect(summary(read)).toMatchObject({
    dialect: "bracketed-pairs",
    records: 50,
    unreadRecords: 0,
    spacingSeconds: 0.04,
    cadence: "per frame",
    coverage: 1,
    gaps: [],
    lagSeconds: 0,
    endSeconds: 2,
    firstClock: "2031-04-05 08:07:08,000,456",
    lastClock: "2031-04-05 08:07:09,960,456",
    clockSpanSeconds: 1.96,
    clockStepSeconds: 1e-6,
    clockSource: "camera",
  });
  expect(read.location).toMatchObject({ value: { latitudeDegrees: 12.345678, longitudeDegrees: -45.678901 } });
});

test("byte order mark, CRLF and UTF-16 make no difference", () => {
  const text = madeSrt(perFrame(10, 25, (place) => tightBrackets(place)));
  const plain = facts(text);
  const windows = madeSrt(
    perFrame(10, 25, (place) => tightBrackets(place)),
    "\r\n",
  );
  for (const other of [
    facts(Buffer.concat([Buffer.of(0xef, 0xbb, 0xbf), Buffer.from(windows)])),
    facts(Buffer.concat([Buffer.of(0xff, 0xfe), Buffer.from(text, "utf16le")])),
    facts(text.replaceAll("\n", "\r")),
  ]) {
    expect(other).toEqual(plain);
  }
});

test("the same cues in WebVTT and ASS give the same facts", () => {
  const cues = perSecond(3, (place) => homeGpsText(place));
  const srt = facts(madeSrt(cues));
  const vtt = `WEBVTT\n\n${madeSrt(cues)
    .replaceAll(/^\d+\n/gm, "")
    .replaceAll(/(\d\d),(\d{3})/g, "$1.$2")}`;
  expect(facts(vtt)).toEqual(srt);
  const lines = cues.map(
    ({ text }, place) =>
      `Dialogue: 0,0:00:0${place}.00,0:00:0${place + 1}.00,D,,0,0,0,,${text.replaceAll("\n", "\\N")}`,
  );
  expect(facts(`[Script Info]\n[Events]\n${lines.join("\n")}\n`)).toEqual(srt);
});

test("a change in the middle is two values of half the time, at the second it happens", () => {
  const read = facts(
    madeSrt(
      perFrame(50, 25, (place) =>
        spacedBrackets(place, place < 25 ? { iso: "100", shutter: "1/50.0" } : { iso: "400", shutter: "1/200.0" }),
      ),
    ),
  );
  expect(ratiosOf(read.shutterSeconds)).toEqual(["1/50", "1/200"]);
  expect(read.iso).toMatchObject({ value: { values: [100, 400], heldMicroseconds: [1_000_000, 1_000_000] } });
  expect(read.iso?.state === "read" ? [...read.iso.value.runStarts] : []).toEqual([0, 1_000_000]);
});

test("missing cues are a hole: coverage falls and the hole is listed", () => {
  const cues = perFrame(50, 25, (place) => spacedBrackets(place)).filter((_, place) => place < 20 || place >= 35);
  const read = facts(madeSrt(cues));
  expect(summary(read).coverage).toBeCloseTo(0.7, 6);
  expect(summary(read).gaps).toEqual([{ fromSeconds: 0.8, toSeconds: 1.4 }]);
});

test.each([0, 1, 20, 48])("a cue whose start was damaged, number %i, costs itself and nothing else", (damaged) => {
  const cues = perFrame(50, 25, (place) => spacedBrackets(place));
  const late = cues.map((cue, place) => (place === damaged ? { ...cue, from: 40_000 } : cue));
  const read = facts(madeSrt(late));
  expect(summary(read).coverage).toBeGreaterThan(0.95);
  expect(read.iso).toMatchObject({ value: { records: 50 } });
  const held = read.iso?.state === "read" ? (read.iso.value.heldMicroseconds[0] ?? 0) : 0;
  expect([held > 1_900_000, held <= 2_000_000]).toEqual([true, true]);
});

test("a single missing cue is bridged, for a value holds up to two steps", () => {
  const cues = perFrame(50, 25, (place) => spacedBrackets(place)).filter((_, place) => place !== 20);
  expect(summary(facts(madeSrt(cues)))).toMatchObject({ coverage: 1, gaps: [] });
});

test("cues once a second that begin a second late cover half of two seconds", () => {
  const cues = perSecond(2, (place) => homeGpsText(place)).map(({ from, to, text }) => ({
    from: from + 1000,
    to: to + 1000,
    text,
  }));
  expect(summary(facts(madeSrt(cues)))).toMatchObject({ cadence: "per second", lagSeconds: 1, coverage: 0.5 });
});

test("cue times count, the difference time written in the cue does not", () => {
  const read = facts(madeSrt(perFrame(50, 25, (place) => tightBrackets(place))));
  expect(summary(read)).toMatchObject({ spacingSeconds: 0.04, endSeconds: 2 });
});

test("shutters that are all broken are damage with the text and the cue, the rest is read", () => {
  const read = facts(madeSrt(perFrame(50, 25, (place) => spacedBrackets(place, { shutter: "1/0.0", iso: "0" }))));
  expect(read.shutterSeconds).toEqual({
    state: "damaged",
    why: '"1/0.0" is no shutter time (50 of 50 records)',
    origin: { kind: "per-frame record", file: "a/clip.srt", place: "cue 1" },
  });
  expect(read.iso?.state).toBe("damaged");
  expect(valuesOf(read.whiteBalanceKelvin)).toEqual([5500]);
  expect(summary(read).damagedValues).toEqual({ shutterSeconds: 50, iso: 50 });
});

test("a few broken shutters spoil only themselves and are counted", () => {
  const read = facts(
    madeSrt(perFrame(50, 25, (place) => spacedBrackets(place, place % 10 === 3 ? { shutter: "1/0.0" } : {}))),
  );
  expect(ratiosOf(read.shutterSeconds)).toEqual(["1/1000"]);
  expect(read.shutterSeconds).toMatchObject({ value: { records: 45, coverage: 0.9 } });
  expect(summary(read).damagedValues).toEqual({ shutterSeconds: 5 });
});

test("a pair of zeros is no fix: the place is absent, not in the Gulf of Guinea", () => {
  const read = facts(
    madeSrt(perFrame(50, 25, (place) => spacedBrackets(place, { latitude: "0.000000", longitude: "0.000000" }))),
  );
  expect(read.location?.state).toBe("absent");
  expect(read.path).toBeUndefined();
});

test("the place is the first fix, records without one before it are skipped", () => {
  const read = facts(
    madeSrt(
      perFrame(50, 25, (place) =>
        spacedBrackets(place, place < 10 ? { latitude: "0.000000", longitude: "0.000000" } : {}),
      ),
    ),
  );
  expect(read.location).toMatchObject({ state: "read", value: { latitudeDegrees: 12.345678 } });
  expect(read.path?.state === "read" ? read.path.value[0]?.atSeconds : undefined).toBe(0.4);
});

test("a path of many fixes is thinned to 512 points with first and last kept", () => {
  const count = 5000;
  const cues = perFrame(count, 25, (place) => spacedBrackets(place, { latitude: (place / 1000 + 1).toFixed(6) }));
  const read = facts(madeSrt(cues), { microseconds: count * 40_000, frameRate: rate(25) });
  const path = read.path?.state === "read" ? read.path.value : [];
  expect(path.length).toBeLessThanOrEqual(512);
  expect(path.length).toBeGreaterThan(256);
  expect(path[0]?.latitudeDegrees).toBe(1);
  expect(path[path.length - 1]?.latitudeDegrees).toBe(5.999);
});

test("a file cut inside its last cue gives the cues before it and says so", () => {
  const text = madeSrt(perFrame(50, 25, (place) => spacedBrackets(place)));
  const read = facts(text.slice(0, 2000));
  expect(summary(read)).toMatchObject({
    records: 6,
    unreadRecords: 1,
    remarks: ["The file ends inside cue 7: it was cut off, the cues before it were read."],
  });
});

test("a whole last cue without a line break at the end counts", () => {
  const text = madeSrt(perFrame(50, 25, (place) => spacedBrackets(place))).trimEnd();
  expect(summary(facts(text))).toMatchObject({ records: 50, unreadRecords: 0 });
});

test("wherever a file of home and GPS lines is cut, no value appears that was not written", () => {
  const text = madeSrt(perSecond(3, (place) => homeGpsText(place)));
  const lastCue = text.indexOf("\n3\n");
  for (let length = lastCue + 4; length < text.length; length += 1) {
    const read = facts(text.slice(0, length));
    expect(valuesOf(read.fNumber)).toEqual([2.2]);
    expect(valuesOf(read.iso)).toEqual([200]);
    expect(valuesOf(read.exposureBias)).toEqual([-1 / 3]);
    expect(ratiosOf(read.shutterSeconds)).toEqual(["1/60"]);
  }
});

test("spoken words are speech, tables of numbers nobody knows are unknown vocabulary", () => {
  const speech = ["Now set the ISO to 400 and the shutter at 1/60.", "[music] [door : slam]", "[iso : 400] he said"];
  expect(contentOf(speech)).toEqual({ notTelemetry: "speech" });
  expect(contentOf(["IR:100 S:50 F:2.8 D:12.5 H:30.1 16.4V", "IR:100 S:50 F:2.8 D:12.6 H:30.2 16.4V"])).toEqual({
    notTelemetry: "unknown vocabulary",
  });
  expect(readCueFile(Buffer.from("no cues here"), "a.srt", {})).toEqual({ notTelemetry: "no subtitle cues" });
  expect(readCueFile(new Uint8Array(0), "a.srt", {})).toEqual({ notTelemetry: "no subtitle cues" });
  expect(contentOf(["", ""])).toEqual({ notTelemetry: "no text in its cues" });
});

test("cues of another kind between settings are counted as unread", () => {
  const cues = perFrame(50, 25, (place) => (place === 30 || place === 31 ? "battery low" : spacedBrackets(place)));
  expect(summary(facts(madeSrt(cues)))).toMatchObject({ records: 50, unreadRecords: 2 });
});

test("a cue longer than any real one is not read", () => {
  const cues = perFrame(50, 25, (place) =>
    place === 30 ? spacedBrackets(place) + "[x : 1]".repeat(5000) : spacedBrackets(place),
  );
  expect(summary(facts(madeSrt(cues)))).toMatchObject({ unreadRecords: 1, unknownKeys: {} });
});

test("a file longer than the bound is damage that names the bound when it is telemetry", () => {
  const bytes = Buffer.alloc(mostCueFileBytes + 1, "\n");
  bytes.write(madeSrt(perFrame(50, 25, (place) => spacedBrackets(place))));
  const read = readCueFile(bytes, "a.srt", twoSeconds);
  expect(read).toMatchObject({
    telemetry: { state: "damaged", why: expect.stringContaining(String(mostCueFileBytes)) },
  });
  expect(readCueFile(Buffer.alloc(mostCueFileBytes + 1, "x"), "a.srt", {})).toEqual({
    notTelemetry: "no subtitle cues",
  });
});

test("a clock of 10 ms per 40 ms of film is a capture at 100, inferred from the clock", () => {
  const read = facts(madeSrt(perFrame(50, 25, (place) => spacedBrackets(place, { clock: madeClock(place * 10) }))));
  expect(captureRate(read)).toBe("100/1");
  expect(read.captureRate).toMatchObject({
    origin: { kind: "inferred", place: "clock in cues 1 to 50: 0.25 s pass per second of film" },
  });
});

test("a clock that runs with the film proves real time", () => {
  const read = facts(madeSrt(perFrame(50, 25, (place) => spacedBrackets(place))));
  expect(captureRate(read)).toBe("25/1");
  expect(read.captureRate).toMatchObject({ origin: { kind: "inferred" } });
});

test("film of the 1000/1001 family keeps its family: 29.97 slowed four times is 119.88", () => {
  const clip = { microseconds: 4_004_000, frameRate: rate(30000, 1001) };
  const cues = perFrame(120, 30000 / 1001, (place) =>
    spacedBrackets(place, { clock: madeClock(Math.round(place * 8.3417)) }),
  );
  expect(captureRate(facts(madeSrt(cues), clip))).toBe("120000/1001");
});

test("single jumps of the clock do not matter", () => {
  const cues = perFrame(100, 25, (place) =>
    spacedBrackets(place, { clock: madeClock(place * 40 + (place > 40 && place < 45 ? 3_600_000 : 0)) }),
  );
  expect(captureRate(facts(madeSrt(cues), { microseconds: 4_000_000, frameRate: rate(25) }))).toBe("25/1");
});

test("a clock of whole seconds proves nothing in a clip of a few seconds", () => {
  const cues = perSecond(4, (place) => homeGpsText(place));
  const read = facts(madeSrt(cues), { microseconds: 4_000_000, frameRate: rate(25) });
  expect(read.captureRate).toBeUndefined();
  expect(summary(read)).toMatchObject({ clockStepSeconds: 1, clockSpanSeconds: 3 });
});

test("a clock of whole seconds proves real time in half a minute", () => {
  const cues = perSecond(30, (place) => homeGpsText(place));
  expect(captureRate(facts(madeSrt(cues), { microseconds: 30_000_000, frameRate: rate(25) }))).toBe("25/1");
});

test("a coarse clock that is clearly slow says slow motion without a rate", () => {
  const cues = perSecond(20, (place) => homeGpsText(Math.floor(place / 4)));
  const read = facts(madeSrt(cues), { microseconds: 20_000_000, frameRate: rate(25) });
  expect(read.captureRate).toBeUndefined();
  expect(summary(read).remarks?.join(" ")).toContain("slow motion, at a rate it cannot tell");
});

test("a clip under two seconds proves no rate", () => {
  const cues = perFrame(40, 25, (place) => spacedBrackets(place));
  expect(facts(madeSrt(cues), { microseconds: 1_600_000, frameRate: rate(25) }).captureRate).toBeUndefined();
});

test("a clock that runs fast is a time lapse, never a capture rate", () => {
  const cues = perFrame(100, 25, (place) => spacedBrackets(place, { clock: madeClock(place * 2000) }));
  const read = facts(madeSrt(cues), { microseconds: 4_000_000, frameRate: rate(25) });
  expect(read.captureRate).toBeUndefined();
  expect(summary(read).remarks?.join(" ")).toContain("50 s per second of film: a time lapse");
});

test("axes told apart by order leave a doubt, lettered or certain ones do not", () => {
  const slash = facts(madeSrt(perSecond(2, () => slashLineText())));
  expect(summary(slash).remarks?.[0]).toContain("told apart by their order");
  expect(
    summary(facts(madeSrt(perSecond(2, () => slashLineText().replace("-45.6789", "-145.6789"))))).remarks,
  ).toBeUndefined();
});

test("without a clip length and rate the settings are read all the same", () => {
  const read = facts(madeSrt(perFrame(50, 25, (place) => spacedBrackets(place))), {});
  expect(valuesOf(read.iso)).toEqual([110]);
  expect(read.captureRate).toBeUndefined();
});

test("the order of the cues in the file does not matter", () => {
  const cues = perFrame(20, 25, (place) => spacedBrackets(place, { iso: String(100 + 10 * (place % 7)) }));
  const sorted = facts(madeSrt(cues));
  fc.assert(
    fc.property(fc.shuffledSubarray([...cues], { minLength: cues.length }), (shuffled) => {
      expect(facts(madeSrt(shuffled))).toEqual(sorted);
    }),
    { numRuns: 50 },
  );
});

test("any bytes, and any damage to a good file, give a reading and never an exception", () => {
  const good = Buffer.from(madeSrt(perFrame(20, 25, (place) => tightBrackets(place))));
  fc.assert(
    fc.property(fc.nat(good.length - 1), fc.nat(255), fc.nat(good.length), (place, byte, length) => {
      const bytes = Buffer.from(good.subarray(0, length));
      if (place < length) bytes[place] = byte;
      readCueFile(bytes, "a.srt", twoSeconds);
    }),
    { numRuns: 1000 },
  );
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
      readCueFile(bytes, "a.srt", {});
    }),
  );
});
