import { rate, ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { readDataTrack } from "../telemetry/data-track.ts";
import { madeTrack } from "../telemetry/made-track.ts";
import { neverThrows } from "./made-damage.ts";

const clip = { microseconds: 2_000_000, frameRate: rate(25) };
const short = (value: number): Buffer => Buffer.of((value >> 8) & 255, value & 255);
const word = (value: number): Buffer => Buffer.of(value >>> 24, value >>> 16, value >>> 8, value);
const quotient = (above: number, below: number): Buffer => Buffer.concat([word(above), word(below)]);
const item = (tag: number, value: Uint8Array): Buffer => Buffer.concat([short(tag), short(value.length), value]);
const set = (kind: number, ...items: readonly Uint8Array[]): Buffer => {
  const content = Buffer.concat(items);
  const key = Buffer.from(`060e2b34025301010c0201010${kind}010000`, "hex");
  return Buffer.concat([key, Buffer.of(0x83, 0), short(content.length), content]);
};
const header = Buffer.concat([short(0x1c), Buffer.alloc(0x1a)]);
/** f/2.8: 2^(8 - v/8192) with v = 53367; exiftool 12.57 prints 2.80009 for it. */
const lens = set(1, item(0x8000, short(53_367)), item(0x8004, short(0xd018)));
const camera = (...more: readonly Uint8Array[]): Buffer => Buffer.concat([header, lens, set(2, ...more)]);
const usual = camera(
  item(0x8103, short(16)),
  item(0x8106, quotient(100, 1)),
  item(0x8108, word(180 * 60)),
  item(0x8109, quotient(1, 200)),
  item(0x810a, short(600)),
  item(0x810b, short(800)),
  item(0x810e, short(5600)),
  item(0x8115, short(400)),
  item(0xe300, Buffer.of(1, 2)),
);
const read = async (sample: Uint8Array, entry = "rtmd") =>
  await readDataTrack(
    madeTrack(
      entry,
      Array.from({ length: 50 }, () => sample),
    ),
    clip,
    "a.mp4",
  );

test("every item of the acquisition sets is read in its unit", async () => {
  const facts = await read(usual);
  if (!("shutterSeconds" in facts) || facts.shutterSeconds?.state !== "read") throw new Error("no shutter");
  expect(facts.shutterSeconds.value.values.map(ratioText)).toEqual(["1/200"]);
  expect(facts).toMatchObject({
    fNumber: { value: { values: [2.8] } },
    focalLength35mm: { value: { values: [24] } },
    ndStops: { value: { values: [4] } },
    captureRate: { value: rate(100), origin: { kind: "per-frame record" } },
    shutterAngle: { value: { values: [180] } },
    gainDecibels: { value: { values: [6] } },
    iso: { value: { values: [800] } },
    whiteBalanceKelvin: { value: { values: [5600] } },
    telemetry: { value: { dialect: "rdd18", records: 50, cadence: "per frame", unknownKeys: { e300: "0102" } } },
  });
});

test("the entry's name does not matter, the sets do", async () => {
  expect(await read(usual, "xyzt")).toMatchObject({ iso: { value: { values: [800] } } });
  expect(await read(Buffer.from("nothing of the kind in here"), "rtmd")).toEqual({
    notTelemetry: "rtmd: unknown vocabulary",
    holds: "unknown vocabulary",
  });
});

test("gain is signed: minus three decibels are not 652", async () => {
  expect(await read(camera(item(0x810a, short(-300))))).toMatchObject({ gainDecibels: { value: { values: [-3] } } });
});

test("a clear filter is no stop, and one stop halves the light", async () => {
  expect(await read(camera(item(0x8103, short(1))))).toMatchObject({ ndStops: { value: { values: [0] } } });
  expect(await read(camera(item(0x8103, short(2))))).toMatchObject({ ndStops: { value: { values: [1] } } });
  expect(await read(camera(item(0x8103, short(0))))).toMatchObject({ ndStops: { state: "damaged" } });
});

test("the ceiling of the sensitivity field is damage, not an ISO of 65535", async () => {
  expect(await read(camera(item(0x810b, short(65_535))))).toMatchObject({ iso: { state: "damaged" } });
});

test("the exposure index serves where no sensitivity is stated, gain never does", async () => {
  expect(await read(camera(item(0x8115, short(640))))).toMatchObject({ iso: { value: { values: [640] } } });
  expect(await read(camera(item(0x810a, short(600))))).not.toHaveProperty("iso");
});

test("quotients with a zero are damage, and a stated 59.94 is 60000/1001", async () => {
  expect(await read(camera(item(0x8106, quotient(25, 0)), item(0x8109, quotient(0, 50))))).toMatchObject({
    captureRate: { state: "damaged" },
    shutterSeconds: { state: "damaged" },
  });
  const facts = await read(camera(item(0x8106, quotient(59_940, 1000))));
  expect(facts).toMatchObject({ captureRate: { value: rate(60_000, 1001) } });
});

test("an iris of zero is a lens without contacts", async () => {
  const facts = await read(Buffer.concat([header, set(1, item(0x8000, short(0))), set(2, item(0x810b, short(800)))]));
  expect(facts).not.toHaveProperty("fNumber");
});

test("cut and flipped samples never throw", async () => {
  await neverThrows("rtmd", [usual]);
});

test("the header of an rtmd sample states the timecode in five bytes (as ffmpeg 5.1 reads them)", async () => {
  const stated = (...bytes: readonly number[]): Buffer => {
    const head = Buffer.from(header);
    Buffer.from(bytes).copy(head, 13);
    return Buffer.concat([head, lens]);
  };
  const timecodeOf = async (sample: Uint8Array, entry?: string) => {
    const facts = await read(sample, entry);
    return "timecode" in facts ? facts.timecode : undefined;
  };
  expect(await timecodeOf(stated(10, 20, 30, 0, 12))).toMatchObject({
    state: "read",
    value: { start: "10:20:30:12", dropFrame: false, labelsPerSecond: 25 },
    origin: { kind: "per-frame record", place: expect.stringContaining("sample 0") },
  });
  // A header of zeros was never filled in; 25 is no frame of 25; other entries have headers of their own.
  expect(await timecodeOf(stated(0, 0, 0, 0, 0))).toBeUndefined();
  expect(await timecodeOf(stated(10, 20, 30, 0, 25))).toBeUndefined();
  expect(await timecodeOf(stated(10, 20, 30, 0, 12), "xyzt")).toBeUndefined();
});
