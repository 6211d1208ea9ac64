import { Socket } from "node:net";
import { type Readable, Writable } from "node:stream";
import { bringsPiece, type FrameLayout, pieceWidth, type Samples } from "./frame-layout.ts";
import { pictureKernel } from "./picture-kernel.ts";

/** Frames that stay as they are: the last and the two before it. */
const framesKept = 3;

/** Puts bytes of a stream together to frames. */
export interface FrameSink {
  /**
   * What the bytes are piped to. Says `alive` when some have come, `finish` behind the last, and `error` with what looking
   * at a frame threw.
   */
  readonly stream: Writable;
  /** Whole frames so far. */
  frames(): number;
  /** Whether a part of a further frame has come. */
  isInside(): boolean;
  /** Takes nothing more; the samples of frames handed over may be overwritten from now on. */
  end(): void;
}

/**
 * A new sink for one run of ffmpeg, which hands over each frame as it is whole. Frames lie in the kernel's memory; where one
 * comes without its piece, an older piece stays in its place.
 */
export function frameSink(layout: FrameLayout, onFrame: (samples: Samples, index: number) => void): FrameSink {
  const kernel = pictureKernel();
  const rooms = Array.from({ length: framesKept }, () => {
    const bytes = kernel.lendFrame(layout.samplesPerFrame * layout.bytesPerSample);
    const whole = [bytes.buffer, bytes.byteOffset, layout.samplesPerFrame] as const;
    return { bytes, samples: layout.bytesPerSample === 1 ? bytes : new Uint16Array(...whole) };
  });
  const wholeBytes = layout.samplesPerFrame * layout.bytesPerSample;
  const smallBytes = pieceWidth * layout.smallHeight * layout.bytesPerSample;
  const sizeOf = (frame: number): number => (bringsPiece(layout, frame) ? wholeBytes : smallBytes);
  let size = sizeOf(0);
  let filled = 0;
  let frames = 0;
  const roomNow = (): (typeof rooms)[number] => rooms[frames % framesKept] as (typeof rooms)[number];
  /** Room for what is still to come of the next frame. */
  const space = (): Uint8Array => roomNow().bytes.subarray(filled, size);
  const took = (bytes: number): void => {
    filled += bytes;
    if (filled < size) return;
    filled = 0;
    onFrame(roomNow().samples, frames);
    frames += 1;
    size = sizeOf(frames);
  };
  const stream = new Writable({
    highWaterMark: 1024 * 1024,
    // fluent-ffmpeg takes a stream that closes 20 ms before the program has ended for a fault of the program.
    emitClose: false,
    write(chunk: Buffer, _encoding, done) {
      stream.emit("alive");
      try {
        for (let from = 0; from < chunk.length;) {
          const room = space();
          const part = chunk.subarray(from, from + room.length);
          room.set(part);
          from += part.length;
          took(part.length);
        }
        done();
      } catch (error) {
        done(error as Error);
      }
    },
  });
  let reader: Socket | undefined;
  const takeInPlace = (bytes: number): void => {
    stream.emit("alive");
    try {
      took(bytes);
    } catch (error) {
      reader?.destroy();
      stream.destroy(error as Error);
    }
  };
  stream.once("pipe", (source: Readable) => {
    reader = readInPlace(source, space, takeInPlace, () => stream.end());
  });
  const end = (): void => {
    reader?.destroy();
    stream.destroy();
    for (const { bytes } of rooms) kernel.giveBack(bytes);
  };
  return { stream, frames: () => frames, isInside: () => filled > 0, end };
}

/** What Node keeps of a pipe; not documented, so that nothing is taken for granted. */
interface WithHandle {
  _handle?: { readonly useUserBuffer?: unknown } | null;
}

/**
 * Reads a pipe of another program straight to where its bytes belong: `space` is asked before each read, `took` told after
 * it. By itself Node takes fresh memory for every read, a twentieth of what decoding costs. The documented way
 * (`onread`) is there for sockets that we make, so one is made of the pipe's handle. Undefined, with nothing done, when this
 * Node has none.
 */
function readInPlace(
  source: Readable,
  space: () => Uint8Array,
  took: (bytes: number) => void,
  ended: () => void,
): Socket | undefined {
  const owner = source as WithHandle;
  const handle = owner._handle;
  if (!(source instanceof Socket) || source.bytesRead > 0 || typeof handle?.useUserBuffer !== "function")
    return undefined;
  source.unpipe();
  owner._handle = null;
  const callback = (bytes: number): boolean => {
    took(bytes);
    return true;
  };
  const options = { handle, readable: true, writable: false, onread: { buffer: space, callback } };
  const reader = new Socket(options);
  reader.once("end", ended);
  // A pipe that breaks is told by the end of the program, as without this.
  reader.on("error", ended);
  reader.once("close", () => source.destroy());
  return reader;
}
