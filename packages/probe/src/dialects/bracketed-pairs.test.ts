import { ratioText } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { spacedBrackets, tightBrackets } from "../telemetry/made-cues.ts";
import type { TelemetryRecord } from "../telemetry/record.ts";
import { unknownKeys } from "../telemetry/unknown-keys.ts";
import bracketedPairs from "./bracketed-pairs.ts";

const readAll = (cues: readonly string[]) => {
  const rest = unknownKeys();
  const read = bracketedPairs.startReading(rest);
  return { records: cues.map((cue) => copyOf(read(cue))), rest: rest.list() };
};

/** The reader changes one record from cue to cue. */
const copyOf = (record: TelemetryRecord | undefined): TelemetryRecord | undefined =>
  record === undefined ? undefined : { ...record };

const shutterText = (record: TelemetryRecord | undefined): string | undefined =>
  record?.shutterSeconds !== undefined && "value" in record.shutterSeconds
    ? ratioText(record.shutterSeconds.value)
    : undefined;

test("spaced colons, aperture in hundredths and the misspelt longitude are read", () => {
  const [record] = readAll([spacedBrackets(0)]).records;
  expect(record).toMatchObject({
    iso: { value: 110 },
    fNumber: { value: 2.8 },
    exposureBias: { value: 0 },
    whiteBalanceKelvin: { value: 5500 },
    colourMode: { value: "default" },
    focalLength35mm: { value: 24 },
    latitudeDegrees: { value: 12.345678 },
    longitudeDegrees: { value: -45.678901 },
    altitudeMetres: { value: 123.4 },
    clock: { text: "2031-04-05 08:07:08,000,456", stepMicroseconds: 1 },
  });
  expect(shutterText(record)).toBe("1/1000");
});

test("tight colons, two pairs in a bracket and a comma between brackets are read", () => {
  const { records, rest } = readAll([tightBrackets(0)]);
  expect(records[0]).toMatchObject({
    iso: { value: 100 },
    fNumber: { value: 1.7 },
    digitalZoom: { value: 1 },
    heightMetres: { value: 1.3 },
    altitudeMetres: { value: 132.86 },
    whiteBalanceKelvin: { value: 5310 },
    clock: { text: "2031-04-05 08:07:08.000", stepMicroseconds: 1000 },
  });
  // Keys that fill no fact are kept, known or not.
  expect(rest).toEqual({ delta: "0" });
});

test("one bracket may hold every pair, parted by commas, with decimal commas in the values", () => {
  const [record] = readAll(["[iso: 100, shutter: 1/50,0, fnum: 2,8, ct: 5600]"]).records;
  expect(record).toMatchObject({ iso: { value: 100 }, fNumber: { value: 2.8 }, whiteBalanceKelvin: { value: 5600 } });
  expect(shutterText(record)).toBe("1/50");
});

test("keys nobody knows are kept with their first value, and a time of day is no key", () => {
  const { rest } = readAll([
    "[iso : 100] [fnum : 280] [sharp : 3] [tod : 08:07:08]",
    "[iso : 100] [fnum : 280] [sharp : 4] [tod : 08:07:09]",
  ]);
  expect(rest).toEqual({ sharp: "3", tod: "08:07:08" });
});

test.each([
  "Now set the ISO to 400 and the shutter at 1/60.",
  "[music] [door : slam]",
  "[narrator: the iso was 400]",
  "[iso : 400]",
  "plain words",
  "",
])("%j is not taken for settings", (cue) => {
  expect(bracketedPairs.recognises(cue)).toBe(false);
});

test("damaged values are faults with their text, the rest of the cue is read", () => {
  const [record] = readAll([spacedBrackets(0, { shutter: "1/0.0", iso: "0", fnum: "0" })]).records;
  expect(record).toMatchObject({
    shutterSeconds: { fault: "1/0.0" },
    iso: { fault: "0" },
    fNumber: { fault: "0" },
    whiteBalanceKelvin: { value: 5500 },
  });
});

test("a cue that is cut inside a bracket says only what is whole", () => {
  const [record] = readAll([spacedBrackets(0).slice(0, spacedBrackets(0).indexOf("123.4"))]).records;
  expect(record?.altitudeMetres).toBeUndefined();
  expect(record?.longitudeDegrees).toEqual({ value: -45.678901 });
});

test("what a cue says does not depend on the cues before it", () => {
  const value = fc.constantFrom("100", "0", "1/50.0", "1/0.0", "2.8", "280", "", "a b", "1,5", "x:y", "08:07:08");
  const key = fc.constantFrom(
    "iso",
    "shutter",
    "fnum",
    "ct",
    "latitude",
    "longitude",
    "rel_alt",
    "abs_alt",
    "altitude",
    "odd",
  );
  const pair = fc.tuple(key, fc.constantFrom(":", " : ", ": "), value).map((parts) => parts.join(""));
  const bracket = fc.array(pair, { minLength: 1, maxLength: 3 }).map((pairs) => `[${pairs.join(", ")}]`);
  const cue = fc
    .tuple(fc.constantFrom("", "n : 1\n2031-04-05 08:07:08.123\n", "x "), fc.array(bracket, { maxLength: 5 }))
    .map(([head, brackets]) => head + brackets.join(" "));
  fc.assert(
    fc.property(fc.array(cue, { maxLength: 6 }), (cues) => {
      const together = readAll(cues).records;
      const alone = cues.map((text) => readAll([text]).records[0]);
      expect(together).toEqual(alone);
    }),
    { numRuns: 500 },
  );
});
