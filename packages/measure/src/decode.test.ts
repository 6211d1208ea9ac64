import { execFile } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { afterAll, expect, test } from "vitest";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { samplesFolder } from "../../../fixtures/places.ts";
import { decodeStretch } from "./decode.ts";
import { frameLayout, pieceWidth, type Samples } from "./frame-layout.ts";

const folder = mkdtempSync(join(tmpdir(), "goodgate-decode-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const { signal } = new AbortController();

test("a program that takes its time to end after its last picture has ended well", async () => {
  const { path } = await findEncoder();
  const slow = join(folder, "ffmpeg");
  writeFileSync(slow, `#!/bin/sh\n'${path}' "$@"\nended=$?\nexec 1>&-\nsleep 0.5\nexit $ended\n`, { mode: 0o755 });
  const layout = frameLayout({ width: 320, height: 180, frameRate: 24, durationSeconds: 2 });
  const clip = join(samplesFolder, "mp4-cfr-24/clip.mp4");
  const end = await decodeStretch(slow, clip, layout, undefined, () => undefined, signal);
  expect([end.frames, end.fault]).toEqual([48, undefined]);
});

const [width, height, frameRate] = [320, 180, 4];
const pixels = width * height;
const eight = (...planes: readonly (readonly [bytes: number, value: number])[]): Buffer =>
  Buffer.concat(planes.map(([bytes, value]) => Buffer.alloc(bytes, value)));

// Interleaved planes, as graphics chips write them, and RGB are not what cameras write. RGB of 255 is code 235 in narrow
// range: Recommendation ITU-R BT.709-6, item 4.5 (16 + 219).
test.each([
  ["nv12", 8, false, eight([pixels, 126], [pixels / 2, 128]), 126],
  ["nv12", 8, true, eight([pixels, 3], [pixels / 2, 128]), 3],
  ["yuv440p", 8, false, eight([pixels, 235], [pixels, 128]), 235],
  ["rgb24", 8, false, eight([3 * pixels, 255]), 235],
  ["rgb24", 8, true, eight([3 * pixels, 255]), 255],
] as const)(
  "%s in %i bit, full range %s: its luma comes as it is",
  async (format, bitDepth, fullRange, frame, code) => {
    const { path } = await findEncoder();
    const [raw, clip] = [join(folder, "raw"), join(folder, `${format}-${fullRange}.nut`)];
    writeFileSync(raw, Buffer.concat([frame, frame, frame, frame]));
    const input = ["-f", "rawvideo", "-pix_fmt", format, "-s", `${width}x${height}`, "-r", `${frameRate}`, "-i", raw];
    await promisify(execFile)(path, ["-v", "error", ...input, "-c", "copy", clip]);
    const layout = frameLayout({ width, height, frameRate, durationSeconds: 1, bitDepth, fullRange });
    const seen = new Set<number>();
    // The piece is wider than so small a picture: the room beside it is left out.
    const onFrame = (samples: Samples): void => samples.subarray(0, pieceWidth * layout.smallHeight).forEach(see);
    const see = (sample: number): unknown => seen.add(sample);
    const end = await decodeStretch(path, clip, layout, undefined, onFrame, signal);
    expect([end.frames, end.fault, [...seen]]).toEqual([4, undefined, [code]]);
  },
);
