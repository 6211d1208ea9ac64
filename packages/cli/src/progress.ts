import type { Io } from "./io.ts";

/** Time between two looks of a progress line, in milliseconds. */
const pause = 100;

/** A progress line for work counted in bytes: done, whole, speed and time left. */
export function byteProgress(
  word: string,
  io: Io,
): { readonly begin: (files: number, bytes: number) => void; readonly pass: (bytes: number) => void } {
  let whole = 0;
  let done = 0;
  let shown = 0;
  const began = io.now();
  return {
    begin: (_, bytes) => {
      whole = bytes;
    },
    pass: (bytes) => {
      done += bytes;
      const now = io.now();
      if (now - shown < pause && done < whole) return;
      shown = now;
      const speed = done / Math.max(1, now - began);
      const left = Math.ceil((whole - done) / Math.max(1, speed) / 1000);
      io.progress(
        done >= whole
          ? ""
          : `${word} ${gigabytes(done)} of ${gigabytes(whole)} · ${Math.round(speed / 1000)} MB/s · ${left} s left`,
      );
    },
  };
}

/** A size in decimal gigabytes, as cards are sold; a small one in megabytes. */
export const gigabytes = (bytes: number): string =>
  bytes < 1e8 ? `${(bytes / 1e6).toFixed(1)} MB` : `${(bytes / 1e9).toFixed(bytes < 1e10 ? 2 : 0)} GB`;
