import { expect, test } from "vitest";
import { frameHeaderBytes, hasFrameHeader, readFrameHeader } from "./frame-header.ts";
import { pictureCodec } from "./codec-names.ts";

/** A frame header as SMPTE RDD 36 lays it out: size, name, header size, version, maker, raster, flags, colour. */
function icpf(flags: number, colour: readonly [number, number, number]): Uint8Array {
  const bytes = Buffer.alloc(frameHeaderBytes);
  bytes.writeUInt32BE(5000, 0);
  bytes.write("icpf", 4, "latin1");
  bytes.writeUInt16BE(148, 8);
  bytes.writeUInt16BE(1920, 16);
  bytes.writeUInt16BE(1080, 18);
  bytes.set([flags, 0, ...colour], 20);
  return bytes;
}

test("the frame header of the ten-bit intra codec states raster, fields and colour", () => {
  expect(readFrameHeader("prores", icpf(0x80, [9, 16, 9]))).toEqual({
    width: 1920,
    height: 1080,
    scan: "progressive",
    primaries: 9,
    transfer: 16,
    matrix: 9,
  });
  expect(readFrameHeader("prores", icpf(0x84, [1, 1, 1]))?.scan).toBe("top field first");
  expect(readFrameHeader("prores", icpf(0x88, [1, 1, 1]))?.scan).toBe("bottom field first");
  expect(readFrameHeader("prores", icpf(0x8c, [1, 1, 1]))).not.toHaveProperty("scan");
});

test("colour 0 of a frame header is unspecified, as 2 is", () => {
  expect(readFrameHeader("prores", icpf(0x80, [0, 0, 0]))).toMatchObject({ primaries: 2, transfer: 2, matrix: 2 });
});

test("the frame header of VC-3 states the matrix", () => {
  const bytes = Buffer.alloc(frameHeaderBytes);
  bytes.set([0, 0, 2, 0x80, 1]);
  expect(readFrameHeader("dnxhd", bytes)).toEqual({ matrix: 1 });
  bytes[0x2c] = 0b010;
  expect(readFrameHeader("dnxhd", bytes)).toEqual({ matrix: 9 });
});

test("bytes that are no frame say nothing", () => {
  for (const codec of ["prores", "dnxhd"]) {
    expect(hasFrameHeader(codec)).toBe(true);
    expect(readFrameHeader(codec, new Uint8Array(frameHeaderBytes))).toBeUndefined();
    expect(readFrameHeader(codec, new Uint8Array(7))).toBeUndefined();
    expect(readFrameHeader(codec, new Uint8Array(0))).toBeUndefined();
  }
  expect(hasFrameHeader("h264")).toBe(false);
  expect(hasFrameHeader("toString")).toBe(false);
  expect(readFrameHeader("toString", icpf(0, [1, 1, 1]))).toBeUndefined();
});

test("families of sample entries name their codec; a code that only resembles one does not", () => {
  expect([pictureCodec("m2v1"), pictureCodec("rle "), pictureCodec("dvh5"), pictureCodec("dvh1")]).toEqual([
    "mpeg2video",
    "qtrle",
    "dvvideo",
    "hevc",
  ]);
  expect(pictureCodec("dvh9")).toBeUndefined();
  expect(pictureCodec("toString")).toBeUndefined();
});
