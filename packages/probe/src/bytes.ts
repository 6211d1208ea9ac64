import { performance } from "node:perf_hooks";
import { openDescriptor } from "./descriptor.ts";

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

/** Buffers kept for the next file: an index or a block of telemetry fits, and a handful are in use at a time. */
const mostKeptBuffers = 16;
const mostKeptBytes = 4 * 1024 * 1024;
/** Smaller ones cost nothing to make. */
const leastKeptBytes = 64 * 1024;
const kept: ArrayBuffer[] = [];

/** A buffer for a read: one that was given back where it is large enough and not many times too large, else a new one. */
function bufferFor(bytes: number): Buffer {
  if (bytes >= leastKeptBytes) {
    // The one given back last is still near the processor.
    const place = kept.findLastIndex(({ byteLength }) => byteLength >= bytes && byteLength <= 8 * bytes);
    const [found] = place < 0 ? [] : kept.splice(place, 1);
    if (found !== undefined) return Buffer.from(found, 0, bytes);
    // Rounded up, so that the next clip's index, a little longer, fits as well.
    if (bytes <= mostKeptBytes) return Buffer.from(new ArrayBuffer(2 ** Math.ceil(Math.log2(bytes))), 0, bytes);
  }
  return Buffer.allocUnsafeSlow(bytes);
}

function giveBack(buffers: readonly Buffer[]): void {
  for (const { buffer } of buffers) {
    if (!(buffer instanceof ArrayBuffer) || buffer.byteLength < leastKeptBytes || buffer.byteLength > mostKeptBytes) {
      continue;
    }
    if (kept.length >= mostKeptBuffers) kept.shift();
    kept.push(buffer);
  }
}

/**
 * As `openCounted`, for a reader that keeps none of the bytes past `close`: their memory then serves the next file.
 * Memory made anew for every index of half a megabyte costs more than reading it.
 */
export const openReusing = (path: string): Promise<CountedFile> => openFile(path, true);

/** Opens a file once, read-only, without following a name into a pipe or device. Throws the system's error. */
export const openCounted = (path: string): Promise<CountedFile> => openFile(path, false);

async function openFile(path: string, reuses: boolean): Promise<CountedFile> {
  const file = await openDescriptor(path);
  try {
    const status = await file.stat();
    if (!status.isFile()) throw Object.assign(new Error("not a regular file"), { code: "ENOTFILE" });
    const cost: CountedFile["cost"] = { bytes: 0, calls: 0, milliseconds: 0 };
    const lent: Buffer[] = [];
    return {
      path,
      size: status.size,
      cost,
      async read(offset, length) {
        const wanted = Math.max(0, Math.min(length, status.size - offset));
        const buffer = reuses ? bufferFor(wanted) : Buffer.allocUnsafeSlow(wanted);
        if (reuses) lent.push(buffer);
        let filled = 0;
        const began = performance.now();
        try {
          while (filled < wanted) {
            const bytesRead = await file.read(buffer, filled, wanted - filled, offset + filled);
            cost.calls += 1;
            if (bytesRead === 0) throw Object.assign(new Error("the file ends early"), { code: "ESHORTER" });
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
        const now = await file.stat();
        return now.size === status.size && now.mtimeMs === status.mtimeMs;
      },
      async close() {
        // Closing waits for reads under way: only then is the memory free.
        await file.close();
        giveBack(lent.splice(0));
      },
    };
  } catch (error) {
    await file.close();
    throw error;
  }
}
