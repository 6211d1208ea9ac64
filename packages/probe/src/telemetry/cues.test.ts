import * as fc from "fast-check";
import { expect, test } from "vitest";
import { cueBytes } from "./cue-bytes.ts";
import { parseCueTime } from "./cue-time.ts";
import { splitCues } from "./cues.ts";
import { decodeText } from "./decode-text.ts";

const split = (text: string) => splitCues(cueBytes(Buffer.from(text)));
const cuesOf = (text: string) => {
  const cues = split(text);
  return Array.from({ length: cues.count }, (_, place) => [
    cues.starts[place],
    cues.ends[place],
    cues.text(cues.from[place] ?? 0, cues.to[place] ?? 0),
  ]);
};

test.each([
  ["00:00:01,040", 1_040_000],
  ["00:00:01.040", 1_040_000],
  ["1:02:03.45", 3_723_450_000],
  ["02:03.5", 123_500_000],
  ["100:00:00,000", -1],
  ["00:00", 0],
  ["12", -1],
  ["a:b", -1],
  ["00:00:01,", -1],
  ["00:00:01,0x", -1],
])("the cue time %s is %d microseconds", (text, expected) => {
  expect(parseCueTime(Buffer.from(text), 0, text.length)).toBe(expected);
});

test("cues are split whatever the line ends, and blank lines and numbers are taken off", () => {
  const text = "1\n00:00:00,000 --> 00:00:00,040\na\nb\n\n2\n00:00:00,040 --> 00:00:00,080\nc\n\n";
  const expected = [
    [0, 40_000, "a\nb"],
    [40_000, 80_000, "c"],
  ];
  for (const lineEnd of ["\n", "\r\n", "\r"]) {
    const cues = cuesOf(text.replaceAll("\n", lineEnd)).map(([start, end, cue]) => [
      start,
      end,
      String(cue).replaceAll(/\r\n?/g, "\n").trim(),
    ]);
    expect(cues).toEqual(expected);
  }
});

test("a cue may hold an arrow, be empty, or be followed by no blank line", () => {
  expect(
    cuesOf("1\n0:00:00.0 --> 0:00:01.0\na --> b\n2\n00:00:01,000 --> 00:00:02,000\n\n3\n0:02.0 --> 0:03.0\nc"),
  ).toEqual([
    [0, 1_000_000, "a --> b"],
    [1_000_000, 2_000_000, ""],
    [2_000_000, 3_000_000, "c"],
  ]);
});

test("WebVTT settings, notes and names of cues are no text", () => {
  const text =
    "WEBVTT\n\nNOTE x\n\nfirst\n00:01.000 --> 00:02.000 align:start\na\n\nNOTE y\nz\n\n00:02.000 --> 00:03.000\nb\n";
  expect(cuesOf(text)).toEqual([
    [1_000_000, 2_000_000, "a\n"],
    [2_000_000, 3_000_000, "b\n"],
  ]);
});

test("an ASS line is cut at as many commas as the Format line names", () => {
  const head = "[Script Info]\n[Events]\nFormat: Layer, Start, End, Style, Text\n";
  expect(cuesOf(`${head}Dialogue: 0,0:00:01.00,0:00:02.00,Default,a, b, c\nComment: 0,x\n`)).toEqual([
    [1_000_000, 2_000_000, "a, b, c"],
  ]);
  expect(cuesOf("[Events]\nDialogue: 0,0:00:01.00,0:00:02.00,Default,,0,0,0,,a, b")).toEqual([
    [1_000_000, 2_000_000, "a, b"],
  ]);
});

test("text in five encodings comes out the same", () => {
  const text = "1\n00:00:00,000 --> 00:00:00,040\n[iso : 110] 5°\n";
  const little = Buffer.from(text, "utf16le");
  const big = Buffer.from(little).swap16();
  const encoded = [
    Buffer.from(text),
    Buffer.concat([Buffer.of(0xef, 0xbb, 0xbf), Buffer.from(text)]),
    Buffer.concat([Buffer.of(0xff, 0xfe), little]),
    Buffer.concat([Buffer.of(0xfe, 0xff), big]),
    little,
    big,
    Buffer.from(text, "latin1"),
  ];
  for (const bytes of encoded) {
    expect(decodeText(bytes)).toBe(text);
    const inBytes = cueBytes(bytes);
    expect(inBytes.text(0, inBytes.bytes.length)).toBe(text);
  }
});

test("any bytes split into cues without an exception, each cue inside the text", () => {
  const piece = fc.constantFrom(
    "-->",
    "00:00:01,000",
    " ",
    "\n",
    "\r",
    "1",
    "Dialogue:",
    ",",
    "WEBVTT",
    "[Events]",
    "x",
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 60 }), (pieces) => {
      const cues = split(pieces.join(""));
      for (let place = 0; place < cues.count; place += 1) {
        expect(cues.from[place]).toBeLessThanOrEqual(cues.to[place] as number);
        expect(cues.to[place]).toBeLessThanOrEqual(cues.bytes.length);
      }
    }),
  );
  fc.assert(
    fc.property(fc.uint8Array(), (bytes) => {
      splitCues(cueBytes(bytes));
    }),
  );
});

test("hostile files are split in time proportional to their length", () => {
  const began = process.cpuUsage();
  split("-->".repeat(1_000_000));
  split("00:00:01,000 --> ".repeat(200_000));
  split("\n00:00:01,000 --> 00:00:01,000".repeat(100_000));
  split(`WEBVTT\n${"\n00:01.000 --> 00:01.000".repeat(100_000)}`);
  split(`Dialogue:${",".repeat(1_000_000)}`);
  // Walking one of these files once per cue would take minutes.
  const { user, system } = process.cpuUsage(began);
  expect((user + system) / 1000).toBeLessThan(10_000);
});
