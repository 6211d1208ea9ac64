import { constants } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { performance } from "node:perf_hooks";

/** A file opened for reading only, that counts what is read from it. Missing bytes past the end are simply not returned. */
export interface CountedFile {
  /** Path on this machine; never printed in reports. */
  readonly path: string;
  readonly size: number;
  readonly cost: { bytes: number; calls: number; milliseconds: number };
  /** Up to `length` bytes from `offset`; shorter at the end of the file. Throws the system's error when the read fails. */
  read(offset: number, length: number): Promise<Uint8Array>;
  close(): Promise<void>;
}

/** Opens a file once, read-only, without following a name into a pipe or device. Throws the system's error. */
export async function openCounted(path: string): Promise<CountedFile> {
  // O_NONBLOCK keeps a pipe or a device node from hanging the open; O_NOATIME is not allowed for everybody, so it is not used.
  const handle: FileHandle = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const status = await handle.stat();
    if (!status.isFile()) throw Object.assign(new Error("not a regular file"), { code: "ENOTFILE" });
    const cost = { bytes: 0, calls: 0, milliseconds: 0 };
    return {
      path,
      size: status.size,
      cost,
      async read(offset, length) {
        const wanted = Math.max(0, Math.min(length, status.size - offset));
        const buffer = Buffer.allocUnsafeSlow(wanted);
        let filled = 0;
        const began = performance.now();
        while (filled < wanted) {
          const { bytesRead } = await handle.read(buffer, filled, wanted - filled, offset + filled);
          cost.calls += 1;
          if (bytesRead === 0) break;
          filled += bytesRead;
        }
        cost.bytes += filled;
        cost.milliseconds += performance.now() - began;
        return filled === wanted ? buffer : buffer.subarray(0, filled);
      },
      close: () => handle.close(),
    };
  } catch (error) {
    await handle.close();
    throw error;
  }
}
