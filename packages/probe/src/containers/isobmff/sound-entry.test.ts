import { expect, test } from "vitest";
import { bytesAt, code } from "./boxes.ts";
import { be, box, hex, joined, soundEntry, text } from "./make-movie.ts";
import { readSoundEntry } from "./sound-entry.ts";

const read = (array: Uint8Array) => {
  const bytes = bytesAt(array, 0);
  return readSoundEntry(bytes, { type: bytes.view.getUint32(4), start: 0, body: 8, end: array.length });
};

// Descriptor and Dolby boxes as ffmpeg 5.1 writes them; rate and channels are what ffprobe prints of the same files.
const aac = box(
  "esds",
  hex("000000000380808025000200048080801740150000000001f4000001f3700580808005119056e500068080800102"),
);

test("outside check: AAC says its own rate and channels, whatever the entry holds", () => {
  expect(read(soundEntry("mp4a", 6, 16, 8000, aac))).toEqual({
    entry: "mp4a",
    codec: "aac",
    channels: 2,
    rateHertz: 48_000,
  });
});

test("outside check: AC-3 says its own channels", () => {
  expect(read(soundEntry("ac-3", 2, 16, 48_000, box("dac3", hex("1008c0"))))?.channels).toBe(1);
});

test("uncompressed sound is named by byte order and depth", () => {
  expect(read(soundEntry("sowt", 2, 16, 48_000))?.codec).toBe("pcm_s16le");
  expect(read(soundEntry("twos", 1, 8, 48_000))?.codec).toBe("pcm_s8");
  expect(read(soundEntry("in24", 1, 24, 48_000))?.codec).toBe("pcm_s24be");
  expect(read(soundEntry("ipcm", 1, 16, 48_000, box("pcmC", be(4, 0), be(1, 1, 24))))?.codec).toBe("pcm_s24le");
});

test("the second QuickTime version keeps rate and channels in its extension", () => {
  const rate = new Uint8Array(8);
  new DataView(rate.buffer).setFloat64(0, 96_000);
  const entry = joined(
    new Uint8Array(6),
    be(2, 1, 2, 0),
    be(4, 0),
    be(2, 3, 16, -2, 0),
    be(4, 0x10000, 72),
    rate,
    be(4, 4, 0x7f000000, 32, 1, 16, 1),
  );
  expect(read(joined(be(4, entry.length + 8), text("lpcm"), entry))).toEqual({
    entry: "lpcm",
    codec: "pcm_f32le",
    channels: 4,
    rateHertz: 96_000,
  });
});

test("a codec not known keeps the entry's name; no channels, no rate or a short box give nothing", () => {
  expect(read(soundEntry("xyzw", 2, 16, 48_000))?.codec).toBe("xyzw");
  expect(read(soundEntry("sowt", 0, 16, 48_000))).toBeUndefined();
  expect(read(soundEntry("sowt", 2, 16, 0))).toBeUndefined();
  expect(read(box("sowt", new Uint8Array(20)))).toBeUndefined();
  expect(code("sowt")).toBe(0x736f7774);
});
