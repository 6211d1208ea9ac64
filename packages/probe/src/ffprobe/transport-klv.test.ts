import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { valueOf } from "@goodgate/model";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openCounted } from "../bytes.ts";
import { klvStretchBytes, parseSet, readTransportKlv } from "./transport-klv.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-klv-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

const item = (tag: number, value: Buffer): Buffer => Buffer.concat([Buffer.of(tag, value.length), value]);
const number32 = (value: number): Buffer => {
  const bytes = Buffer.alloc(4);
  bytes.writeInt32BE(value);
  return bytes;
};
const clock = (milliseconds: number): Buffer => {
  const bytes = Buffer.alloc(8);
  bytes.writeBigUInt64BE(BigInt(milliseconds) * 1000n);
  return bytes;
};
const at = Date.UTC(2031, 3, 5, 6, 7, 8);

/** A local set with its running sum; `items` stand between label and sum. */
function localSet(...items: readonly Buffer[]): Buffer {
  const body = Buffer.concat([...items, Buffer.of(1, 2)]);
  const start = Buffer.concat([
    Buffer.from("060e2b34020b01010e01030101000000", "hex"),
    Buffer.of(body.length + 2),
    body,
  ]);
  let sum = 0;
  start.forEach((byte, place) => (sum = (sum + (place % 2 === 0 ? byte * 256 : byte)) % 65_536));
  return Buffer.concat([start, Buffer.of(sum >> 8, sum & 255)]);
}
const whole = (milliseconds = at): Buffer =>
  localSet(
    item(2, clock(milliseconds)),
    item(13, number32(Math.round((12.345678 * (2 ** 31 - 1)) / 90))),
    item(14, number32(Math.round((-45.678901 * (2 ** 31 - 1)) / 180))),
    item(15, Buffer.of(0x0d, 0x2a)),
  );

function packet(pid: number, starts: boolean, body: Buffer): Buffer {
  const room = 184 - body.length;
  // An adaptation field fills what the body leaves (ISO/IEC 13818-1, section 2.4.3.4).
  const filler =
    room === 0
      ? Buffer.alloc(0)
      : room === 1
        ? Buffer.of(0)
        : Buffer.concat([Buffer.of(room - 1, 0), Buffer.alloc(room - 2, 255)]);
  const header = Buffer.of(0x47, (starts ? 0x40 : 0) | (pid >> 8), pid & 255, room === 0 ? 0x10 : 0x30);
  return Buffer.concat([header, filler, body]);
}
const table = (id: number, body: readonly number[]): Buffer =>
  Buffer.concat([Buffer.of(0, id, 0xb0, body.length + 9, 0, 1, 0xc1, 0, 0), Buffer.from(body), Buffer.alloc(4)]);
const programs = packet(0, true, table(0, [0, 1, 0xe1, 0x00]));
/** A program of a picture on PID 0x101 and metadata on PID 0x102. */
const streams = (type: number, registration: string): Buffer =>
  packet(
    0x100,
    true,
    table(2, [
      0xe1,
      0x01,
      0xf0,
      0,
      0x1b,
      0xe1,
      0x01,
      0xf0,
      0,
      type,
      0xe1,
      0x02,
      0xf0,
      6,
      5,
      4,
      ...Buffer.from(registration),
    ]),
  );
const unit = (content: Buffer): Buffer[] => {
  const bytes = Buffer.concat([Buffer.of(0, 0, 1, 0xbd, 0, 0, 0x80, 0, 0), content]);
  const parts: Buffer[] = [];
  for (let from = 0; from < bytes.length; from += 184)
    parts.push(packet(0x102, from === 0, bytes.subarray(from, from + 184)));
  return parts;
};

async function readStream(...packets: readonly Buffer[]) {
  const path = join(folder, "clip.ts");
  await writeFile(path, Buffer.concat(packets));
  const file = await openCounted(path);
  try {
    return { facts: await readTransportKlv(file, "A/clip.ts"), bytes: file.cost.bytes };
  } finally {
    await file.close();
  }
}

test("place and clock come from sets under the registration and from access units", async () => {
  const plain = await readStream(programs, streams(0x06, "KLVA"), ...unit(whole()), ...unit(whole(at + 1000)));
  const headed = await readStream(
    programs,
    streams(0x15, "none"),
    ...unit(Buffer.concat([Buffer.of(0, 0, 0xdf, 0, 80), whole()])),
  );
  for (const { facts } of [plain, headed]) {
    const place = facts?.location === undefined ? undefined : valueOf(facts.location);
    expect(place?.latitudeDegrees).toBeCloseTo(12.345678, 6);
    expect(place?.longitudeDegrees).toBeCloseTo(-45.678901, 6);
    expect(valueOf(facts?.telemetry)).toMatchObject({
      clockSource: "satellite",
      firstClock: "2031-04-05T06:07:08.000Z",
    });
  }
  expect(valueOf(plain.facts?.telemetry)).toMatchObject({ records: 2, clockSpanSeconds: 1 });
});

test("a stream without metadata gives nothing, and one whose sets are broken gives damage", async () => {
  expect((await readStream(programs, streams(0x06, "AC-3"), ...unit(whole()))).facts).toBeUndefined();
  expect((await readStream(streams(0x06, "KLVA"))).facts).toBeUndefined();
  const spoiled = whole();
  spoiled[30] = (spoiled[30] as number) ^ 1;
  expect((await readStream(programs, streams(0x06, "KLVA"), ...unit(spoiled))).facts?.telemetry).toMatchObject({
    state: "damaged",
  });
});

test("the least number and the clock of 1970 mean that nothing is known", () => {
  const silent = parseSet(localSet(item(2, clock(0)), item(13, number32(-(2 ** 31))), item(14, number32(1))));
  expect(silent).toEqual({ faulty: false });
});

test("any single flipped bit of a set spoils it, and no cut throws", () => {
  const good = whole();
  expect(parseSet(good)).toMatchObject({ faulty: false });
  for (let bit = 17 * 8; bit < good.length * 8; bit += 1) {
    const flipped = Buffer.from(good);
    flipped[bit >> 3] = (flipped[bit >> 3] as number) ^ (1 << (bit & 7));
    expect([bit, parseSet(flipped)?.faulty]).toEqual([bit, true]);
  }
  for (let length = 0; length < good.length; length += 1) {
    expect(parseSet(good.subarray(0, length))?.position).toBeUndefined();
  }
});

test("no more than the first MiB is read", async () => {
  const filler = packet(0x101, false, Buffer.alloc(184));
  const many = Array.from({ length: 8000 }, () => filler);
  expect((await readStream(programs, streams(0x06, "KLVA"), ...many, ...unit(whole()))).bytes).toBe(klvStretchBytes);
});
