import { ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { slashLineText } from "../telemetry/made-cues.ts";
import { unknownKeys } from "../telemetry/unknown-keys.ts";
import slashLine from "./slash-line.ts";

const read = (cue: string) => {
  const rest = unknownKeys();
  const record = slashLine.startReading(rest)(cue);
  const shutter = record?.shutterSeconds;
  const time = shutter !== undefined && "value" in shutter ? ratioText(shutter.value) : undefined;
  return { record, time, rest: rest.list() };
};

test("a slash line gives settings, a place with longitude first, and the height", () => {
  const { record, time } = read(slashLineText());
  expect(time).toBe("1/320");
  expect(record).toMatchObject({
    fNumber: { value: 2.8 },
    iso: { value: 150 },
    exposureBias: { value: -0.3 },
    latitudeDegrees: { value: 12.3457 },
    longitudeDegrees: { value: -45.6789 },
    heightMetres: { value: 6 },
    axesByOrder: true,
  });
  // The third number of the group means different things in different files.
  expect(record?.altitudeMetres).toBeUndefined();
});

test("a shutter with decimals is the reciprocal, exactly", () => {
  expect(read(slashLineText("206.14")).time).toBe("50/10307");
});

test("RTK positions, a home point and attitudes in parentheses are read or kept as they are", () => {
  const { record, rest } = read(
    "No:7, F/6.3, SS 60, ISO 100, EV 0, RTK (-145.678901, 12.345678, 28), HOME (-145.678900, 12.345600, 103.55m), " +
      "D 75.36m, H 76.19m, H.S 0.30m/s, V.S 0.00m/s, F.PRY (-5.3°, 2.1°, 28.3°), G.PRY (-40.0°, 0.0°, 29.2°), ND 16",
  );
  expect(record).toMatchObject({
    longitudeDegrees: { value: -145.678901 },
    latitudeDegrees: { value: 12.345678 },
    heightMetres: { value: 76.19 },
    yawDegrees: { value: 29.2 },
    axesByOrder: false,
  });
  expect(rest).toEqual({
    HOME: "(-145.678900, 12.345600, 103.55m)",
    D: "75.36m",
    "H.S": "0.30m/s",
    "V.S": "0.00m/s",
    ND: "16",
  });
});

test("a second number that can only be a longitude is one", () => {
  const { record } = read("F/2.8, SS 320, ISO 150, EV 0, GPS (12.3457, -145.6789, 18)");
  expect(record).toMatchObject({ latitudeDegrees: { value: 12.3457 }, longitudeDegrees: { value: -145.6789 } });
});

test("zero, and times below one that could be long exposures, are faults", () => {
  expect(read(slashLineText("0")).record?.shutterSeconds).toEqual({ fault: "0" });
  expect(read(slashLineText("0.5")).record?.shutterSeconds).toEqual({ fault: "0.5" });
});

test.each(["Shot at F/2.8, quite bright", "ISO 100, F/2.8, SS 320", "F/2.8, SS 320", ""])(
  "%j is not a slash line",
  (cue) => {
    expect(slashLine.recognises(cue)).toBe(false);
  },
);

test("a height whose unit was cut off is left out", () => {
  expect(read("F/2.8, SS 320, ISO 150, EV 0, H 6").record?.heightMetres).toBeUndefined();
});
