import { constants } from "node:fs";
import { type FileHandle, link, lstat, open, rename, unlink, utimes } from "node:fs/promises";
import { codeOf } from "./words-of.ts";

/**
 * Bytes written before the disk is told to begin with them. A quick disk needs no such word, and 64 MB apart it cost a
 * tenth of a copy's time; without any, a slow one may stand idle until the system's memory for it is full.
 */
const syncStepBytes = 256 * 1024 * 1024;

/** Bytes of one write: larger ones cost Linux up to ten times the processor time, where memory is short of large pieces. */
const mostWriteBytes = 256 * 1024;

/** A copy in the making: it stands under a name of its own until it is on the disk and was read back. */
export class PartialFile {
  readonly place: Buffer;
  readonly #handle: FileHandle;
  #unsynced = 0;
  #syncing: Promise<void> | undefined;
  #fault: unknown;

  private constructor(place: Buffer, handle: FileHandle) {
    this.place = place;
    this.#handle = handle;
  }

  /** What went wrong with a write or a sync; undefined while nothing did. */
  get fault(): unknown {
    return this.#fault;
  }

  /** Begins a copy where nothing may be yet. Throws the system's error. */
  static async begin(place: Buffer): Promise<PartialFile> {
    const flags = constants.O_WRONLY | constants.O_CREAT | constants.O_EXCL;
    return new PartialFile(place, await open(place as unknown as string, flags, 0o644));
  }

  /** Adds a chunk. Never throws: a fault is told by `sync`, and what comes after it is not written. */
  async write(chunk: Uint8Array): Promise<void> {
    try {
      let at = 0;
      while (at < chunk.length && this.#fault === undefined) {
        at += (await this.#handle.write(chunk, at, Math.min(mostWriteBytes, chunk.length - at))).bytesWritten;
      }
    } catch (error) {
      this.#fault ??= error;
    }
    this.#unsynced += chunk.length;
    if (this.#unsynced < syncStepBytes || this.#syncing !== undefined) return;
    this.#unsynced = 0;
    // The system tells a fault of the disk once: it must not be lost because the sync was an early one.
    this.#syncing = this.#handle
      .datasync()
      .catch((error: unknown) => {
        this.#fault ??= error;
      })
      .finally(() => {
        this.#syncing = undefined;
      });
  }

  /** Waits until all of it is on the disk. Throws the first fault of any write or sync. */
  async sync(): Promise<void> {
    await this.#syncing;
    if (this.#fault !== undefined) throw this.#fault;
    await this.#handle.sync();
  }

  /** Ends the writing; after it nothing is open. */
  async close(): Promise<void> {
    await this.#syncing;
    await this.#handle.close();
  }

  /** Gives a closed copy its time and its name. A link fails where a rename would overwrite what appeared meanwhile. */
  async putInPlace(final: Buffer, modifiedMilliseconds: number): Promise<void> {
    await utimes(this.place, modifiedMilliseconds / 1000, modifiedMilliseconds / 1000);
    try {
      await link(this.place, final);
    } catch (error) {
      if (codeOf(error) === "EEXIST") throw error;
      // File systems of cards and travel drives know no links; there a last look must do.
      const isThere = await lstat(final).then(
        () => true,
        () => false,
      );
      if (isThere) throw Object.assign(new Error("a file of that name appeared meanwhile"), { code: "EEXIST" });
      await rename(this.place, final);
    }
  }

  /** Takes the own name away; what got its final name stays. */
  async remove(): Promise<void> {
    await unlink(this.place).catch(() => {});
  }
}
