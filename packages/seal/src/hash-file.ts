import { createHash } from "node:crypto";
import type { FileHandle } from "node:fs/promises";
import { openQuietly } from "./walk-files.ts";

/** Bytes read at once: large enough that a card reader streams, small enough that two of them stay in the cache. */
export const chunkBytes = 1024 * 1024;

/** What one pass over a file gives. */
export interface HashedFile {
  /** SHA-256 in lower-case hexadecimal. */
  readonly sha256: string;
  readonly bytes: number;
}

/** Where the bytes of a pass also go; each call must be done with the chunk before it resolves. */
export type ChunkSink = (chunk: Uint8Array) => Promise<void>;

/**
 * Reads a file once, start to end, hashing and handing each chunk to `sink`. Throws the system's error, or an Error when
 * the file changed its length or time meanwhile.
 */
export async function hashFile(
  path: string | Buffer,
  signal: AbortSignal,
  onBytes?: (bytes: number) => void,
  sink?: ChunkSink,
): Promise<HashedFile> {
  const handle = await openQuietly(path);
  try {
    const before = await handle.stat();
    if (!before.isFile()) throw new Error("not a regular file");
    const hashed = await hashBytes(handle, signal, onBytes, sink);
    const after = await handle.stat();
    if (hashed.bytes !== before.size || after.size !== before.size || after.mtimeMs !== before.mtimeMs) {
      throw new Error("changed while it was read");
    }
    return hashed;
  } finally {
    await handle.close();
  }
}

/**
 * Hashes a copy that was just written. Its time is not looked at: some file systems set it only when the copy is synced,
 * which goes on meanwhile. Throws the system's error.
 */
export async function readBack(
  path: Buffer,
  signal: AbortSignal,
  onBytes?: (bytes: number) => void,
): Promise<HashedFile> {
  const handle = await openQuietly(path);
  try {
    return await hashBytes(handle, signal, onBytes);
  } finally {
    await handle.close();
  }
}

/** While one chunk is hashed the next is read and this one is written. */
async function hashBytes(
  handle: FileHandle,
  signal: AbortSignal,
  onBytes?: (bytes: number) => void,
  sink?: ChunkSink,
): Promise<HashedFile> {
  const hash = createHash("sha256");
  const buffers = [takeBuffer(), takeBuffer()] as const;
  let bytes = 0;
  let turn = 0;
  let reading = handle.read(buffers[0], 0, chunkBytes, 0);
  // A rejected read-ahead is reported at the next turn; without this it would count as unhandled meanwhile.
  reading.catch(() => {});
  for (;;) {
    signal.throwIfAborted();
    const { bytesRead } = await reading;
    if (bytesRead === 0) break;
    const chunk = buffers[turn % 2 === 0 ? 0 : 1].subarray(0, bytesRead);
    bytes += bytesRead;
    turn += 1;
    reading = handle.read(buffers[turn % 2 === 0 ? 0 : 1], 0, chunkBytes, bytes);
    reading.catch(() => {});
    const written = sink?.(chunk);
    hash.update(chunk);
    if (written !== undefined) await written;
    onBytes?.(bytesRead);
  }
  // Only here: after a fault a read may still be under way into one of them.
  spareBuffers.push(...buffers);
  return { sha256: hash.digest("hex"), bytes };
}

/** Buffers between two passes: memory that is new to the process costs the system more than the bytes that go through. */
const spareBuffers: Buffer[] = [];
const takeBuffer = (): Buffer => spareBuffers.pop() ?? Buffer.allocUnsafeSlow(chunkBytes);
