import { rate, ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { readDataTrack } from "../telemetry/data-track.ts";
import { madeTrack } from "../telemetry/made-track.ts";
import { neverThrows } from "./made-damage.ts";

const clip = { microseconds: 2_000_000, frameRate: rate(25) };

const sample = (type: number, write: (view: DataView) => void, length: number): Uint8Array => {
  const bytes = new Uint8Array(4 + length);
  const view = new DataView(bytes.buffer);
  view.setUint16(2, type, true);
  write(new DataView(bytes.buffer, 4));
  return bytes;
};
const exposure = (nanoseconds: number): Uint8Array =>
  sample(
    1,
    (view) => {
      view.setInt32(0, nanoseconds, true);
      view.setInt32(4, 12_000_000, true);
    },
    8,
  );
const place = sample(
  5,
  (view) => [12.345678, -45.678901, 123.4].forEach((value, at) => view.setFloat64(8 * at, value, true)),
  24,
);
const satellite = (seconds: number, fix: number): Uint8Array =>
  sample(
    6,
    (view) => {
      view.setFloat64(0, seconds, true);
      view.setInt32(8, fix, true);
      view.setFloat64(12, 12.345678, true);
      view.setFloat64(20, -45.678901, true);
      view.setFloat32(28, 123.4, true);
    },
    56,
  );
const gyroscope = sample(2, () => {}, 12);

test("exposures are read in nanoseconds, places and satellite time from their own samples", async () => {
  const samples = [...Array.from({ length: 48 }, () => exposure(5_000_000)), place, satellite(1_617_170_846, 3)];
  const read = await readDataTrack(madeTrack("camm", samples), clip, "a.mp4");
  if (!("shutterSeconds" in read) || read.shutterSeconds?.state !== "read") throw new Error("no shutter");
  expect(read.shutterSeconds.value.values.map(ratioText)).toEqual(["1/200"]);
  expect(read).toMatchObject({
    telemetry: {
      value: {
        dialect: "camm",
        unreadRecords: 0,
        // Outside check: 1617170846 s after 6 January 1980, 18 leap seconds taken off, by GNU date.
        firstClock: "2031-04-05T06:07:08Z",
        clockSource: "satellite",
        unknownKeys: { "rolling shutter": "12 ms" },
      },
    },
    location: { value: { latitudeDegrees: 12.345678, longitudeDegrees: -45.678901, altitudeMetres: 123.4 } },
  });
});

test("samples of other types between the exposures do not break the record", async () => {
  const samples = Array.from({ length: 50 }, (_, at) => (at % 2 === 0 ? exposure(20_000_000) : gyroscope));
  const read = await readDataTrack(
    madeTrack("camm", samples, { sampleMicroseconds: 20_000 }),
    { ...clip, microseconds: 1_000_000 },
    "a",
  );
  expect(read).toMatchObject({
    telemetry: { value: { records: 25, unreadRecords: 0, cadence: "per frame", coverage: 1 } },
  });
});

test("a satellite sample without a fix gives its time and no place", async () => {
  const read = await readDataTrack(madeTrack("camm", [satellite(1_617_170_846, 0), exposure(1_000_000)]), clip, "a");
  expect(read).not.toHaveProperty("location");
  expect(read).toMatchObject({ telemetry: { value: { firstClock: "2031-04-05T06:07:08Z" } } });
});

test("a zero or negative exposure is damage, an unknown type an unread sample", async () => {
  const read = await readDataTrack(madeTrack("camm", [exposure(0), exposure(-5), sample(99, () => {}, 8)]), clip, "a");
  expect(read).toMatchObject({
    shutterSeconds: { state: "damaged", origin: { place: "track 3 (camm) sample 0" } },
    telemetry: { value: { unreadRecords: 1 } },
  });
});

test("a track of motion alone is no telemetry of settings", async () => {
  expect(await readDataTrack(madeTrack("camm", [gyroscope, gyroscope]), clip, "a")).toEqual({
    notTelemetry: "camm: no settings in it",
    holds: "camm",
  });
});

test("of a large track that mixes motion and exposures, short runs a second are read and every exposure change is near", async () => {
  const perSecond = 800;
  const seconds = 400;
  const samples = Array.from({ length: perSecond * seconds }, (_, at) =>
    at % 32 === 0 ? exposure(at < (perSecond * seconds) / 2 ? 5_000_000 : 10_000_000) : gyroscope,
  );
  const track = madeTrack("camm", samples, { sampleMicroseconds: 1250 });
  const read = await readDataTrack(track, { microseconds: seconds * 1e6, frameRate: rate(25) }, "a.mp4");
  if (!("shutterSeconds" in read) || read.shutterSeconds?.state !== "read") throw new Error("no shutter");
  expect(read.shutterSeconds.value.values.map(ratioText)).toEqual(["1/200", "1/100"]);
  expect(read.telemetry).toMatchObject({
    value: { sampled: "one a second", cadence: "per frame", coverage: expect.closeTo(1, 2), gaps: [] },
  });
  expect(track.given.bytes).toBeLessThan(track.totalBytes / 5);
});

test("cut and flipped samples never throw", async () => {
  await neverThrows("camm", [exposure(5_000_000), place, satellite(1_617_170_846, 3)]);
});
