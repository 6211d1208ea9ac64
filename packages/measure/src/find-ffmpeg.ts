import { execFile } from "node:child_process";
import { stat } from "node:fs/promises";
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
 * The ffmpeg to use: the one FFMPEG_PATH names, else the first on PATH that runs; undefined when there is none. When
 * FFMPEG_PATH is set and does not run, there is none: a stated program is never silently replaced. Never throws.
 */
export async function findFfmpeg(environment: NodeJS.ProcessEnv = process.env): Promise<FfmpegProgram | undefined> {
  const setting = environment["FFMPEG_PATH"];
  if (setting !== undefined && setting !== "") return await usable(setting, "FFMPEG_PATH");
  const name = process.platform === "win32" ? "ffmpeg.exe" : "ffmpeg";
  const folders = (environment["PATH"] ?? "").split(delimiter).slice(0, mostPathFolders);
  for (const folder of new Set(folders)) {
    // A relative place in PATH would run whatever lies in the card's folder.
    if (!isAbsolute(folder)) continue;
    const program = await usable(join(folder, name), "PATH");
    if (program !== undefined) return program;
  }
  return undefined;
}

async function usable(path: string, from: FfmpegProgram["from"]): Promise<FfmpegProgram | undefined> {
  try {
    if (!(await stat(path)).isFile()) return undefined;
  } catch {
    return undefined;
  }
  return await new Promise((answer) => {
    execFile(path, ["-version"], { timeout: mostVersionMilliseconds, windowsHide: true }, (error, out) => {
      const version = /^ffmpeg version (\S+)/.exec(out)?.[1];
      answer(error !== null || version === undefined ? undefined : { path, version, from });
    });
  });
}
