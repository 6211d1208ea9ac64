// Not run by itself: the files of the project, for the checks beside this file.
import { spawnSync } from "node:child_process";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";

/** Folder of the project. */
export const projectFolder = resolve(import.meta.dirname, "..");

/** Folders that are made, not written. */
const made = new Set([".git", "node_modules", "dist", "types", ".cache", "demo-card", "demo-report"]);

/** Paths of all files of the project, with forward slashes: those git tracks, or all when there is no git. */
export function projectFiles(): readonly string[] {
  const git = existsSync(join(projectFolder, ".git"))
    ? spawnSync("git", ["ls-files", "-z"], { cwd: projectFolder, encoding: "utf8", maxBuffer: 1 << 26 })
    : undefined;
  const listed = git?.status === 0 ? git.stdout.split("\0") : [...walk("")];
  // A file somebody has just removed may still be listed.
  return listed.filter((path) => path !== "" && existsSync(join(projectFolder, path)));
}

function* walk(folder: string): Generator<string> {
  for (const entry of readdirSync(join(projectFolder, folder), { withFileTypes: true })) {
    const path = folder === "" ? entry.name : `${folder}/${entry.name}`;
    if (entry.isDirectory() && !made.has(entry.name)) yield* walk(path);
    else if (entry.isFile()) yield path;
  }
}

/** The bytes of a file of the project. */
export const projectBytes = (path: string): Buffer => readFileSync(join(projectFolder, path));

/** The text of a file of the project. */
export const projectText = (path: string): string => projectBytes(path).toString("utf8");

/** Whether bytes are of a file that is not text. */
export const isBinary = (bytes: Buffer): boolean => bytes.includes(0);
