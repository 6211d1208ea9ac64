import { expect, test } from "vitest";
import { bytesAt } from "./boxes.ts";
import { readAv1Record, readAv1Sample } from "./av1-header.ts";
import {
  fieldOrderOf,
  readAvcRecord,
  readFirstSample,
  readHevcRecord,
  readMpeg4Header,
  readVpRecord,
} from "./codec-records.ts";
import { be, hex, joined } from "./make-movie.ts";

// Records below were written by ffmpeg 5.1 (libx264, libx265, libaom, libvpx) for made-up pictures; the values expected
// of them are those ffprobe prints and ffmpeg's trace_headers filter shows for the same files.
const avc = "0164001effe100186764001eacb40a0cfcf808800000030080000078078b175001000568ef039cb0fdf8f800";
const mbaff = "01640015ffe1001967640015acd941433f260220000003002000000643e28532c001000568fe81372cfdf8f800";
const high422 = "017a000cffe1001b677a000cb6cd941419f8dc05b2000003000200000300641e28532c01000668ebe3cb22c0fefafa00";
const hevcSets = [
  "40010c01ffff0408000003009d0800000300003c959809",
  "4201010408000003009d0800000300003cb00a080b9f2b65959a4932bc05b848904820000003002000000641",
];

const record = <T>(read: (bytes: ReturnType<typeof bytesAt>, from: number, to: number) => T, array: Uint8Array): T =>
  read(bytesAt(array, 0), 0, array.length);

const hvcc = (...units: readonly Uint8Array[]): Uint8Array =>
  joined(
    hex("0102200000009000000000003cf000fcfdfafa00000f"),
    be(1, units.length),
    ...units.map((unit) => joined(be(1, ((unit[0] ?? 0) >> 1) & 63), be(2, 1, unit.length), unit)),
  );

test("outside check: an H.264 record states profile, depth, raster and the rate its clock was left at", () => {
  const read = record(readAvcRecord, hex(avc));
  expect(read?.hasParameterSet).toBe(true);
  expect(read?.lengthBytes).toBe(4);
  expect(read?.header).toMatchObject({
    profile: "High",
    bitDepth: 8,
    chroma: "4:2:0",
    width: 320,
    height: 180,
    scan: "progressive",
    rate: [240, 2],
  });
});

test("outside check: ten bits of 4:2:2 in full range", () => {
  expect(record(readAvcRecord, hex(high422))?.header).toMatchObject({
    profile: "High 4:2:2",
    bitDepth: 10,
    chroma: "4:2:2",
    width: 320,
    height: 180,
    fullRange: true,
    rate: [50, 2],
  });
});

test("outside check: field coding is seen, and the first sample's timing message says top field first", () => {
  const { header } = record(readAvcRecord, hex(mbaff)) ?? { header: {} };
  expect(header).toMatchObject({ scan: "interlaced", height: 180, pictureTimingSkip: 0 });
  // The picture timing message of that file: type 1, one byte, pic_struct 3.
  expect(fieldOrderOf(hex("00000004 06010132 80".replace(/ /g, "")), 4, 0)).toBe("top field first");
  expect(fieldOrderOf(hex("00000005 0601014480"), 4, 0)).toBe("bottom field first");
  expect(fieldOrderOf(hex("00000004 06050132"), 4, 0)).toBeUndefined();
  // Structure 0 is a frame whose fields are of one moment (ITU-T H.264, table D-1): an encoder that may code fields did not.
  expect(fieldOrderOf(hex("00000005 0601010480"), 4, 0)).toBe("progressive");
});

test("outside check: an H.265 record states profile, ten bits, 4:2:2, raster, colours and rate", () => {
  const read = record(readHevcRecord, hvcc(...hevcSets.map(hex)));
  expect(read?.header).toMatchObject({
    profile: "Rext",
    bitDepth: 10,
    chroma: "4:2:2",
    width: 320,
    height: 180,
    scan: "progressive",
    primaries: 9,
    transfer: 18,
    matrix: 9,
    fullRange: true,
    rate: [50, 1],
  });
});

test("messages in the record state light levels (ffprobe: 1000 and 0.005 cd/m², MaxCLL 800, MaxFALL 200)", () => {
  const units = ["4e019004032000c880", "4e01891833c286c41d4c0bb884d03e803d13404200989680000003003280"];
  const read = record(readHevcRecord, hvcc(...hevcSets.map(hex), ...units.map(hex)));
  expect(read?.header).toMatchObject({
    maximumNits: 1000,
    minimumNits: 0.005,
    maximumContentNits: 800,
    maximumFrameAverageNits: 200,
  });
});

test("an alternative transfer message overrules the one for old players (ITU-T H.265, annex D)", () => {
  const read = record(readHevcRecord, hvcc(...hevcSets.map(hex), hex("4e0193011080")));
  expect(read?.header.transfer).toBe(16);
});

test("parameter sets in the first sample are found behind their lengths", () => {
  const units = hevcSets.map(hex).map((unit) => joined(be(4, unit.length), unit));
  expect(readFirstSample(joined(...units), 4, true)).toMatchObject({ width: 320, rate: [50, 1] });
  const sps = hex(avc).subarray(8, 32);
  expect(readFirstSample(joined(be(4, sps.length), sps, be(4, 100)), 4, false)).toMatchObject({
    width: 320,
    rate: [240, 2],
  });
  expect(readFirstSample(hex("0000000465888400"), 4, false)).toBeUndefined();
});

test("outside check: an AV1 record with its sequence header", () => {
  expect(record(readAv1Record, hex("81000c000a0a00000003b4fd936be401"))).toMatchObject({
    hasParameterSet: true,
    header: { profile: "Main", bitDepth: 8, chroma: "4:2:0", width: 160, height: 90, fullRange: false },
  });
});

test("a VP9 record states depth, chroma and colours", () => {
  expect(record(readVpRecord, hex("01000000000b820202020000"))?.header).toMatchObject({
    profile: "Profile 0",
    bitDepth: 8,
    chroma: "4:2:0",
    primaries: 2,
  });
});

test("MPEG-4 part 2 profiles come from the sequence start code", () => {
  expect(readMpeg4Header(hex("000001b001000001b5"))).toEqual({
    profile: "Simple Profile",
    bitDepth: 8,
    chroma: "4:2:0",
  });
  expect(readMpeg4Header(hex("000001b0f5"))).toMatchObject({ profile: "Advanced Simple Profile" });
  expect(readMpeg4Header(hex("000001b8ff"))).toEqual({});
});

test("every truncation of a record gives a record without lies or none", () => {
  for (const [whole, read] of [
    [hex(avc), readAvcRecord],
    [hvcc(...hevcSets.map(hex)), readHevcRecord],
    [hex("81000c000a0a00000003b4fd936be401"), readAv1Record],
  ] as const) {
    for (let length = 0; length < whole.length; length += 1) {
      const found = record(read, whole.slice(0, length));
      if (found?.header.width !== undefined) expect([160, 320]).toContain(found.header.width);
    }
  }
});

test("an AV1 sequence header in the first sample is found behind the unit that opens it", () => {
  // The units of the record above, as a sample: temporal delimiter, sequence header.
  expect(readAv1Sample(hex("1200 0a0a00000003b4fd936be401"))).toMatchObject({ width: 160, height: 90 });
  expect(readAv1Sample(hex("1200 3203000000"))).toBeUndefined();
});

test("an MPEG-4 visual object states range and colours (ISO/IEC 14496-2, section 6.2.2)", () => {
  expect(readMpeg4Header(hex("000001b001 000001b5891d42440240 00000100"))).toMatchObject({
    profile: "Simple Profile",
    primaries: 9,
    transfer: 16,
    matrix: 9,
    fullRange: false,
  });
  expect(readMpeg4Header(hex("000001b001 000001b58910"))).not.toHaveProperty("primaries");
  expect(readMpeg4Header(hex("000001b001 000001b5891d42"))).not.toHaveProperty("primaries");
});
