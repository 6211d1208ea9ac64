import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Dialect } from "../dialects/dialect.ts";
import bracketedPairs from "../dialects/bracketed-pairs.ts";
import homeGpsLines from "../dialects/home-gps-lines.ts";
import letteredGpsLines from "../dialects/lettered-gps-lines.ts";
import slashLine from "../dialects/slash-line.ts";
import { cueReader } from "./cue-reader.ts";
import { homeGpsText, madeClock, slashLineText, spacedBrackets, tightBrackets } from "./made-cues.ts";
import type { TelemetryRecord } from "./record.ts";
import { unknownKeys } from "./unknown-keys.ts";

/** What a record says, apart from the object that says it. */
const said = (record: TelemetryRecord | undefined) =>
  record === undefined
    ? undefined
    : { ...record, clock: record.clock === undefined ? undefined : { ...record.clock, text: record.clock.text } };

/** Reads cues one after the other as a file's are, and counts those that were read carefully. */
function readTogether(dialect: Dialect, cues: readonly string[]) {
  const rest = unknownKeys();
  let careful = 0;
  const read = cueReader(dialect, rest);
  const records = cues.map((cue) => {
    const bytes = Buffer.from(cue);
    const text = (from: number, to: number): string => {
      careful += 1;
      return bytes.toString("utf8", from, to);
    };
    return said(read(new Uint8Array(bytes), 0, bytes.length, text));
  });
  return { records, rest: rest.list(), careful };
}

/** The same without anything learnt from the cue before. */
function readApart(dialect: Dialect, cues: readonly string[]) {
  const rest = unknownKeys();
  return { records: cues.map((cue) => said(dialect.startReading(rest)(cue))), rest: rest.list() };
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
      const { records, rest } = readTogether(dialect, texts);
      expect({ records, rest }).toEqual(readApart(dialect, texts));
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
  const { records, rest, careful } = readTogether(dialect, cues);
  expect({ records, rest }).toEqual(readApart(dialect, cues));
  expect(careful).toBeLessThanOrEqual(2);
});

test("a cue that fails half way leaves the one before it as it was", () => {
  const first = spacedBrackets(0, { iso: "100", latitude: "12.000000" });
  const broken = spacedBrackets(1, { iso: "400", latitude: "99.000000" });
  const { records } = readTogether(bracketedPairs, [first, broken, first]);
  expect(records[1]).toMatchObject({ iso: { value: 400 }, latitudeDegrees: { fault: "99.000000" } });
  expect(records[2]).toEqual(records[0]);
});
