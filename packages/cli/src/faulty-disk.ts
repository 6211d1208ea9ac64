import blocking from "node:fs";
import fs, { type FileHandle } from "node:fs/promises";
import { syncBuiltinESMExports } from "node:module";

/** What goes wrong on a disk, from which call on, and what is hit. */
export interface Fault {
  /** Number of the call, counted from 0 over all calls that touch the folder. */
  readonly at: number;
  /**
   * `pulled`: that call and all after it fail; `once`: that call alone; `short`: from that call on reads end early;
   * `then`: something is done to the files before that call.
   */
  readonly kind: "pulled" | "once" | "short" | "then";
  readonly code?: string;
  readonly change?: () => void;
}

/** Calls that are watched: everything the readers ask of a card. */
const calls = ["open", "opendir", "lstat", "stat", "realpath", "statfs"] as const;
/** The same calls where a quick medium is asked at once. */
const callsAtOnce = ["openSync", "readSync", "fstatSync", "closeSync"] as const;

/**
 * Runs `work` with a fault in every call on paths below `folder`, and counts them. Only the system's own functions are
 * replaced, so that all of goodgate runs as it is.
 */
export async function withFault<T>(
  folder: string,
  fault: Fault | undefined,
  work: () => Promise<T>,
): Promise<{ readonly result: T; readonly calls: number }> {
  let count = 0;
  const failing = (): boolean => {
    const number = count;
    count += 1;
    if (fault === undefined) return false;
    if (fault.kind === "then") {
      if (number === fault.at) fault.change?.();
      return false;
    }
    return fault.kind === "once" ? number === fault.at : fault.kind === "pulled" && number >= fault.at;
  };
  const refuse = (): never => {
    throw Object.assign(new Error("fault on purpose"), { code: fault?.code ?? "EIO" });
  };
  const faulty = fs as unknown as Record<string, (...args: unknown[]) => Promise<unknown>>;
  const kept = calls.map((name) => [name, faulty[name]] as const);
  for (const [name, original] of kept) {
    if (original === undefined) continue;
    faulty[name] = async (...args: unknown[]) => {
      if (!String(args[0]).startsWith(folder)) return await original(...args);
      if (failing()) refuse();
      const result = await original(...args);
      return name === "open" ? watched(result as FileHandle) : result;
    };
  }
  const watched = (handle: FileHandle): FileHandle => {
    const read = handle.read.bind(handle) as (...args: unknown[]) => Promise<{ bytesRead: number }>;
    const status = handle.stat.bind(handle) as (...args: unknown[]) => Promise<unknown>;
    return Object.assign(handle, {
      read: async (...args: unknown[]) => {
        if (failing()) refuse();
        const got = await read(...args);
        return fault?.kind === "short" && count > fault.at ? { ...got, bytesRead: 0 } : got;
      },
      stat: async (...args: unknown[]) => {
        if (failing()) refuse();
        return await status(...args);
      },
    });
  };
  const atOnce = blocking as unknown as Record<string, (...args: unknown[]) => unknown>;
  const keptAtOnce = callsAtOnce.map((name) => [name, atOnce[name] as (...args: unknown[]) => unknown] as const);
  const open = new Set<unknown>();
  for (const [name, original] of keptAtOnce) {
    atOnce[name] = (...args: unknown[]) => {
      const ours = name === "openSync" ? String(args[0]).startsWith(folder) : open.has(args[0]);
      if (!ours) return original(...args);
      if (name === "closeSync") open.delete(args[0]);
      else if (failing()) refuse();
      const result = original(...args);
      if (name === "openSync") open.add(result);
      return name === "readSync" && fault?.kind === "short" && count > fault.at ? 0 : result;
    };
  }
  syncBuiltinESMExports();
  try {
    return { result: await work(), calls: count };
  } finally {
    for (const [name, original] of kept) if (original !== undefined) faulty[name] = original;
    for (const [name, original] of keptAtOnce) atOnce[name] = original;
    syncBuiltinESMExports();
  }
}
