import { ratioText } from "@goodgate/model";
import * as fc from "fast-check";
import { expect, test } from "vitest";
import {
  parseNumber,
  readBias,
  readFNumber,
  readFocalLength,
  readKelvin,
  readNumber,
  readShutter,
  readZoom,
  remembering,
} from "./values.ts";

const shutter = (text: string, bare: "reciprocal" | "seconds"): string => {
  const stated = readShutter(text, bare);
  return "value" in stated ? ratioText(stated.value) : `fault ${stated.fault}`;
};

test.each([
  ["1/1000.0", "seconds", "1/1000"],
  ["1/1000,0", "seconds", "1/1000"],
  ["1/640", "seconds", "1/640"],
  ["1/59.94", "seconds", "50/2997"],
  ["0.005", "seconds", "1/200"],
  ["0,005", "seconds", "1/200"],
  ["1/50s", "seconds", "1/50"],
  ["320", "reciprocal", "1/320"],
  ["206.14", "reciprocal", "50/10307"],
  ["60", "reciprocal", "1/60"],
  ["1/320", "reciprocal", "1/320"],
] as const)("%s as %s is %s s", (text, bare, expected) => {
  expect(shutter(text, bare)).toBe(expected);
});

test.each([
  ["1/0.0", "seconds"],
  ["0/50", "seconds"],
  ["-1/50", "seconds"],
  ["50", "seconds"],
  ["1", "seconds"],
  ["0", "reciprocal"],
  ["0.5", "reciprocal"],
  ["1/1000000", "seconds"],
  ["120/1", "seconds"],
  ["auto", "seconds"],
  ["1/50/2", "seconds"],
  ["", "seconds"],
] as const)("%s is no shutter time where bare numbers are %s", (text, bare) => {
  expect(shutter(text, bare)).toBe(`fault ${text}`);
});

test.each([
  ["280", 2.8],
  ["170", 1.7],
  ["1.7", 1.7],
  ["2,8", 2.8],
  ["8", 8],
  ["F2.8", 2.8],
  ["f/11", 11],
] as const)("aperture %s is f/%d", (text, expected) => {
  expect(readFNumber(text)).toEqual({ value: expected });
});

test.each(["0", "49000", "46", "0.5", "x", "-2.8"])("aperture %s is a fault", (text) => {
  expect(readFNumber(text)).toEqual({ fault: text });
});

test("exposure bias is read as a decimal or a fraction, and a zero below the line is a fault", () => {
  expect(readBias("-0.3")).toEqual({ value: -0.3 });
  expect(readBias("0/3")).toEqual({ value: 0 });
  expect(readBias("-1/3")).toEqual({ value: -1 / 3 });
  expect(readBias("+2/3")).toEqual({ value: 2 / 3 });
  expect(readBias("1/0")).toEqual({ fault: "1/0" });
  expect(readBias("99")).toEqual({ fault: "99" });
});

test("a colour temperature of zero is not set, one of 300 is a fault", () => {
  expect(readKelvin("5310")).toEqual({ value: 5310 });
  expect(readKelvin("0")).toBeUndefined();
  expect(readKelvin("300")).toEqual({ fault: "300" });
});

test("whole focal lengths from 100 up are tenths, those with a decimal mark are millimetres", () => {
  expect(readFocalLength("240")).toEqual({ value: 24 });
  expect(readFocalLength("24.00")).toEqual({ value: 24 });
  expect(readFocalLength("70")).toEqual({ value: 70 });
  expect(readFocalLength("166.00")).toEqual({ value: 166 });
});

test("digital zoom is read in ten-thousandths or as it is", () => {
  expect(readZoom("10000")).toEqual({ value: 1 });
  expect(readZoom("1.00")).toEqual({ value: 1 });
  expect(readZoom("23500")).toEqual({ value: 2.35 });
  expect(readZoom("0")).toEqual({ fault: "0" });
});

test("auto ISO steps between the marked ones are kept as they are, zero is a fault", () => {
  for (const iso of [150, 170, 186, 2700]) expect(readNumber(String(iso), [6, 4e6])).toEqual({ value: iso });
  expect(readNumber("0", [6, 4e6])).toEqual({ fault: "0" });
});

test("decimal numbers are read as the language itself reads them", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -1e9, max: 1e9 }),
      fc.integer({ min: 0, max: 9 }),
      fc.boolean(),
      (whole, places, comma) => {
        const text = (whole / 10 ** places).toFixed(places);
        expect(parseNumber(comma ? text.replace(".", ",") : text)).toBe(Number(text) === 0 ? 0 : Number(text));
      },
    ),
  );
});

test("any text is a value or a fault, never an exception", () => {
  fc.assert(
    fc.property(fc.string(), (text) => {
      for (const read of [readBias, readFNumber, readKelvin, readFocalLength, readZoom]) {
        const stated = read(text);
        if (stated !== undefined && "value" in stated) expect(Number.isFinite(stated.value)).toBe(true);
      }
      const stated = readShutter(text, "seconds");
      if ("value" in stated) expect(stated.value.numerator > 0n).toBe(true);
    }),
  );
});

test("a remembered text gives the same object, so that forty thousand cues share their fractions", () => {
  const read = remembering((text) => readShutter(text, "seconds"));
  expect(read("1/50.0")).toBe(read("1/50.0"));
});

test("a value longer than any real one is a fault, shortened", () => {
  const read = remembering((text) => readShutter(text, "seconds"));
  const stated = read(`1/${"5".repeat(1000)}`);
  expect(stated).toEqual({ fault: `1/${"5".repeat(62)}…` });
});
