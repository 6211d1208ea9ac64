import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openCounted } from "../bytes.ts";
import { readOuterBounds } from "./outer-bounds.ts";
import { sniff } from "./sniff.ts";

let folder = "";
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), "probe-outer-"));
});
afterAll(() => rm(folder, { recursive: true, force: true }));

async function bounds(bytes: Uint8Array, container: string) {
  const path = join(folder, "file");
  await writeFile(path, bytes);
  const file = await openCounted(path);
  try {
    return await readOuterBounds(file, "file", container);
  } finally {
    await file.close();
  }
}

/** EBML header of 4 bytes, then a segment whose announced length is `length` (RFC 9559, section 6). */
const matroska = (length: number[], body: number): Buffer =>
  Buffer.concat([
    Buffer.from([0x1a, 0x45, 0xdf, 0xa3, 0x84, 0x42, 0x86, 0x81, 0x01]),
    Buffer.from([0x18, 0x53, 0x80, 0x67, ...length]),
    Buffer.alloc(body, 1),
  ]);

test("a Matroska segment must end inside the file", async () => {
  expect(await bounds(matroska([0x80 | 100], 100), "matroska")).toMatchObject({ state: "read" });
  expect(await bounds(matroska([0x80 | 100], 60), "matroska")).toMatchObject({
    state: "damaged",
    why: expect.stringContaining("40 bytes are missing"),
  });
  expect(await bounds(matroska([0x40, 0x64], 99), "matroska")).toMatchObject({ state: "damaged" });
  expect(await bounds(matroska([0x01, 255, 255, 255, 255, 255, 255, 255], 60), "matroska")).toMatchObject({
    state: "absent",
  });
});

const riff = (says: number, has: number): Buffer => {
  const bytes = Buffer.alloc(has, 2);
  bytes.write("RIFF", 0);
  bytes.writeUInt32LE(says, 4);
  bytes.write("AVI ", 8);
  return bytes;
};

test("a RIFF file must be as long as it says", async () => {
  expect(await bounds(riff(92, 100), "avi")).toMatchObject({ state: "read" });
  expect(await bounds(riff(93, 100), "avi")).toMatchObject({ state: "damaged" });
  expect(await bounds(Buffer.from("RIFF"), "avi")).toMatchObject({ state: "damaged" });
});

const stream = (packet: number, count: number): Buffer => {
  const bytes = Buffer.alloc(packet * count, 3);
  for (let at = packet - 188; at < bytes.length; at += packet) bytes[at] = 0x47;
  return bytes;
};

test("a transport stream must be in step at both ends, in packets of 188 or 192 bytes", async () => {
  for (const packet of [188, 192]) {
    expect(await bounds(stream(packet, 40), "mpeg-ts")).toMatchObject({ state: "read" });
    expect(sniff(stream(packet, 40))).toBe("mpeg-ts");
    expect(await bounds(stream(packet, 40).subarray(0, packet * 40 - 5), "mpeg-ts")).toMatchObject({
      state: "damaged",
    });
    const spoiled = stream(packet, 40);
    spoiled.fill(0, packet * 30);
    expect(await bounds(spoiled, "mpeg-ts")).toMatchObject({ state: "damaged" });
  }
  expect(await bounds(Buffer.alloc(3000, 9), "mpeg-ts")).toMatchObject({ state: "damaged" });
});

const mxf = (footer: number): Buffer => {
  const bytes = Buffer.alloc(500);
  Buffer.from("060e2b34020501010d01020101020400", "hex").copy(bytes);
  bytes[16] = 0x83;
  bytes.writeBigUInt64BE(BigInt(footer), 20 + 24);
  return bytes;
};

test("an MXF footer must stand inside the file", async () => {
  expect(await bounds(mxf(400), "mxf")).toMatchObject({ state: "read" });
  expect(await bounds(mxf(500), "mxf")).toMatchObject({ state: "damaged" });
  expect(await bounds(mxf(0), "mxf")).toMatchObject({ state: "absent" });
});

test("every cut of every header gives a reading", async () => {
  for (const whole of [matroska([0x80 | 100], 10), Buffer.from("060e2b34020501010d01020101020400830000", "hex")]) {
    for (let length = 0; length < whole.length; length += 1) {
      for (const container of ["matroska", "avi", "mpeg-ts", "mxf", "mpeg"]) {
        expect((await bounds(whole.subarray(0, length), container)).state).not.toBe("read");
      }
    }
  }
});

test("containers that may hold sound or pictures are told by their first bytes", () => {
  const starts = (digits: string): Uint8Array => Buffer.concat([Buffer.from(digits, "hex"), Buffer.alloc(600)]);
  expect(sniff(starts("4f676753"))).toBe("ogg");
  expect(sniff(starts("464c5601"))).toBe("flv");
  expect(sniff(starts("3026b2758e66cf11"))).toBe("asf");
  expect(sniff(starts("664c6143"))).toBe("sound");
  expect(sniff(starts("000001b3"))).toBe("mpeg-es");
  expect(sniff(starts("1f0700"))).toBe("dv");
});
