import { spawn } from "node:child_process";
import { once } from "node:events";
import { PassThrough, type Readable } from "node:stream";
import { expect, test } from "vitest";
import { bringsPiece, frameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { frameSink } from "./frame-sink.ts";

const frames = 30;
const sizes = { width: 320, height: 180, frameRate: 1, durationSeconds: frames };

/** What ffmpeg would hand over: every sample of frame `n` is `n`. */
function bytesOf(layout: ReturnType<typeof frameLayout>): Buffer {
  const small = pieceWidth * layout.smallHeight;
  const samplesOf = (n: number): number => (bringsPiece(layout, n) ? layout.samplesPerFrame : small);
  const all = Array.from({ length: frames }, (_, n) =>
    layout.bytesPerSample === 1
      ? Buffer.alloc(samplesOf(n), n)
      : Buffer.from(new Uint16Array(samplesOf(n)).fill(n).buffer),
  );
  return Buffer.concat(all);
}

/** Pieces of any size, as a stream hands them over. */
function cut(bytes: Buffer): Readable {
  const source = new PassThrough({ highWaterMark: 1 << 30 });
  for (let from = 0, size = 1; from < bytes.length; from += size, size = ((size * 7919) % 200_000) + 1) {
    source.write(bytes.subarray(from, from + size));
  }
  return source.end();
}

/** The same through a pipe of another program, which Node hands over as a socket. */
function throughPipe(bytes: Buffer): Readable {
  const child = spawn(process.execPath, ["-e", "process.stdin.pipe(process.stdout)"], {
    stdio: ["pipe", "pipe", "ignore"],
  });
  // A reader that goes away is not this side's fault.
  child.stdin.on("error", () => undefined);
  child.stdin.end(bytes);
  return child.stdout;
}

/** A pipe of which Node says nothing of its own: it is read as any stream. */
function strange(bytes: Buffer): Readable {
  const source = throughPipe(bytes);
  Object.defineProperty(source, "bytesRead", { value: 1 });
  return source;
}

test.each([
  [8, cut],
  [10, cut],
  [8, throughPipe],
  [10, throughPipe],
  [8, strange],
] as const)("%i bit: every frame comes whole and once, by %o", async (bitDepth, sourceOf) => {
  const layout = frameLayout({ ...sizes, bitDepth });
  const seen: [index: number, right: boolean][] = [];
  const sink = frameSink(layout, (samples: Samples, index) => {
    const held = bringsPiece(layout, index) ? samples : samples.subarray(0, pieceWidth * layout.smallHeight);
    seen.push([index, held.every((sample: number) => sample === index)]);
  });
  sourceOf(bytesOf(layout)).pipe(sink.stream);
  await once(sink.stream, "finish");
  expect(seen).toEqual(Array.from({ length: frames }, (_, n) => [n, true]));
  expect([sink.frames(), sink.isInside()]).toEqual([frames, false]);
  sink.end();
});

test.each([cut, throughPipe])("a part of a frame is told, by %o", async (sourceOf) => {
  const layout = frameLayout(sizes);
  const sink = frameSink(layout, () => undefined);
  sourceOf(bytesOf(layout).subarray(0, -1)).pipe(sink.stream);
  await once(sink.stream, "finish");
  expect([sink.frames(), sink.isInside()]).toEqual([frames - 1, true]);
  sink.end();
});

test.each([cut, throughPipe])(
  "what looking at a frame throws is told once, and nothing more is looked at, by %o",
  async (sourceOf) => {
    const layout = frameLayout(sizes);
    let looks = 0;
    const sink = frameSink(layout, () => {
      looks += 1;
      throw new Error("looked awry");
    });
    const source = sourceOf(bytesOf(layout));
    source.pipe(sink.stream);
    const [error] = (await once(sink.stream, "error")) as [Error];
    await new Promise((done) => setTimeout(done, 50));
    expect([error.message, looks]).toEqual(["looked awry", 1]);
    sink.end();
    source.destroy();
  },
);
