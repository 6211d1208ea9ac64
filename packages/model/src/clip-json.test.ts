import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Clip, Still } from "./clip.ts";
import { ClipTextError, clipText, parseClip, parseStill } from "./clip-json.ts";
import { rate, seconds } from "./quantities.ts";
import { absent, damaged, type Origin, read } from "./reading.ts";
import { seriesBuilder } from "./series.ts";

const origin: Origin = { kind: "container", file: "DCIM/FLY_0001.MP4", place: "moov/mvhd" };
const cost = { bytes: 1, calls: 2, milliseconds: 0.25 };

/** A clip whose facts hold whatever is handed in; the form must not care what a fact means. */
const clipWith = (value: unknown): Clip => ({
  name: "DCIM/FLY_0001.MP4",
  files: [{ path: "DCIM/FLY_0001.MP4", bytes: 5, modifiedMilliseconds: 1, role: "original" }],
  joints: [],
  facts: { metadata: read(value as Readonly<Record<string, string>>, origin) },
  readers: ["goodgate"],
  cost,
});

test("a clip comes back the same: exact rates, long fractions, series, damage and absence", () => {
  const shutters = seriesBuilder<ReturnType<typeof seconds>>((value) => `${value.numerator}/${value.denominator}`);
  for (let place = 0; place < 500; place += 1) {
    shutters.add(seconds(1n, place % 2 === 0 ? 50n : 2n ** 80n), place * 33_367, (place + 1) * 33_367);
  }
  const series = shutters.finish(500 * 33_367);
  if (series === undefined) throw new Error("no series");
  const clip: Clip = {
    ...clipWith({ "~r": "1/2", "~~": "two", __proto__x: "plain", "": "empty" }),
    facts: {
      frameRate: read(rate(24_000n, 1001n), origin),
      shutterSeconds: { ...read(series, origin), witnesses: [{ value: series, origin, agrees: false }] },
      iso: damaged("no number", origin),
      timecode: absent("no timecode track"),
    },
  };
  expect(parseClip(clipText(clip))).toEqual(clip);
  const back = parseClip(clipText(clip)).facts.shutterSeconds;
  expect(back?.state === "read" && back.value.runStarts instanceof Float64Array).toBe(true);
});

test("whatever a fact may hold comes back the same, bit for bit", () => {
  const anything = fc.anything({
    withBigInt: true,
    maxDepth: 4,
    values: [
      fc.double(),
      fc.bigInt(),
      fc.string({ unit: "binary" }),
      fc.float64Array(),
      fc.array(fc.maxSafeInteger()).map((list) => Float64Array.from(list)),
      fc.uint32Array(),
      fc.record({ numerator: fc.bigInt(), denominator: fc.bigInt({ min: 1n }) }),
    ],
    key: fc.oneof(fc.string(), fc.constantFrom("~r", "~", "~~n", "__proto__", "numerator", "denominator", "=")),
  });
  // A key without value has no place in a fact (exactOptionalPropertyTypes), and JSON drops it.
  const isWhole = (value: unknown): boolean =>
    value !== undefined &&
    (typeof value !== "object" || value === null || ArrayBuffer.isView(value) || Object.values(value).every(isWhole));
  fc.assert(
    fc.property(anything.filter(isWhole), (value) => {
      const line = clipText(clipWith(value));
      expect(line).not.toMatch(/[\r\n]/);
      const found = parseClip(line).facts.metadata;
      expect(found?.state === "read" ? found.value : undefined).toStrictEqual(plain(value));
    }),
    { numRuns: 150 },
  );
});

/** Objects without a prototype come back with the usual one; nothing else may differ. */
const plain = (value: unknown): unknown =>
  typeof value !== "object" || value === null || ArrayBuffer.isView(value)
    ? value
    : Array.isArray(value)
      ? value.map(plain)
      : Object.fromEntries(Object.entries(value).map(([key, each]) => [key, plain(each)]));

test("a still comes back the same", () => {
  const nothing = absent("no EXIF block");
  const still: Still = {
    name: "DCIM/DSC_0001.JPG",
    files: [],
    takenAt: nothing,
    shutterSeconds: read(seconds(1n, 640n), origin),
    iso: nothing,
    fNumber: read(2.8, origin),
    exposureBias: nothing,
    focalLength35mm: nothing,
    width: nothing,
    height: nothing,
    rotationDegrees: nothing,
    location: nothing,
    cost,
  };
  expect(parseStill(clipText(still))).toEqual(still);
});

/** Reads a text that may be anything. */
function attempt(text: string): void {
  try {
    parseClip(text);
  } catch (error) {
    expect(error).toBeInstanceOf(ClipTextError);
  }
}

test("any text gives a clip or a ClipTextError, every truncation and single damage of a clip among them", () => {
  const line = clipText(clipWith({ a: "b" }));
  for (let end = 0; end < line.length; end += 1) expect(() => parseClip(line.slice(0, end))).toThrow(ClipTextError);
  fc.assert(fc.property(fc.oneof(fc.json(), fc.string()), attempt), { numRuns: 300 });
  fc.assert(
    fc.property(fc.nat(line.length - 1), fc.string({ maxLength: 2 }), (at, put) => {
      attempt(line.slice(0, at) + put + line.slice(at + 1));
    }),
    { numRuns: 300 },
  );
  for (const wrong of ['{"~r":"1/0"}', '{"~r":"x/y"}', '{"~n":"1.5"}', '{"~z":1}', "null", "[]", "5"]) {
    expect(() => parseClip(wrong)).toThrow(ClipTextError);
    expect(() => parseStill(wrong)).toThrow(ClipTextError);
  }
});
