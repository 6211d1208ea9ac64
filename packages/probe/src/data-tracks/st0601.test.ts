import { rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { unknownKeys } from "../telemetry/unknown-keys.ts";
import { seeded } from "./made-damage.ts";
import { readSt0601 } from "./st0601.ts";
import { readTransportStreamKlv } from "./transport-stream.ts";

const item = (tag: number, value: Uint8Array): Buffer => Buffer.concat([Buffer.of(tag, value.length), value]);
const word = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeInt32BE(value);
  return bytes;
};
const clockMicroseconds = BigInt(Date.UTC(2031, 3, 5, 6, 7, 8)) * 1000n;

const set = (second = 0, latitude = Math.round((12.345678 * 0x7fffffff) / 90)): Buffer => {
  const time = Buffer.alloc(8);
  time.writeBigUInt64BE(clockMicroseconds + BigInt(second) * 1_000_000n);
  const altitude = Math.round(((123.4 + 900) * 65_535) / 19_900);
  const items = Buffer.concat([
    item(2, time),
    item(13, word(latitude)),
    item(14, word(Math.round((-45.678901 * 0x7fffffff) / 180))),
    item(15, Buffer.of(altitude >> 8, altitude & 255)),
    item(65, Buffer.of(0x0b)),
    Buffer.of(1, 2),
  ]);
  const key = Buffer.from("060e2b34020b01010e01030101000000", "hex");
  const whole = Buffer.concat([key, Buffer.of(items.length + 2), items]);
  const sum = whole.reduce((total, byte, at) => (total + (byte << (at % 2 === 0 ? 8 : 0))) & 0xffff, 0);
  return Buffer.concat([whole, Buffer.of(sum >> 8, sum & 255)]);
};

const packet = (pid: number, starts: boolean, payload: Uint8Array): Buffer => {
  const stuffing = 184 - payload.length;
  const head = Buffer.of(0x47, (starts ? 0x40 : 0) | (pid >> 8), pid & 255, stuffing > 0 ? 0x30 : 0x10);
  const field = stuffing > 0 ? Buffer.alloc(stuffing, 0xff) : Buffer.alloc(0);
  if (stuffing > 0) field[0] = stuffing - 1;
  if (stuffing > 1) field[1] = 0;
  return Buffer.concat([head, field, payload]);
};
const section = (table: number, content: Uint8Array): Buffer =>
  Buffer.concat([Buffer.of(0, table, 0xb0, content.length + 9, 0, 1, 0xc1, 0, 0), content, Buffer.alloc(4)]);
const unit = (ticks: number, payload: Uint8Array): Buffer => {
  const head = Buffer.alloc(14);
  head.set([0, 0, 1, 0xbd, (payload.length + 8) >> 8, (payload.length + 8) & 255, 0x80, 0x80, 5]);
  head.set(
    [
      0x21 | ((ticks >> 29) & 14),
      (ticks >> 22) & 255,
      ((ticks >> 14) & 254) | 1,
      (ticks >> 7) & 255,
      ((ticks << 1) & 254) | 1,
    ],
    9,
  );
  return Buffer.concat([head, payload]);
};

/** A transport stream with a picture stream and one record a second. */
const stream = (type: 0x06 | 0x15, count: number): Buffer => {
  const map = Buffer.of(0xe1, 0, 0xf0, 0, 0x1b, 0xe1, 0, 0xf0, 0, type, 0xe1, 1, 0xf0, 0);
  const parts = [packet(0, true, section(0, Buffer.of(0, 1, 0xe0, 0x20))), packet(0x20, true, section(2, map))];
  for (let second = 0; second < count; second += 1) {
    const ticks = 126_000 + second * 90_000;
    const record = set(second);
    const cell = type === 0x06 ? record : Buffer.concat([Buffer.of(0, 0, 0xdf, 0, record.length), record]);
    parts.push(packet(0x100, true, unit(ticks, Buffer.of(1, 2, 3))), packet(0x101, true, unit(ticks, cell)));
  }
  return Buffer.concat(parts);
};

const recordsIn = (bytes: readonly Uint8Array[]): unknown => {
  const read = readTransportStreamKlv(bytes, {}, "a.mts");
  return "telemetry" in read && read.telemetry?.state === "read" ? read.telemetry.value.records : read;
};

test("a set gives UTC and place; the altitude has steps of 0.3 m", () => {
  // Outside check of the same numbers: exiftool 12.57 reads 12.3456780, -45.6789010, 123.3158 m.
  const record = readSt0601(set(), unknownKeys());
  expect(record).toMatchObject({
    latitudeDegrees: { value: 12.345678 },
    longitudeDegrees: { value: -45.678901 },
    clock: { text: "2031-04-05T06:07:08Z" },
  });
  const altitude = record?.altitudeMetres;
  expect(altitude !== undefined && "value" in altitude ? altitude.value : 0).toBeCloseTo(123.3158, 4);
});

test("the error value is no latitude, a wrong checksum no record", () => {
  expect(readSt0601(set(0, -0x80000000), unknownKeys())?.latitudeDegrees).toBeUndefined();
  const wrong = set();
  wrong[30] = (wrong[30] as number) ^ 1;
  expect(readSt0601(wrong, unknownKeys())).toBeUndefined();
});

test("records in private data and in metadata units are read with their times", () => {
  for (const type of [0x06, 0x15] as const) {
    const read = readTransportStreamKlv([stream(type, 4)], { microseconds: 4_000_000, frameRate: rate(25) }, "a.ts");
    expect(read).toMatchObject({
      telemetry: {
        value: { dialect: "st0601", records: 4, unreadRecords: 0, cadence: "per second", lagSeconds: 0, coverage: 1 },
      },
      location: { value: { latitudeDegrees: 12.345678 } },
      captureRate: { value: rate(25), origin: { kind: "inferred" } },
    });
  }
});

test("packets with four bytes before them, and a stretch that begins amid a packet, are read", () => {
  const plain = stream(0x06, 3);
  const timed = Buffer.concat(
    Array.from({ length: plain.length / 188 }, (_, at) =>
      Buffer.concat([Buffer.alloc(4), plain.subarray(188 * at, 188 * (at + 1))]),
    ),
  );
  expect(recordsIn([timed])).toBe(3);
  expect(recordsIn([plain.subarray(0, 188 * 5), plain.subarray(188 * 5 + 100)])).toBe(2);
});

test("a stream without records says so, and damage never throws", () => {
  expect(readTransportStreamKlv([new Uint8Array(0)], {}, "a.ts")).toEqual({
    notTelemetry: "no records in the transport stream",
  });
  const good = stream(0x06, 2);
  const random = seeded(7);
  for (let length = 0; length < good.length; length += 7)
    readTransportStreamKlv([good.subarray(0, length)], {}, "a.ts");
  for (let flip = 0; flip < 2000; flip += 1) {
    const bytes = Buffer.from(good);
    bytes[Math.floor(random() * bytes.length)] = Math.floor(random() * 256);
    readTransportStreamKlv([bytes], {}, "a.ts");
  }
});
