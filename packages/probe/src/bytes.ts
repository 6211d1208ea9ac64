import { constants } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { performance } from "node:perf_hooks";

/** A file opened for reading only, that counts what is read from it. Missing bytes past the end are simply not returned. */
export interface CountedFile {
  /** Path on this machine; never printed in reports. */
  readonly path: string;
  readonly size: number;
  readonly cost: { bytes: number; calls: number; milliseconds: number; failures?: number };
  /** Up to `length` bytes from `offset`; shorter at the end of the file. Throws the system's error when the read fails. */
  read(offset: number, length: number): Promise<Uint8Array>;
  /** Whether the file still has the size and the time of last write it was opened with; left out where bytes cannot change. */
  unchanged?(): Promise<boolean>;
  close(): Promise<void>;
}

const readOnly = constants.O_RDONLY | (constants.O_NONBLOCK ?? 0);
const quiet = readOnly | (constants.O_NOATIME ?? 0);

/**
 * Opens a file for reading alone and, where the system lets us, without leaving a time of last access: that would be a
 * write to the card. O_NONBLOCK keeps a pipe or a device node from hanging the open. Throws the system's error.
 */
export async function openQuietly(path: string): Promise<FileHandle> {
  try {
    return await open(path, quiet);
  } catch (error) {
    // Only a file's owner may ask for O_NOATIME (open(2)); some file systems do not know it.
    const code = (error as { readonly code?: unknown }).code;
    if (quiet === readOnly || (code !== "EPERM" && code !== "EINVAL")) throw error;
    return await open(path, readOnly);
  }
}

/** Opens a file once, read-only, without following a name into a pipe or device. Throws the system's error. */
export async function openCounted(path: string): Promise<CountedFile> {
  const handle = await openQuietly(path);
  try {
    const status = await handle.stat();
    if (!status.isFile()) throw Object.assign(new Error("not a regular file"), { code: "ENOTFILE" });
    const cost: CountedFile["cost"] = { bytes: 0, calls: 0, milliseconds: 0 };
    return {
      path,
      size: status.size,
      cost,
      async read(offset, length) {
        const wanted = Math.max(0, Math.min(length, status.size - offset));
        const buffer = Buffer.allocUnsafeSlow(wanted);
        let filled = 0;
        const began = performance.now();
        try {
          while (filled < wanted) {
            const { bytesRead } = await handle.read(buffer, filled, wanted - filled, offset + filled);
            cost.calls += 1;
            if (bytesRead === 0) break;
            filled += bytesRead;
          }
        } catch (error) {
          cost.failures = (cost.failures ?? 0) + 1;
          throw error;
        } finally {
          cost.bytes += filled;
          cost.milliseconds += performance.now() - began;
        }
        return filled === wanted ? buffer : buffer.subarray(0, filled);
      },
      async unchanged() {
        const now = await handle.stat();
        return now.size === status.size && now.mtimeMs === status.mtimeMs;
      },
      close: () => handle.close(),
    };
  } catch (error) {
    await handle.close();
    throw error;
  }
}
