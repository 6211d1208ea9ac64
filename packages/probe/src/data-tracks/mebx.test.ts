import { rate, ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { readDataTrack } from "../telemetry/data-track.ts";
import { madeBox, madeTrack } from "../telemetry/made-track.ts";
import { neverThrows } from "./made-damage.ts";

const clip = { microseconds: 2_000_000, frameRate: rate(25) };
const word = (value: number): Uint8Array => Uint8Array.of(value >>> 24, value >>> 16, value >>> 8, value);
const key = (id: number, name: string, type: number): Uint8Array =>
  madeBox(id, madeBox("keyd", Buffer.from(`mdta${name}`)), madeBox("dtyp", word(0), word(type)));
const entryBytes = Buffer.concat([
  new Uint8Array(8),
  madeBox(
    "keys",
    key(1, "com.example.iso", 77),
    key(2, "com.example.exposure-time", 23),
    key(3, "com.apple.quicktime.location.ISO6709", 1),
    key(4, "com.example.mood", 1),
  ),
]);
const float = (value: number): Uint8Array => {
  const bytes = Buffer.alloc(4);
  bytes.writeFloatBE(value);
  return bytes;
};
const sample = (iso: number, seconds: number): Uint8Array =>
  Buffer.concat([
    madeBox(1, word(iso)),
    madeBox(2, float(seconds)),
    madeBox(3, Buffer.from("+12.3457-045.6789+123.4/")),
    madeBox(4, Buffer.from("calm")),
  ]);

test("keys declared in the sample entry give the values in the samples", async () => {
  const samples = Array.from({ length: 50 }, () => sample(320, 0.004));
  const read = await readDataTrack(madeTrack("mebx", samples, { entryBytes }), clip, "a.mov");
  if (!("shutterSeconds" in read) || read.shutterSeconds?.state !== "read") throw new Error("no shutter");
  // A 32-bit float holds 0.004 as 0.0040000001899898052.
  expect(read.shutterSeconds.value.values.map(ratioText)).toEqual(["1/250"]);
  expect(read).toMatchObject({
    iso: { value: { values: [320], coverage: 1 } },
    location: { value: { latitudeDegrees: 12.3457, longitudeDegrees: -45.6789, altitudeMetres: 123.4 } },
    telemetry: { value: { dialect: "mebx", cadence: "per frame", unknownKeys: { "com.example.mood": "calm" } } },
  });
});

test("an ISO of zero is damage and a box longer than its sample an unread record", async () => {
  const cut = sample(320, 0.004).subarray(0, 20);
  const read = await readDataTrack(madeTrack("mebx", [sample(0, 0.004), cut], { entryBytes }), clip, "a.mov");
  expect(read).toMatchObject({ iso: { state: "damaged" }, telemetry: { value: { records: 1, unreadRecords: 1 } } });
});

test("a track without any setting is named and does not pass for telemetry", async () => {
  const read = await readDataTrack(madeTrack("mebx", [madeBox(4, Buffer.from("calm"))], { entryBytes }), clip, "a.mov");
  expect(read).toEqual({ notTelemetry: "mebx: no settings in it", holds: "mebx" });
});

test("cut and flipped samples and entries never throw", async () => {
  await neverThrows("mebx", [sample(320, 0.004)], entryBytes);
  for (let length = 0; length < entryBytes.length; length += 1) {
    await readDataTrack(
      madeTrack("mebx", [sample(320, 0.004)], { entryBytes: entryBytes.subarray(0, length) }),
      clip,
      "a",
    );
  }
});
