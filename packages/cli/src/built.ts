import { spawn, spawnSync, type SpawnSyncReturns } from "node:child_process";
import { createHash } from "node:crypto";
import { lstatSync, readdirSync, readFileSync, readlinkSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

/** The built program, for tests of what a user runs. */
export const builtProgram = fileURLToPath(new URL("../dist/goodgate.js", import.meta.url));

/** No cache: tests neither write to the home of whoever runs them nor take what another test read. */
const apart = { NO_COLOR: "1", GOODGATE_CACHE: "/dev/null/none" };

/** Runs the built program to its end. `before` is a command it is run by, such as `unshare -n`. */
export const goodgate = (
  args: readonly string[],
  options: { readonly before?: readonly string[]; readonly env?: NodeJS.ProcessEnv; readonly timeout?: number } = {},
): SpawnSyncReturns<string> => {
  const [command = "", ...rest] = [...(options.before ?? []), process.execPath, builtProgram, ...args];
  return spawnSync(command, rest, {
    encoding: "utf8",
    env: { ...process.env, ...apart, ...options.env },
    timeout: options.timeout ?? 120_000,
    maxBuffer: 256 * 1024 * 1024,
  });
};

/** Starts the built program and hands it over running. */
export const startGoodgate = (args: readonly string[], env: NodeJS.ProcessEnv = {}): ReturnType<typeof spawn> =>
  spawn(process.execPath, [builtProgram, ...args], {
    env: { ...process.env, ...apart, ...env },
    stdio: ["ignore", "pipe", "pipe"],
  });

/** Whether a command does here what the test needs; used to skip visibly. */
export const works = (command: string, ...args: readonly string[]): boolean =>
  spawnSync(command, args, { stdio: "ignore" }).status === 0;

/**
 * Every entry of a tree with all that can be seen of it without reading: mode, owner, links and times to the nanosecond.
 * Times of last access are taken of files alone: no program can list a folder without setting the folder's own.
 */
export function statuses(root: string): ReadonlyMap<string, string> {
  return seen(root, (path) => {
    const status = lstatSync(path, { bigint: true });
    const { mode, uid, gid, nlink, ino, size, mtimeNs, ctimeNs, atimeNs } = status;
    const access = status.isFile() ? atimeNs : "";
    return [mode, uid, gid, nlink, ino, status.isDirectory() ? "" : size, mtimeNs, ctimeNs, access]
      .map(String)
      .join(" ");
  });
}

/** Every entry of a tree with its bytes as a hash. */
export const contents = (root: string): ReadonlyMap<string, string> =>
  seen(root, (path) => {
    const status = lstatSync(path);
    if (status.isSymbolicLink()) return readlinkSync(path);
    return status.isFile() ? createHash("sha256").update(readFileSync(path)).digest("hex") : "";
  });

function seen(root: string, look: (path: string) => string): ReadonlyMap<string, string> {
  const all = new Map<string, string>();
  const visit = (path: string): void => {
    all.set(path, look(path));
    if (lstatSync(path).isDirectory()) for (const name of readdirSync(path).sort()) visit(join(path, name));
  };
  visit(root);
  return all;
}
