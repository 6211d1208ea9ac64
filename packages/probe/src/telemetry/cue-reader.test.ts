import { rate } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Dialect } from "../dialects/dialect.ts";
import bracketedPairs from "../dialects/bracketed-pairs.ts";
import homeGpsLines from "../dialects/home-gps-lines.ts";
import letteredGpsLines from "../dialects/lettered-gps-lines.ts";
import slashLine from "../dialects/slash-line.ts";
import { type CueBytes, cueBytes } from "./cue-bytes.ts";
import { cueColumns } from "./cue-columns.ts";
import { readCueFile } from "./cue-file.ts";
import { readCues } from "./cue-reader.ts";
import { splitCues } from "./cues.ts";
import { foldTelemetry, type TelemetrySource } from "./fold.ts";
import { cueTime, homeGpsText, madeClock, slashLineText, spacedBrackets, tightBrackets } from "./made-cues.ts";
import { unknownKeys } from "./unknown-keys.ts";

/** Cues one behind the other in one list of bytes, each of them forty milliseconds. */
function listed(cues: readonly string[]) {
  const texts = cues.map((cue) => Buffer.from(cue));
  const bytes = new Uint8Array(Buffer.concat(texts));
  const to = texts.map((_, place) => texts.slice(0, place + 1).reduce((sum, { length }) => sum + length, 0));
  return {
    bytes,
    count: cues.length,
    from: [0, ...to.slice(0, -1)],
    to,
    starts: cues.map((_, place) => place * 40_000),
    ends: cues.map((_, place) => (place + 1) * 40_000),
    text: (from: number, end: number) => Buffer.from(bytes.subarray(from, end)).toString("utf8"),
  };
}

const factsOf = (
  records: TelemetrySource["records"],
  rest: TelemetrySource["rest"],
  dialect: Dialect,
  place = "",
  clip: TelemetrySource["clip"] = {},
) =>
  foldTelemetry({
    dialect: dialect.id,
    file: "clip.srt",
    place,
    records,
    clip,
    rest,
    unreadRecords: 0,
    remarks: [],
    clockSource: "camera",
  });

const nameOf = (place: number): string => `cue ${place + 1}`;

/** Reads cues one after the other as a file's are, and counts those that were read carefully. */
function readTogether(dialect: Dialect, cues: readonly string[]) {
  const rest = unknownKeys();
  const list = listed(cues);
  const columns = cueColumns({}, nameOf, list.ends);
  let careful = 0;
  const text: CueBytes["text"] = (from, to) => {
    careful += 1;
    return list.text(from, to);
  };
  readCues({ ...list, text }, dialect, rest, columns);
  return { facts: factsOf(columns, rest, dialect), careful };
}

/** The same without anything learnt from the cue before. */
function readApart(dialect: Dialect, cues: readonly string[]) {
  const rest = unknownKeys();
  const { starts, ends } = listed(cues);
  const record = (at: number) => dialect.startReading(rest)(cues[at] ?? "");
  return factsOf({ streams: [{ starts, ends, record }], nameOf: (_, at) => nameOf(at) }, rest, dialect);
}

const attitudes =
  "No:7, F/6.3, SS 60, ISO 100, EV 0, RTK (-145.678901, 12.345678, 28), HOME (-145.678900, 12.345600, 103.55m), " +
  "D 75.36m, H 76.19m, H.S 0.30m/s, V.S 0.00m/s, F.PRY (-5.3°, 2.1°, 28.3°), G.PRY (-40.0°, 0.0°, 29.2°), ND 16";
const gimbalFirst = attitudes.replace(/(F\.PRY \([^)]*\)), (G\.PRY \([^)]*\))/, "$2, $1");
const lettered = String.raw`HOME(-45.6789, 12.3457) 2031.4.5 8:07:08\NGPS(W: -45.6788, N: 12.3458, -37) ReH:0 \NISO:100 SHUTTER:1000 EV:0 F-NUM:2.8`;

const forms: readonly (readonly [string, Dialect, readonly string[]])[] = [
  ["bracketed pairs, spaced", bracketedPairs, [spacedBrackets(0), spacedBrackets(1), spacedBrackets(2)]],
  ["bracketed pairs, tight", bracketedPairs, [tightBrackets(0), tightBrackets(1).replaceAll("\n", "\r\n")]],
  [
    "bracketed pairs, odd",
    bracketedPairs,
    [
      `n : 1\n${madeClock(0)}\n[iso: 100, shutter: 1/50,0, fnum: 2,8, ct: 0] [odd: 5] [tod : 08:07:08] [iso : 200]`,
      "[altitude: 5.0] [abs_alt: 7.25] [shutter : 1/0.0] [ev : -1/3] [rel_alt: 1.3abs_alt: 132.8] [ae_meter_md : 1]",
      `<b>2031-04-05 08:07:08.5 2031-04-05 08:07:09.5</b> [iso : 100] [fnum : 280] [gps2: 5] [latitude : 91.0]`,
    ],
  ],
  [
    "slash line",
    slashLine,
    [
      slashLineText(),
      `<font size="36">${slashLineText("206.14")}</font>`,
      "F/2.8, SS 320, ISO 150, EV 0, GPS (12.3457, -145.6789, 18)",
    ],
  ],
  ["slash line with attitudes", slashLine, [attitudes, gimbalFirst, attitudes.replace(", 29.2°", "")]],
  [
    "home and GPS lines",
    homeGpsLines,
    [
      homeGpsText(),
      homeGpsText(3).replaceAll("\n", "\r\n"),
      `<i>${homeGpsText(1)}</i>`,
      homeGpsText().replaceAll(",", ", "),
    ],
  ],
  ["lettered lines", letteredGpsLines, [lettered, lettered.replaceAll(String.raw`\N`, "\n"), `{\\an8}${lettered}`]],
];

const numbers = [
  "0",
  "5",
  "-5",
  "+5",
  "9",
  "10",
  "007",
  "60",
  "99",
  "100",
  "280",
  "3200",
  "24.00",
  "0.0",
  "0.5",
  "2,8",
  "1/50",
  "1/0.0",
  "1/2000,0",
  "-1/3",
  "-0.000000",
  "12.345679",
  "-45.678902",
  "91.5",
  "-145.678901",
  "181",
  "20001",
  "123456789",
  "1234567890",
  "12345.1234567",
  "0.1234567890123",
  "12.",
  ".5",
  "1.2.3",
  "2031-04-05",
  "23:59:60",
  "",
  "x",
  "5m",
  "5]",
] as const;

/** A cue with one of its numbers, or one of its characters, exchanged. */
const change = fc.oneof(
  { weight: 8, arbitrary: fc.record({ number: fc.nat(40), put: fc.constantFrom(...numbers) }) },
  { weight: 4, arbitrary: fc.record({ number: fc.nat(40), put: fc.nat(99).map(String) }) },
  {
    weight: 2,
    arbitrary: fc.record({
      character: fc.nat(400),
      put: fc.constantFrom(..."0123456789.,:-/ []()<>\n\r°abZ\\{}".split("")),
    }),
  },
  { weight: 2, arbitrary: fc.record({ insert: fc.nat(400), put: fc.constantFrom(..."059.,:-/ <>\n".split("")) }) },
  { weight: 1, arbitrary: fc.record({ cut: fc.nat(400) }) },
);
type Change = typeof change extends fc.Arbitrary<infer T> ? T : never;

function changed(cue: string, one: Change): string {
  if ("cut" in one) return cue.slice(0, one.cut);
  if ("insert" in one) return cue.slice(0, one.insert) + one.put + cue.slice(one.insert);
  if ("character" in one) {
    const at = one.character % Math.max(1, cue.length);
    return cue.slice(0, at) + one.put + cue.slice(at + 1);
  }
  const found = [...cue.matchAll(/[+-]?\d+(?:[.,/]\d+)*/g)];
  const number = found[one.number % Math.max(1, found.length)];
  if (number === undefined) return cue;
  return cue.slice(0, number.index) + one.put + cue.slice(number.index + number[0].length);
}

const runs = Number(process.env["GOODGATE_CUE_RUNS"] ?? 150);

test.each(forms)("%s: what differs from the cue before is read as the whole cue would be", (_, dialect, cues) => {
  const step = fc.record({ base: fc.nat(20), changes: fc.array(change, { maxLength: 3 }), keep: fc.boolean() });
  fc.assert(
    fc.property(fc.array(step, { minLength: 2, maxLength: 14 }), (steps) => {
      let before = cues[0] ?? "";
      const texts = steps.map(({ base, changes, keep }) => {
        const from = keep ? before : (cues[base % cues.length] ?? "");
        before = changes.reduce(changed, from);
        return before;
      });
      expect(readTogether(dialect, texts).facts).toEqual(readApart(dialect, texts));
    }),
    { numRuns: runs },
  );
});

test.each([
  [
    "bracketed pairs, spaced",
    bracketedPairs,
    (place: number) => spacedBrackets(place, { iso: String(100 + (place % 7)), latitude: (12 + place / 9).toFixed(6) }),
  ],
  ["bracketed pairs, tight", bracketedPairs, tightBrackets],
  [
    "slash line",
    slashLine,
    (place: number) => slashLineText(String(100 + place)).replace("H 6.00", `H ${(place / 3).toFixed(2)}`),
  ],
  [
    "attitudes",
    slashLine,
    (place: number) =>
      attitudes.replace("29.2", (place - 20.5).toFixed(1)).replace("0.00m/s", `${(20 - place) / 10}m/s`),
  ],
  ["home and GPS lines", homeGpsLines, (place: number) => homeGpsText(place % 50).replace("110.0", `${place}.5`)],
  ["lettered lines", letteredGpsLines, (place: number) => lettered.replace("12.3458", (12 + place / 7).toFixed(4))],
] as const)("%s: of fifty cues of one shape only the first is read carefully", (_, dialect, cue) => {
  const cues = Array.from({ length: 50 }, (_none, place) => cue(place));
  const { facts, careful } = readTogether(dialect, cues);
  expect(facts).toEqual(readApart(dialect, cues));
  expect(careful).toBeLessThanOrEqual(2);
});

test("a cue that fails half way leaves the one before it as it was", () => {
  const first = spacedBrackets(0, { iso: "100", latitude: "12.000000" });
  const second = spacedBrackets(1, { iso: "200", latitude: "12.500000" });
  const broken = spacedBrackets(2, { iso: "400", latitude: "99.000000" });
  const { facts } = readTogether(bracketedPairs, [first, second, broken, second, first]);
  expect(facts).toEqual(readApart(bracketedPairs, [first, second, broken, second, first]));
  expect(facts.iso).toMatchObject({ value: { values: [100, 200, 400], heldMicroseconds: [80_000, 80_000, 40_000] } });
  expect(facts.telemetry).toMatchObject({ value: { damagedValues: { location: 1 } } });
});

/** A subtitle file of cues with the times between them, in milliseconds. */
function fileOf(
  cues: readonly string[],
  steps: readonly number[],
  format: "srt" | "vtt" | "ass",
  lineEnd: string,
): string {
  let at = 0;
  const parts = cues.map((cue, place) => {
    const from = at;
    at += steps[place] ?? 40;
    if (format === "ass") {
      const line = cue.replaceAll(/\r?\n/g, String.raw`\N`);
      return `Dialogue: 0,${cueTime(from, ".").slice(1, 11)},${cueTime(at, ".").slice(1, 11)},Default,,0,0,0,,${line}\n`;
    }
    const mark = format === "vtt" ? "." : ",";
    return `${format === "vtt" ? "" : `${place + 1}\n`}${cueTime(from, mark)} --> ${cueTime(at, mark)}\n${cue}\n\n`;
  });
  const head = { srt: "", vtt: "WEBVTT\n\n", ass: "[Script Info]\n[Events]\n" }[format];
  return (head + parts.join("")).replaceAll(/\r?\n/g, lineEnd);
}

/** Reads every cue of a file by itself. */
function readFileApart(bytes: Uint8Array, dialect: Dialect, clip: TelemetrySource["clip"]) {
  const rest = unknownKeys();
  const cues = splitCues(cueBytes(bytes));
  const places = Array.from({ length: cues.count }, (_, place) => place).filter(
    (place) => cues.from[place] !== cues.to[place],
  );
  const numberOf = (at: number): number => places[at] ?? 0;
  const stream = {
    starts: places.map((place) => cues.starts[place] ?? 0),
    ends: places.map((place) => cues.ends[place] ?? 0),
    record: (at: number) =>
      dialect.startReading(rest)(cues.text(cues.from[numberOf(at)] ?? 0, cues.to[numberOf(at)] ?? 0)),
  };
  const records = { streams: [stream], nameOf: (_: number, at: number) => nameOf(numberOf(at)) };
  return factsOf(records, rest, dialect, `cues 1 to ${cues.count}`, clip);
}

test.each(forms)("%s: a whole file says what its cues say, each read by itself", (_, dialect, cues) => {
  const step = fc.record({
    base: fc.nat(20),
    changes: fc.array(change, { maxLength: 2 }),
    keep: fc.boolean(),
    isChanged: fc.nat(3).map((chance) => chance === 0),
    isEmpty: fc.nat(30).map((chance) => chance === 0),
    milliseconds: fc.constantFrom(40, 40, 40, 40, 40, 20, 0, 400),
  });
  const shape = fc.record({
    steps: fc.array(step, { minLength: 2, maxLength: 40 }),
    format: fc.constantFrom("srt", "srt", "vtt", "ass"),
    lineEnd: fc.constantFrom("\n", "\r\n"),
    mark: fc.boolean(),
    clip: fc.constantFrom({}, { microseconds: 300_000 }, { microseconds: 5_000_000, frameRate: rate(25) }),
  });
  fc.assert(
    fc.property(shape, ({ steps, format, lineEnd, mark, clip }) => {
      let before = cues[0] ?? "";
      const texts = steps.map(({ base, changes, keep, isChanged, isEmpty }) => {
        if (isEmpty) return "";
        const from = keep ? before : (cues[base % cues.length] ?? "");
        before = isChanged ? changes.reduce(changed, from) : from;
        return before;
      });
      const times = steps.map(({ milliseconds }) => milliseconds);
      const text = fileOf(texts, times, format, lineEnd);
      const bytes = Buffer.from(mark ? `\u{feff}${text}` : text);
      const facts = readCueFile(bytes, "clip.srt", clip);
      // Files of which too few cues are of the dialect are no telemetry, or another's.
      if ("notTelemetry" in facts || facts.telemetry?.state !== "read") return;
      if (facts.telemetry.value.dialect !== dialect.id) return;
      // What is said of the end of a file that was cut off is told elsewhere.
      if (splitCues(cueBytes(bytes)).brokenHeading) return;
      expect(facts).toEqual(readFileApart(bytes, dialect, clip));
    }),
    { numRuns: runs },
  );
});
