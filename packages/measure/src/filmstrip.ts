import { resolve } from "node:path";
import { PassThrough } from "node:stream";

/** Frames of a strip, evenly spread. */
export const stripFrames = 6;
/** Cells of the strip and size of the poster, in pixels; three cells across are half again as wide as the poster. */
const cell = { width: 256, height: 144 } as const;
const poster = { width: 512, height: 288 } as const;
/** The frame that is also the poster. */
const posterFrame = 2;
/** A clip whose key frames take longer than this goes without pictures. */
const mostMilliseconds = 30_000;
/** A strip is some 60 kB; past this something is wrong. */
const mostBytes = 2_000_000;

/** A poster and a filmstrip in one picture. */
export interface Filmstrip {
  /** A JPEG of 1280 by 288 pixels: the poster, then the frames row by row. */
  readonly jpeg: Buffer;
  /** Time of each frame asked for, in seconds; the key frame before it is shown. */
  readonly atSeconds: readonly number[];
}

const fit = ({ width, height }: { readonly width: number; readonly height: number }): string =>
  `setpts=PTS-STARTPTS,scale=${width}:${height}:force_original_aspect_ratio=decrease,setsar=1,pad=${width}:${height}:(ow-iw)/2:(oh-ih)/2`;

/**
 * A poster and six frames of a clip in one small picture, decoded from the key frames before six evenly spread times and
 * from nothing else. Gives a sentence instead when ffmpeg cannot. Throws only when the signal is aborted.
 */
export async function makeFilmstrip(
  ffmpegPath: string,
  path: string,
  durationSeconds: number,
  signal: AbortSignal,
): Promise<Filmstrip | { readonly fault: string }> {
  signal.throwIfAborted();
  const atSeconds = Array.from({ length: stripFrames }, (_, place) => ((place + 0.5) / stripFrames) * durationSeconds);
  const { default: ffmpeg } = await import("fluent-ffmpeg");
  signal.throwIfAborted();
  const source = `file:${resolve(path)}`;
  const command = ffmpeg({ stdoutLines: 20 });
  command.setFfmpegPath(ffmpegPath);
  for (const at of atSeconds) {
    command
      .input(source)
      .inputOptions([
        "-protocol_whitelist",
        "file,pipe",
        "-skip_frame",
        "nokey",
        "-noaccurate_seek",
        "-ss",
        at.toFixed(3),
      ]);
  }
  const cells = atSeconds.map((_, place) => `[${place === posterFrame ? "p" : `${place}:v:0`}]${fit(cell)}[c${place}]`);
  const graph = [
    `[${posterFrame}:v:0]split=2[p][q]`,
    ...cells,
    "[c0][c1][c2]hstack=inputs=3[top]",
    "[c3][c4][c5]hstack=inputs=3[low]",
    "[top][low]vstack[grid]",
    `[q]${fit(poster)}[poster]`,
    "[poster][grid]hstack[o]",
  ].join(";");
  const chunks: Buffer[] = [];
  let bytes = 0;
  return await new Promise((answer, reject) => {
    const sink = new PassThrough();
    let settled = false;
    const settle = (end: () => void): void => {
      if (settled) return;
      settled = true;
      clearTimeout(timer);
      signal.removeEventListener("abort", cancel);
      end();
    };
    const stop = (fault: string): void => {
      command.kill("SIGKILL");
      settle(() => answer({ fault }));
    };
    const cancel = (): void => {
      command.kill("SIGKILL");
      settle(() => reject(signal.reason as Error));
    };
    const timer = setTimeout(() => stop(`no pictures within ${mostMilliseconds / 1000} s`), mostMilliseconds);
    signal.addEventListener("abort", cancel, { once: true });
    sink.on("data", (chunk: Buffer) => {
      bytes += chunk.length;
      if (bytes > mostBytes) stop("pictures larger than 2 MB");
      else chunks.push(chunk);
    });
    command.on("error", () => settle(() => answer({ fault: "its key frames could not be decoded" })));
    sink.on("end", () => {
      const jpeg = Buffer.concat(chunks);
      // A JPEG starts and ends with its markers (ITU-T T.81, annex B); anything else is half a picture.
      const whole = jpeg.length > 4 && jpeg.readUInt16BE(0) === 0xffd8 && jpeg.readUInt16BE(jpeg.length - 2) === 0xffd9;
      settle(() => answer(whole ? { jpeg, atSeconds } : { fault: "its key frames could not be decoded" }));
    });
    command
      .outputOptions([
        "-v",
        "error",
        "-filter_complex",
        graph,
        "-map",
        "[o]",
        "-frames:v",
        "1",
        "-q:v",
        "5",
        "-pix_fmt",
        "yuvj420p",
      ])
      .outputOptions(["-c:v", "mjpeg", "-f", "image2pipe"])
      .output(sink, { end: true })
      .run();
  });
}
