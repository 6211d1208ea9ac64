import { beforeAll, expect, test } from "vitest";
import { findEncoder } from "../../../scripts/ffmpeg.ts";
import { record } from "../truth/encode.ts";
import { decodeStretch } from "./decode.ts";
import { bringsPiece, frameLayout, pieceWidth, type Samples } from "./frame-layout.ts";

const [width, height, frameRate, frames] = [640, 360, 4, 100];
let ffmpeg = "";
beforeAll(async () => {
  ffmpeg = (await findEncoder()).path;
});

/** The frame's number stands in every pixel: what is handed over must say which frame it is. */
const codeOf = (frame: number): number => 20 + 2 * frame;

test.each([
  [8, undefined],
  [10, undefined],
  [8, { fromSeconds: 3, toSeconds: 18 }],
] as const)(
  "%i bit, stretch %o: each frame comes whole where it is looked at closely, else small",
  async (bitDepth, stretch) => {
    const how = { codec: "none", bitsPerPixel: 0, frameRate: `${frameRate}`, width, height, bitDepth } as const;
    const clip = await record(ffmpeg, ".cache/measure-tests", "numbered", pictures, how);
    const layout = frameLayout({ width, height, frameRate, durationSeconds: frames / frameRate, bitDepth });
    expect([layout.runFrames, layout.closeFrames, layout.smallHeight]).toEqual([40, 8, 144]);
    const first = (stretch?.fromSeconds ?? 0) * frameRate;
    const wrong: number[] = [];
    const onFrame = (samples: Samples, index: number): void => {
      const held = bringsPiece(layout, index) ? samples : samples.subarray(0, pieceWidth * layout.smallHeight);
      if (held.some((code) => code !== codeOf(first + index))) wrong.push(index);
    };
    const end = await decodeStretch(ffmpeg, clip, layout, stretch, onFrame, new AbortController().signal);
    expect([end.frames, end.fault, wrong]).toEqual([stretch === undefined ? frames : 60, undefined, []]);
    function* pictures(): Generator<Uint8Array | Uint16Array> {
      for (let n = 0; n < frames; n += 1) {
        const size = width * height;
        yield (bitDepth === 8 ? new Uint8Array(size) : new Uint16Array(size)).fill(codeOf(n));
      }
    }
  },
);

test("pieces come with the close part of each run, and with every frame of very long clips from half an hour on", () => {
  const layout = frameLayout({ width, height, frameRate: 30, durationSeconds: 7200 });
  const brought = [0, 59, 60, 299, 300, 359, 360, 53_999, 54_000, 54_299].map((n) => bringsPiece(layout, n));
  expect(brought).toEqual([true, true, false, false, true, true, false, false, true, true]);
  // The shortest limit of a command line is that of Windows: 32,767 characters.
  expect(layout.filterGraph.length).toBeLessThan(16_000);
});
