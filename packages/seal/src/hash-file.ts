import { createHash } from "node:crypto";
import { openQuietly } from "./walk-files.ts";

/** Bytes read at once: large enough that a card reader streams, small enough that two of them stay in the cache. */
export const chunkBytes = 2 * 1024 * 1024;

/** What one pass over a file gives. */
export interface HashedFile {
  /** SHA-256 in lower-case hexadecimal. */
  readonly sha256: string;
  readonly bytes: number;
}

/** Where the bytes of a pass also go; each call must be done with the chunk before it resolves. */
export type ChunkSink = (chunk: Uint8Array) => Promise<void>;

/**
 * Reads a file once, start to end, hashing and handing each chunk to `sink`. While one chunk is hashed the next is
 * read. Throws the system's error, or an Error when the file changed its length meanwhile.
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
    const hash = createHash("sha256");
    const size = Math.max(1, Math.min(chunkBytes, before.size));
    const buffers = [Buffer.allocUnsafe(size), Buffer.allocUnsafe(size)] as const;
    let bytes = 0;
    let turn = 0;
    let reading = handle.read(buffers[0], 0, size, 0);
    // A rejected read-ahead is reported at the next turn; without this it would count as unhandled meanwhile.
    reading.catch(() => {});
    for (;;) {
      signal.throwIfAborted();
      const { bytesRead } = await reading;
      if (bytesRead === 0) break;
      const chunk = buffers[turn % 2 === 0 ? 0 : 1].subarray(0, bytesRead);
      bytes += bytesRead;
      turn += 1;
      reading = handle.read(buffers[turn % 2 === 0 ? 0 : 1], 0, size, bytes);
      reading.catch(() => {});
      const written = sink?.(chunk);
      hash.update(chunk);
      if (written !== undefined) await written;
      onBytes?.(bytesRead);
    }
    const after = await handle.stat();
    if (bytes !== before.size || after.size !== before.size || after.mtimeMs !== before.mtimeMs) {
      throw new Error("changed while it was read");
    }
    return { sha256: hash.digest("hex"), bytes };
  } finally {
    await handle.close();
  }
}
