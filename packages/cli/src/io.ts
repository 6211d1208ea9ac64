import { once } from "node:events";
import { visible } from "@goodgate/report/visible";

/** The terminal as the program sees it; tests hand in their own. */
export interface Io {
  /** Writes data to stdout; the only thing that does. */
  readonly print: (text: string) => void;
  /** Waits until the reader of stdout has taken what was printed; left out where nobody has to be waited for. */
  readonly taken?: () => Promise<void>;
  /** Writes a line for the person to stderr. */
  readonly tell: (text: string) => void;
  /** Rewrites the progress line; does nothing when stderr is not a terminal. */
  readonly progress: (text: string) => void;
  readonly columns: number;
  /** Whether stdout takes colour: a terminal, and NO_COLOR is not set. */
  readonly colour: boolean;
  readonly isTerminal: boolean;
  /** Milliseconds since 1970. */
  readonly now: () => number;
  readonly signal: AbortSignal;
}

/** Columns of text when stdout is not a terminal. */
const pipedColumns = 120;

/** The real terminal. `signal` ends long work. */
export function terminalIo(signal: AbortSignal): Io {
  const { stdout, stderr, env } = process;
  let shown = 0;
  const clear = (): void => {
    if (shown > 0) stderr.write(`\r${" ".repeat(shown)}\r`);
    shown = 0;
  };
  const forced = env["FORCE_COLOR"] !== undefined && env["FORCE_COLOR"] !== "0";
  return {
    print: (text) => {
      clear();
      stdout.write(text);
    },
    taken: async () => {
      if (stdout.writableNeedDrain) await once(stdout, "drain");
    },
    tell: (text) => {
      clear();
      // Paths come from anywhere: nothing in them may move the cursor or colour the rest.
      stderr.write(`${text.split("\n").map(visible).join("\n")}\n`);
    },
    progress: (text) => {
      if (!stderr.isTTY) return;
      const line = text.slice(0, Math.max(10, (stderr.columns ?? 80) - 1));
      stderr.write(`\r${line}${" ".repeat(Math.max(0, shown - line.length))}`);
      shown = text === "" ? 0 : line.length;
    },
    columns: stdout.isTTY ? Math.max(40, stdout.columns ?? 80) : pipedColumns,
    colour: forced || (stdout.isTTY === true && (env["NO_COLOR"] ?? "") === "" && env["TERM"] !== "dumb"),
    isTerminal: stdout.isTTY === true,
    now: () => Date.now(),
    signal,
  };
}

/** Prints a long text piece by piece, no faster than its reader takes it: what waits would be memory. */
export async function printPieces(pieces: Iterable<string> | AsyncIterable<string>, io: Io): Promise<void> {
  for await (const piece of pieces) {
    io.print(piece);
    await io.taken?.();
  }
}
