import { execFileSync } from "node:child_process";
import { chmod, mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { ratioText, type Still, valueOf } from "@goodgate/model";
import { afterAll, beforeAll, expect, test } from "vitest";
import { jpegRaster, pngRaster } from "./raster.ts";
import { readStill } from "./read-still.ts";

const never = new AbortController().signal;
let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-still-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

type Value = { readonly type: 2 | 3 | 4 | 5 | 10; readonly values: readonly number[] } | string;
const rational = (...pairs: readonly (readonly [number, number])[]): Value => ({ type: 5, values: pairs.flat() });
const signed = (top: number, bottom: number): Value => ({ type: 10, values: [top, bottom] });
const short = (value: number): Value => ({ type: 3, values: [value] });
const long = (value: number): Value => ({ type: 4, values: [value] });

/** A TIFF block with three directories (main, EXIF, GPS), little endian, as CIPA DC-008 lays it out. */
function exifBlock(main: Record<number, Value>, exif: Record<number, Value>, gps: Record<number, Value> = {}): Buffer {
  const parts: Buffer[] = [];
  let at = 8;
  const directory = (tags: Record<number, Value>): number => {
    const entries = Object.entries(tags).sort((a, b) => Number(a[0]) - Number(b[0]));
    const start = at;
    const size = 2 + entries.length * 12 + 4;
    const table = Buffer.alloc(size);
    table.writeUInt16LE(entries.length, 0);
    const tail: Buffer[] = [];
    let free = start + size;
    entries.forEach(([tag, value], place) => {
      const entry = 2 + place * 12;
      const { type, count, bytes } = encode(value);
      table.writeUInt16LE(Number(tag), entry);
      table.writeUInt16LE(type, entry + 2);
      table.writeUInt32LE(count, entry + 4);
      if (bytes.length <= 4) bytes.copy(table, entry + 8);
      else {
        table.writeUInt32LE(free, entry + 8);
        tail.push(bytes);
        free += bytes.length;
      }
    });
    parts.push(table, ...tail);
    at = free;
    return start;
  };
  const exifAt = directory(exif);
  const gpsAt = Object.keys(gps).length > 0 ? directory(gps) : undefined;
  const mainAt = directory({ ...main, 0x8769: long(exifAt), ...(gpsAt === undefined ? {} : { 0x8825: long(gpsAt) }) });
  const header = Buffer.from([0x49, 0x49, 0x2a, 0, 0, 0, 0, 0]);
  header.writeUInt32LE(mainAt, 4);
  return Buffer.concat([header, ...parts]);
}

function encode(value: Value): { readonly type: number; readonly count: number; readonly bytes: Buffer } {
  if (typeof value === "string") {
    const bytes = Buffer.from(`${value}\0`, "latin1");
    return { type: 2, count: bytes.length, bytes };
  }
  const size = value.type === 3 ? 2 : 4;
  const bytes = Buffer.alloc(value.values.length * size);
  value.values.forEach((number, place) => {
    if (size === 2) bytes.writeUInt16LE(number, place * 2);
    else if (value.type === 10) bytes.writeInt32LE(number, place * 4);
    else bytes.writeUInt32LE(number, place * 4);
  });
  const perValue = value.type === 5 || value.type === 10 ? 2 : 1;
  return { type: value.type, count: value.values.length / perValue, bytes };
}

/** A JPEG of a start mark, an EXIF segment and a frame header (ITU-T T.81, annex B); no picture follows. */
function jpeg(block: Buffer): Buffer {
  const app = Buffer.alloc(10);
  app.writeUInt16BE(0xffe1, 0);
  app.writeUInt16BE(block.length + 8, 2);
  app.write("Exif\0\0", 4, "latin1");
  const frame = Buffer.from([0xff, 0xc0, 0, 11, 8, 0x0b, 0xb8, 0x0f, 0xa0, 1, 1, 0x11, 0]);
  return Buffer.concat([Buffer.from([0xff, 0xd8]), app, block, frame, Buffer.from([0xff, 0xd9])]);
}

const exposure = {
  0x829a: rational([1, 60]),
  0x829d: rational([28, 10]),
  0x8827: short(200),
  0x9003: "2031:04:05 08:07:08",
  0x9011: "+02:00",
  0x9291: "120",
  0x9204: signed(-1, 3),
  0xa405: short(24),
};
const gps = {
  1: "N",
  2: rational([12, 1], [20, 1], [444_408, 10_000]),
  3: "W",
  4: rational([45, 1], [40, 1], [440_436, 10_000]),
};

async function stillOf(bytes: Uint8Array, name = "A/still.jpg"): Promise<Still> {
  const path = join(folder, "picture");
  await writeFile(path, bytes);
  return await readStill(
    {
      name,
      root: folder,
      files: [{ path: "picture", bytes: bytes.length, modifiedMilliseconds: 0, role: "original" }],
    },
    never,
  );
}
const picture = (exif: Record<number, Value>, main: Record<number, Value> = {}, place: Record<number, Value> = {}) =>
  stillOf(jpeg(exifBlock(main, exif, place)));

test("exposure, time and place of a JPEG, exact where the tag is a fraction", async () => {
  const still = await picture(exposure, { 0x0112: short(6) }, gps);
  const shutter = valueOf(still.shutterSeconds);
  expect(shutter === undefined ? "" : ratioText(shutter)).toBe("1/60");
  expect([valueOf(still.iso), valueOf(still.fNumber), valueOf(still.focalLength35mm)]).toEqual([200, 2.8, 24]);
  expect(valueOf(still.exposureBias)).toBeCloseTo(-1 / 3, 3);
  expect(valueOf(still.takenAt)).toEqual({
    text: "2031-04-05T08:07:08.120+02:00",
    zone: "offset",
    epochMilliseconds: Date.UTC(2031, 3, 5, 6, 7, 8, 120),
  });
  expect(valueOf(still.location)?.latitudeDegrees).toBeCloseTo(12.345678, 6);
  expect(valueOf(still.location)?.longitudeDegrees).toBeCloseTo(-45.678901, 6);
  expect([valueOf(still.width), valueOf(still.height), valueOf(still.rotationDegrees)]).toEqual([4000, 3000, 90]);
  expect(still.cost.bytes).toBeGreaterThan(0);
});

test("without an offset tag the zone is unknown and no machine's zone is put in", async () => {
  const { 0x9011: _offset, ...rest } = exposure;
  const still = await picture(rest);
  expect(valueOf(still.takenAt)).toMatchObject({
    zone: "unknown",
    epochMilliseconds: Date.UTC(2031, 3, 5, 8, 7, 8, 120),
  });
});

test("an ISO at the ceiling of its field comes from the tag that can hold it", async () => {
  const high = await picture({ ...exposure, 0x8827: short(65_535), 0x8830: short(2), 0x8832: long(102_400) });
  expect(valueOf(high.iso)).toBe(102_400);
  expect((await picture({ ...exposure, 0x8827: short(65_535) })).iso).toMatchObject({ state: "absent" });
  expect(
    (await picture({ ...exposure, 0x8827: short(65_535), 0x8830: short(3), 0x8833: long(204_800) })).iso,
  ).toMatchObject({
    value: 204_800,
  });
});

test("a denominator of zero is not set, a zero lens is not known, nonsense is damage", async () => {
  expect((await picture({ ...exposure, 0x829a: rational([1, 0]) })).shutterSeconds).toMatchObject({ state: "absent" });
  expect((await picture({ ...exposure, 0x829d: rational([0, 1]) })).fNumber).toMatchObject({ state: "absent" });
  expect((await picture({ ...exposure, 0x829a: rational([90_000, 1]) })).shutterSeconds).toMatchObject({
    state: "damaged",
  });
  expect((await picture({ ...exposure, 0xa405: short(0) })).focalLength35mm).toMatchObject({ state: "absent" });
  expect((await picture({ ...exposure, 0x9003: "2031:13:45 99:99:99" })).takenAt).toMatchObject({ state: "damaged" });
  expect((await picture({ ...exposure, 0x9003: "    :  :     :  :  " })).takenAt).toMatchObject({ state: "absent" });
  expect((await picture(exposure, { 0x0112: short(9) })).rotationDegrees).toMatchObject({ state: "damaged" });
});

test("a JPEG without tags is silent, not damaged", async () => {
  const still = await stillOf(Buffer.from([0xff, 0xd8, 0xff, 0xc0, 0, 11, 8, 0, 16, 0, 32, 1, 1, 0x11, 0, 0xff, 0xd9]));
  expect(still.shutterSeconds).toMatchObject({ state: "absent" });
  expect(valueOf(still.width)).toBe(32);
});

test("empty, foreign and missing files are damage with a reason", async () => {
  expect((await stillOf(Buffer.alloc(0))).takenAt).toMatchObject({
    state: "damaged",
    why: expect.stringContaining("empty"),
  });
  expect((await stillOf(Buffer.from("no picture at all, only words"))).takenAt).toMatchObject({ state: "damaged" });
  const files = [{ path: "gone.jpg", bytes: 1, modifiedMilliseconds: 0, role: "original" as const }];
  const gone = await readStill({ name: "gone.jpg", root: folder, files }, never);
  expect(gone.takenAt).toMatchObject({ state: "damaged", why: "cannot be read: it is not there" });
});

test.skipIf(process.platform === "win32" || process.getuid?.() === 0)(
  "a file without permission is damage",
  async () => {
    const path = join(folder, "locked");
    await writeFile(path, "x");
    await chmod(path, 0);
    const files = [{ path: "locked", bytes: 1, modifiedMilliseconds: 0, role: "original" as const }];
    expect((await readStill({ name: "locked", root: folder, files }, never)).takenAt).toMatchObject({
      why: /no permission/,
    });
  },
);

test("every cut and many flipped bits give a reading, and never a time that no tag holds", async () => {
  const whole = jpeg(exifBlock({}, exposure, gps));
  for (let length = 0; length < whole.length; length += 5) {
    const still = await stillOf(whole.subarray(0, length));
    expect(["damaged", "absent", "read"]).toContain(still.shutterSeconds.state);
  }
  for (let bit = 0; bit < whole.length * 8; bit += 37) {
    const flipped = Buffer.from(whole);
    flipped[bit >> 3] = (flipped[bit >> 3] as number) ^ (1 << (bit & 7));
    const still = await stillOf(flipped);
    if (still.shutterSeconds.state === "read")
      expect(Number(still.shutterSeconds.value.denominator)).toBeGreaterThan(0);
  }
});

test("a large picture is not read whole", async () => {
  const bytes = Buffer.concat([jpeg(exifBlock({}, exposure)), Buffer.alloc(8 * 1024 * 1024)]);
  expect((await stillOf(bytes)).cost.bytes).toBeLessThanOrEqual(256 * 1024);
});

test("the machine's zone changes nothing", async () => {
  const path = join(folder, "zoned.jpg");
  await writeFile(path, jpeg(exifBlock({}, exposure)));
  const script = `
    const { readStill } = await import(${JSON.stringify(fileURLToPath(new URL("./read-still.ts", import.meta.url)))});
    const files = [{ path: "zoned.jpg", bytes: 1, modifiedMilliseconds: 0, role: "original" }];
    for (const zone of ["UTC", "America/New_York", "Asia/Kathmandu"]) {
      process.env.TZ = zone;
      const still = await readStill({ name: "z", root: ${JSON.stringify(folder)}, files }, new AbortController().signal);
      console.log(JSON.stringify(still.takenAt.value));
    }`;
  const runner = fileURLToPath(new URL("../../../../node_modules/tsx/dist/cli.mjs", import.meta.url));
  const told = execFileSync(process.execPath, [runner, "--input-type=module", "-e", script], { encoding: "utf8" });
  const [utc, ...others] = told.trim().split("\n");
  expect(utc).toContain("08:07:08.120+02:00");
  expect(others).toEqual([utc, utc]);
});

test("a frame header past the bytes given is not guessed", () => {
  expect(jpegRaster(Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0xff, 0xff, 0, 0, 0, 0, 0, 0]))).toBeUndefined();
  expect(jpegRaster(Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 0, 0, 0, 0, 0, 0, 0]))).toBeUndefined();
});

test("a PNG without tags is a whole picture with a raster, and one that begins otherwise has none", async () => {
  // Signature and first chunk as W3C PNG, sections 5.2 and 11.2.1, lay them out: 640 by 360.
  const png = Buffer.from("89504e470d0a1a0a0000000d49484452000002800000016808020000006a2ea72e", "hex");
  const still = await stillOf(png, "A/frame_0001.png");
  expect([valueOf(still.width), valueOf(still.height)]).toEqual([640, 360]);
  expect(still.takenAt.state).toBe("absent");
  expect(pngRaster(Buffer.from("89504e470d0a1a0a0000000d494441540000028000000168", "hex"))).toBeUndefined();
  expect(pngRaster(png.subarray(0, 20))).toBeUndefined();
});
