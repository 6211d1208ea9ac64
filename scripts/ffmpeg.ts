// Finds and runs the encoder that makes the demo card and the sample files. The audit itself needs no encoder.
import { execFile } from "node:child_process";
import { createRequire } from "node:module";

/** An ffmpeg that answered when asked for its version. */
export interface Encoder {
  readonly path: string;
  /** Where it was found. */
  readonly origin: "FFMPEG_PATH" | "the package @ffmpeg-installer/ffmpeg" | "PATH";
  /** First line it prints about itself. */
  readonly version: string;
}

/** Longest one encode may take: the slowest takes 3 s on two free cores, a loaded machine gets forty times that. */
const encodeMilliseconds = 120_000;
/** Text kept of one run; at `-v error` a healthy run prints nothing. */
const outputBytes = 1024 * 1024;

/**
 * The encoder to use: FFMPEG_PATH when set, else the build that the packages ship, else the one on PATH. Throws when
 * FFMPEG_PATH names nothing that runs, or when there is none at all.
 */
export async function findEncoder(): Promise<Encoder> {
  const stated = process.env.FFMPEG_PATH;
  if (stated !== undefined && stated !== "") {
    const version = await versionOf(stated);
    if (version === undefined) throw new Error(`FFMPEG_PATH is ${stated}, which does not run`);
    return { path: stated, origin: "FFMPEG_PATH", version };
  }
  const shipped = shippedPath();
  if (shipped !== undefined) {
    const version = await versionOf(shipped);
    if (version !== undefined) return { path: shipped, origin: "the package @ffmpeg-installer/ffmpeg", version };
  }
  const version = await versionOf("ffmpeg");
  if (version !== undefined) return { path: "ffmpeg", origin: "PATH", version };
  throw new Error("no ffmpeg found: set FFMPEG_PATH, or install the packages for this platform");
}

/**
 * Has the C library keep the memory of pictures between frames instead of giving it back each time; without these
 * nearly half of the encoding time goes into fresh pages (measured: 1.5 s against 0.8 s for 100 frames). Other systems
 * ignore them.
 */
const keptMemory = {
  MALLOC_MMAP_THRESHOLD_: "1000000000",
  MALLOC_TRIM_THRESHOLD_: "4000000000",
  MALLOC_TOP_PAD_: "400000000",
};

/** Runs the encoder, overwriting its output. Throws with the last lines it printed when it fails or takes too long. */
export function encode(encoder: Encoder, args: readonly string[]): Promise<void> {
  const all = ["-v", "error", "-nostdin", "-y", ...args];
  return new Promise((done, failed) => {
    const env = { ...process.env, ...keptMemory };
    const options = { timeout: encodeMilliseconds, maxBuffer: outputBytes, windowsHide: true, env };
    execFile(encoder.path, all, options, (error, _out, says) => {
      if (error === null) return done();
      failed(new Error(`${encoder.path} ${all.join(" ")}\n${says.trim().split("\n").slice(-6).join("\n")}`));
    });
  });
}

function versionOf(path: string): Promise<string | undefined> {
  return new Promise((done) => {
    execFile(path, ["-version"], { timeout: 20_000, windowsHide: true }, (error, out) => {
      done(error === null ? out.split("\n")[0] : undefined);
    });
  });
}

/** The package throws on a platform it has no build for. */
function shippedPath(): string | undefined {
  try {
    const shipped: unknown = createRequire(import.meta.url)("@ffmpeg-installer/ffmpeg");
    return typeof shipped === "object" && shipped !== null && "path" in shipped ? String(shipped.path) : undefined;
  } catch {
    return undefined;
  }
}
