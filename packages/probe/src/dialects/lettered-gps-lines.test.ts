import { expect, test } from "vitest";
import { unknownKeys } from "../telemetry/unknown-keys.ts";
import letteredGpsLines from "./lettered-gps-lines.ts";

const cue = String.raw`HOME(-45.6789, 12.3457) 2031.4.5 8:07:08\NGPS(W: -45.6788, N: 12.3458, -37) ReH:0 \NISO:100 SHUTTER:1000 EV:0 F-NUM:2.8`;
const read = (text: string) => letteredGpsLines.startReading(unknownKeys())(text);

test("lettered axes are known for certain", () => {
  expect(read(cue)).toMatchObject({
    iso: { value: 100 },
    fNumber: { value: 2.8 },
    latitudeDegrees: { value: 12.3458 },
    longitudeDegrees: { value: -45.6788 },
    heightMetres: { value: 0 },
    clock: { text: "2031.4.5 8:07:08" },
    axesByOrder: false,
  });
});

test("letters decide in either order and give the sign", () => {
  expect(read(cue.replace("W: -45.6788, N: 12.3458", "S: 12.3458, W: 45.6788"))).toMatchObject({
    latitudeDegrees: { value: -12.3458 },
    longitudeDegrees: { value: -45.6788 },
  });
});

test("positions without letters are of another dialect", () => {
  expect(letteredGpsLines.recognises(cue.replace("W: ", "").replace("N: ", ""))).toBe(false);
});
