import { ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { homeGpsText } from "../telemetry/made-cues.ts";
import { unknownKeys } from "../telemetry/unknown-keys.ts";
import homeGpsLines from "./home-gps-lines.ts";

test("home and GPS lines give settings, place, clock and height", () => {
  const record = homeGpsLines.startReading(unknownKeys())(homeGpsText());
  expect(record).toMatchObject({
    iso: { value: 200 },
    fNumber: { value: 2.2 },
    exposureBias: { value: -1 / 3 },
    latitudeDegrees: { value: 12.3458 },
    longitudeDegrees: { value: -45.6788 },
    heightMetres: { value: 110 },
    clock: { text: "2031.04.05 08:07:08", stepMicroseconds: 1_000_000 },
  });
  const shutter = record?.shutterSeconds;
  expect(shutter !== undefined && "value" in shutter ? ratioText(shutter.value) : "").toBe("1/60");
});

test("a pair of zeros is kept for the fold to call no fix", () => {
  const record = homeGpsLines.startReading(unknownKeys())(homeGpsText().replace("-45.6788,12.3458", "0.0000,0.0000"));
  expect(record).toMatchObject({ latitudeDegrees: { value: 0 }, longitudeDegrees: { value: 0 }, axesByOrder: false });
});

test.each([
  "ISO:200 Shutter:60 EV: -1/3 Fnum:2.2",
  "HOME(-45.6,12.3) we are going home",
  "GPS(W: -45.6788, N: 12.3458, -37)\nISO:100 SHUTTER:1000 EV:0 F-NUM:2.8",
  "The GPS (a system of satellites) and ISO: what it means",
])("%j is not of this dialect", (cue) => {
  expect(homeGpsLines.recognises(cue)).toBe(false);
});
