import { execFile } from "node:child_process";
import { constants } from "node:fs";
import { access, stat } from "node:fs/promises";
import { delimiter, isAbsolute, join } from "node:path";

/** An ffmpeg that answered when asked for its version. */
export interface FfmpegProgram {
  readonly path: string;
  /** `5.1.9`, or the build's own word. */
  readonly version: string;
  readonly from: "FFMPEG_PATH" | "PATH";
}

/** A program that does not tell its version within this time is not used. */
const mostVersionMilliseconds = 20_000;
/** Places of PATH that are tried; a PATH longer than this is a mistake. */
const mostPathFolders = 256;

/**
 * The ffmpeg that would be asked first, by its place alone: a tenth of a second of starting it is saved, because the
 * decode tells its version anyway. When that turns out to be no ffmpeg, `findFfmpeg` looks on. Never throws.
 */
export async function likelyFfmpeg(environment: NodeJS.ProcessEnv = process.env): Promise<string | undefined> {
  for (const path of candidates(environment).paths) {
    try {
      await access(path, constants.X_OK);
      if ((await stat(path)).isFile()) return path;
    } catch {
      // The next place of PATH is tried.
    }
  }
  return undefined;
}

/** The version in a line that ffmpeg prints of itself; undefined for any other line. */
export const versionIn = (line: string): string | undefined => /(?:^|\] )ffmpeg version (\S{1,80})/.exec(line)?.[1];

/**
 * The ffmpeg to use: the one FFMPEG_PATH names, else the first on PATH that runs; undefined when there is none. When
 * FFMPEG_PATH is set and does not run, there is none: a stated program is never silently replaced. Never throws.
 */
export async function findFfmpeg(environment: NodeJS.ProcessEnv = process.env): Promise<FfmpegProgram | undefined> {
  const { paths, from } = candidates(environment);
  for (const path of paths) {
    const program = await usable(path, from);
    if (program !== undefined) return program;
  }
  return undefined;
}

/** Places that are tried in turn. */
function candidates(
  environment: NodeJS.ProcessEnv,
): Pick<FfmpegProgram, "from"> & { readonly paths: readonly string[] } {
  const setting = environment["FFMPEG_PATH"];
  if (setting !== undefined && setting !== "") return { paths: [setting], from: "FFMPEG_PATH" };
  const name = process.platform === "win32" ? "ffmpeg.exe" : "ffmpeg";
  const folders = (environment["PATH"] ?? "").split(delimiter).slice(0, mostPathFolders);
  // A relative place in PATH would run whatever lies in the card's folder.
  return { paths: [...new Set(folders)].filter(isAbsolute).map((folder) => join(folder, name)), from: "PATH" };
}

async function usable(path: string, from: FfmpegProgram["from"]): Promise<FfmpegProgram | undefined> {
  try {
    if (!(await stat(path)).isFile()) return undefined;
  } catch {
    return undefined;
  }
  return await new Promise((answer) => {
    execFile(path, ["-version"], { timeout: mostVersionMilliseconds, windowsHide: true }, (error, out) => {
      const version = versionIn(out);
      answer(error !== null || version === undefined ? undefined : { path, version, from });
    });
  });
}
