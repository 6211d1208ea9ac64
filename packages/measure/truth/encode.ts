import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, renameSync } from "node:fs";
import { join } from "node:path";

/** How pictures are written: `none` is lossless; the rest are camera-like, in bits per pixel of every frame. */
export interface Recording {
  readonly codec: "h264" | "hevc" | "none";
  readonly bitsPerPixel: number;
  readonly frameRate: string;
  readonly width: number;
  readonly height: number;
  readonly bitDepth?: number;
  readonly fullRange?: boolean;
  /** Options of the encoder beside bit rate and key frames, instead of the quick ones of the tests. */
  readonly encoderOptions?: readonly string[];
}

/**
 * Writes luma pictures to a clip and returns its path; made once for each `key` and kept. Throws when the encoder
 * fails. `encoder` is an ffmpeg with libx264 and libx265.
 */
export async function record(
  encoder: string,
  folder: string,
  key: string,
  pictures: () => Iterable<Uint8Array | Uint16Array>,
  how: Recording,
): Promise<string> {
  mkdirSync(folder, { recursive: true });
  const hash = createHash("sha256")
    .update(JSON.stringify([key, how]))
    .digest("hex")
    .slice(0, 16);
  const path = join(folder, `${hash}${how.codec === "none" ? ".mkv" : ".mp4"}`);
  if (existsSync(path)) return path;
  const part = path.replace(/\.(\w+)$/, `-${process.pid}.part.$1`);
  const depth = how.bitDepth ?? 8;
  const format = depth === 8 ? "yuv420p" : "yuv420p10le";
  const child = spawn(
    encoder,
    ["-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", format, "-s", `${how.width}x${how.height}`].concat(
      ["-r", how.frameRate, "-i", "pipe:0"],
      codecOptions(how),
      ["-pix_fmt", format, "-color_range", how.fullRange === true ? "pc" : "tv", part],
    ),
    { stdio: ["pipe", "ignore", "pipe"] },
  );
  let says = "";
  child.stderr.on("data", (bytes: Buffer) => (says += bytes.toString()));
  const ended = new Promise<number | null>((done, failed) => child.on("close", done).on("error", failed));
  child.stdin.on("error", () => undefined);
  const chroma = neutralChroma(how.width, how.height, depth);
  for (const picture of pictures()) {
    for (const plane of [picture, chroma]) {
      const bytes = Buffer.from(plane.buffer, plane.byteOffset, plane.byteLength);
      if (!child.stdin.write(bytes)) await new Promise<void>((go) => child.stdin.once("drain", go));
    }
  }
  child.stdin.end();
  if ((await ended) !== 0) throw new Error(`${encoder}: ${says}`);
  renameSync(part, path);
  return path;
}

function neutralChroma(width: number, height: number, depth: number): Uint8Array | Uint16Array {
  const size = 2 * Math.ceil(width / 2) * Math.ceil(height / 2);
  return depth === 8 ? new Uint8Array(size).fill(128) : new Uint16Array(size).fill(512);
}

/** A key frame each second, one pass, bounded peaks: what a camera's encoder does. */
function codecOptions(how: Recording): readonly string[] {
  const bits = Math.round(how.width * how.height * how.bitsPerPixel * rateOf(how.frameRate));
  const rate = ["-b:v", `${bits}`, "-maxrate", `${bits}`, "-bufsize", `${bits}`];
  const gop = `${Math.round(rateOf(how.frameRate))}`;
  switch (how.codec) {
    case "none":
      return ["-c:v", "ffv1", "-g", "1"];
    case "h264":
      return ["-c:v", "libx264", "-g", gop, ...(how.encoderOptions ?? ["-preset", "superfast", "-bf", "0"]), ...rate];
    case "hevc":
      return ["-c:v", "libx265", ...(how.encoderOptions ?? ["-preset", "ultrafast"]), "-x265-params"].concat(
        [`log-level=none:keyint=${gop}`],
        rate,
      );
  }
}

function rateOf(text: string): number {
  const [over, under] = text.split("/").map(Number);
  return (over ?? 25) / (under ?? 1);
}
