import { execFile } from "node:child_process";
import { constants } from "node:fs";
import { access, chmod, stat } from "node:fs/promises";
import { delimiter, isAbsolute, join } from "node:path";
import type { FfprobeProgram } from "../contracts.ts";

/** A program that does not tell its version within this time is not used. */
export const mostVersionMilliseconds = 5_000;
/** Places of PATH that are tried; a PATH longer than this is a mistake. */
export const mostPathFolders = 256;
/** Below this, field order is missing on MP4 and edit lists are ignored (seen with 4.0.2 beside 5.1). */
export const oldestTrusted = { major: 5, minor: 0 };

/** A usable ffprobe with a sentence of warning when it is old. */
export interface FoundFfprobe extends FfprobeProgram {
  readonly warning?: string;
}

const found = new Map<string, Promise<FoundFfprobe | undefined>>();

/**
 * The ffprobe to ask: the one named by FFPROBE_PATH, else the newest on PATH that runs, else the bundled one. A program
 * that does not start or does not tell its version is passed over. Kept for the process. Never throws.
 */
export async function findFfprobe(environment: NodeJS.ProcessEnv = process.env): Promise<FoundFfprobe | undefined> {
  const key = `${environment["FFPROBE_PATH"] ?? ""}\n${environment["PATH"] ?? ""}`;
  const known = found.get(key) ?? search(environment);
  found.set(key, known);
  return await known;
}

async function search(environment: NodeJS.ProcessEnv): Promise<FoundFfprobe | undefined> {
  const setting = environment["FFPROBE_PATH"];
  if (setting !== undefined && setting !== "") {
    const program = await usable(setting, "setting");
    if (program !== undefined) return program;
  }
  const name = process.platform === "win32" ? "ffprobe.exe" : "ffprobe";
  const folders = (environment["PATH"] ?? "").split(delimiter).slice(0, mostPathFolders);
  let newest: FoundFfprobe | undefined;
  for (const folder of new Set(folders)) {
    // A relative place in PATH would run whatever lies in the card's folder.
    if (!isAbsolute(folder)) continue;
    const program = await usable(join(folder, name), "PATH");
    if (program !== undefined && (newest === undefined || isNewer(program, newest))) newest = program;
  }
  if (newest !== undefined) return newest;
  try {
    const { default: bundled } = await import("ffprobe-static");
    // Some package stores drop the executable bit; a read-only tree is no reason to fail before trying.
    await access(bundled.path, constants.X_OK).catch(() => chmod(bundled.path, 0o755).catch(() => undefined));
    return await usable(bundled.path, "bundled");
  } catch {
    return undefined;
  }
}

async function usable(path: string, from: string): Promise<FoundFfprobe | undefined> {
  try {
    if (!(await stat(path)).isFile()) return undefined;
  } catch {
    return undefined;
  }
  const version = await new Promise<string | undefined>((answer) => {
    const options = { timeout: mostVersionMilliseconds, killSignal: "SIGKILL", maxBuffer: 64 * 1024 } as const;
    execFile(path, ["-version"], { ...options, windowsHide: true }, (error, text) => {
      answer(error === null ? parseVersion(text) : undefined);
    });
  });
  if (version === undefined) return undefined;
  const { major, minor } = versionNumber(version);
  const old =
    major !== undefined &&
    (major < oldestTrusted.major || (major === oldestTrusted.major && minor < oldestTrusted.minor));
  const warning = `ffprobe ${version} is older than ${oldestTrusted.major}.${oldestTrusted.minor}: field order and edit lists may be missing`;
  return { path, version, from, ...(old ? { warning } : {}) };
}

/** The version in the first line of `ffprobe -version`, cut before the packager's suffix: `5.1.9`, `N-109876-g1a2b`. */
export function parseVersion(text: string): string | undefined {
  const match = /^ffprobe version (\S{1,80})/.exec(text);
  if (match?.[1] === undefined) return undefined;
  return /^n?(\d+(?:\.\d+){0,3})/.exec(match[1])?.[1] ?? match[1];
}

function versionNumber(version: string): { readonly major: number | undefined; readonly minor: number } {
  const match = /^(\d+)(?:\.(\d+))?/.exec(version);
  // A build from between releases carries no number; it is newer than what the packages of its time held.
  return { major: match?.[1] === undefined ? undefined : Number(match[1]), minor: Number(match?.[2] ?? 0) };
}

function isNewer(a: FfprobeProgram, b: FfprobeProgram): boolean {
  const [left, right] = [versionNumber(a.version), versionNumber(b.version)];
  if (left.major === undefined || right.major === undefined) return left.major !== undefined;
  return left.major !== right.major ? left.major > right.major : left.minor > right.minor;
}
