import { rate, ratioText } from "@goodgate/model";
import { expect, test } from "vitest";
import { readDataTrack } from "../telemetry/data-track.ts";
import { madeTrack } from "../telemetry/made-track.ts";
import { neverThrows } from "./made-damage.ts";

const clip = { microseconds: 2_000_000, frameRate: rate(25) };

const item = (key: string, type: string, size: number, repeat: number, payload: Uint8Array): Buffer =>
  Buffer.concat([
    Buffer.from(key, "latin1"),
    Buffer.from(type, "latin1"),
    Buffer.of(size, repeat >> 8, repeat & 255),
    payload,
    Buffer.alloc((4 - (payload.length % 4)) % 4),
  ]);
const nest = (key: string, ...children: readonly Uint8Array[]): Buffer => {
  const content = Buffer.concat(children);
  return item(key, "\0", 1, content.length, content);
};
const written = (count: number, width: number, write: (buffer: Buffer, at: number) => void): Buffer => {
  const buffer = Buffer.alloc(count * width);
  for (let at = 0; at < count; at += 1) write(buffer, at);
  return buffer;
};
const floats = (values: readonly number[]): Buffer =>
  written(values.length, 4, (buffer, at) => buffer.writeFloatBE(values[at] as number, 4 * at));
const shorts = (values: readonly number[]): Buffer =>
  written(values.length, 2, (buffer, at) => buffer.writeUInt16BE(values[at] as number, 2 * at));
const words = (values: readonly number[]): Buffer =>
  written(values.length, 4, (buffer, at) => buffer.writeInt32BE(values[at] as number, 4 * at));
const name = (text: string): Buffer => item("STNM", "c", text.length, 1, Buffer.from(text));

const second = (
  iso: number,
  options: { readonly fix?: number; readonly shutters?: readonly number[] } = {},
): Buffer => {
  const { fix = 3, shutters = Array.from({ length: 25 }, () => 0.02) } = options;
  return nest(
    "DEVC",
    item("DVID", "L", 4, 1, words([1])),
    nest("STRM", name("Exposure time (shutter speed)"), item("SHUT", "f", 4, shutters.length, floats(shutters))),
    nest("STRM", name("Sensor ISO"), item("ISOE", "S", 2, 25, shorts(Array.from({ length: 25 }, () => iso)))),
    nest("STRM", name("Sensor gain"), item("ISOG", "S", 2, 1, shorts([77]))),
    nest("STRM", item("WBAL", "S", 2, 1, shorts([5600]))),
    nest(
      "STRM",
      item("GPSF", "L", 4, 1, words([fix])),
      item("SCAL", "l", 4, 5, words([10_000_000, 10_000_000, 1000, 1000, 100])),
      item(
        "GPS5",
        "l",
        20,
        2,
        words([123_456_780, -456_789_010, 123_400, 2100, 215, 123_456_790, -456_789_000, 123_500, 0, 0]),
      ),
    ),
  );
};
const read = async (samples: readonly Uint8Array[]) =>
  await readDataTrack(madeTrack("gpmd", samples, { sampleMicroseconds: 1_000_000 }), clip, "a.mp4");

test("values of one sample are spread over its second", async () => {
  const facts = await read([second(400), second(500)]);
  if (!("shutterSeconds" in facts) || facts.shutterSeconds?.state !== "read") throw new Error("no shutter");
  // A 32-bit float holds 0.02 as 0.0199999995529652.
  expect(facts.shutterSeconds.value.values.map(ratioText)).toEqual(["1/50"]);
  expect(facts).toMatchObject({
    iso: { value: { values: [400, 500], heldMicroseconds: [1_000_000, 1_000_000] } },
    whiteBalanceKelvin: { value: { values: [5600], coverage: 1 } },
    location: { value: { latitudeDegrees: 12.345678, longitudeDegrees: -45.678901, altitudeMetres: 123.4 } },
    telemetry: { value: { dialect: "four-character-klv", records: 50, cadence: "per frame", coverage: 1 } },
  });
});

test("a change inside a second is found at its place", async () => {
  const shutters = Array.from({ length: 25 }, (_, at) => (at < 10 ? 1 / 50 : 1 / 100));
  const facts = await read([second(400, { shutters }), second(400, { shutters: shutters.map(() => 1 / 100) })]);
  if (!("shutterSeconds" in facts) || facts.shutterSeconds?.state !== "read") throw new Error("no shutter");
  expect(facts.shutterSeconds.value.values.map(ratioText)).toEqual(["1/50", "1/100"]);
  expect([...facts.shutterSeconds.value.runStarts]).toEqual([0, 400_000]);
});

test("a nest longer than its sample spoils that sample and no other", async () => {
  const facts = await read([second(400).subarray(0, -30), second(500)]);
  expect(facts).toMatchObject({
    iso: { value: { values: [500], coverage: 0.5 } },
    telemetry: { value: { unreadRecords: 1, coverage: 0.5, lagSeconds: 1 } },
  });
});

test("without a fix there is no place", async () => {
  expect(await read([second(400, { fix: 0 })])).not.toHaveProperty("location");
});

test("sensor gain is listed and never taken for ISO", async () => {
  const gainOnly = nest(
    "DEVC",
    nest("STRM", item("ISOG", "S", 2, 1, shorts([400])), item("SHUT", "f", 4, 1, floats([0.02]))),
  );
  const facts = await read([gainOnly]);
  expect(facts).not.toHaveProperty("iso");
  expect(facts).toMatchObject({ telemetry: { value: { unknownKeys: { ISOG: "1 × 2 bytes of type S" } } } });
});

test("times, kelvin and ISO of zero and numbers that are none are damage", async () => {
  const broken = nest(
    "DEVC",
    nest("STRM", item("SHUT", "f", 4, 2, floats([0, Number.NaN]))),
    nest("STRM", item("ISOE", "S", 2, 1, shorts([0]))),
  );
  expect(await read([broken])).toMatchObject({ shutterSeconds: { state: "damaged" }, iso: { state: "damaged" } });
});

test("cut and flipped samples never throw", async () => {
  await neverThrows("gpmd", [second(400)]);
});

test("nests within nests come to an end", async () => {
  let deep = item("SHUT", "f", 4, 1, floats([0.02]));
  for (let depth = 0; depth < 1000; depth += 1) deep = nest("STRM", deep);
  expect(await read([deep])).toMatchObject({ telemetry: { state: "damaged" } });
});
