import type { Io } from "./io.ts";

/** A terminal for tests: what was printed and told is kept, time goes on by itself, and the end can be called. */
export interface MadeIo extends Io {
  readonly printed: string[];
  readonly told: string[];
  /** Interrupts, as Ctrl-C does. */
  interrupt(): void;
}

/** A terminal that keeps everything; `onProgress` sees every progress line. */
export function madeIo(onProgress: (text: string, io: MadeIo) => void = () => {}): MadeIo {
  const controller = new AbortController();
  const printed: string[] = [];
  const told: string[] = [];
  let clock = Date.UTC(2031, 4, 14, 12);
  const io: MadeIo = {
    printed,
    told,
    print: (text) => void printed.push(text),
    tell: (text) => void told.push(text),
    progress: (text) => onProgress(text, io),
    columns: 100,
    colour: false,
    isTerminal: false,
    // A second between any two looks, so that no progress line is left out.
    now: () => (clock += 1000),
    signal: controller.signal,
    interrupt: () => controller.abort(),
  };
  return io;
}
