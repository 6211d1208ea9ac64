import { exitCodes } from "./exit-codes.ts";
import { CommandError } from "./command-error.ts";
import { type Io, terminalIo } from "./io.ts";
import { visible } from "@goodgate/report/visible";

/** Ctrl-C, a polite kill, and a terminal that is closed. */
const endings = ["SIGINT", "SIGTERM", "SIGHUP"] as const;

/** Runs the program in the real terminal and gives its exit code. */
export async function run(args: readonly string[]): Promise<number> {
  const controller = new AbortController();
  const stop = (): void => {
    controller.abort();
    // A second one is the system's: it ends the program even in the middle of long work, and no file is written by halves.
    for (const signal of endings) process.off(signal, stop);
  };
  for (const signal of endings) process.on(signal, stop);
  // A reader that closes the pipe early (head, less) is no failure.
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    process.exit(error.code === "EPIPE" ? exitCodes.good : exitCodes.failed);
  });
  try {
    return await main(args, terminalIo(controller.signal));
  } finally {
    for (const signal of endings) process.off(signal, stop);
  }
}

/** The whole program with its terminal handed in. Never throws; gives the exit code. */
export async function main(args: readonly string[], io: Io): Promise<number> {
  try {
    const { buildProgram } = await import("./program.ts");
    return await buildProgram(io).run(args);
  } catch (error) {
    if (io.signal.aborted) {
      io.tell("interrupted: nothing was written");
      return exitCodes.interrupted;
    }
    if (error instanceof CommandError) {
      io.tell(`goodgate: ${visible(error.message)}`);
      return exitCodes.wrongCommand;
    }
    const first = error instanceof Error ? `${error.name}: ${error.message}`.split("\n")[0] : String(error);
    io.tell(`goodgate failed: ${first}. This is a fault of goodgate, not of the card; GOODGATE_TRACE=1 shows more.`);
    if (process.env["GOODGATE_TRACE"] === "1" && error instanceof Error) io.tell(error.stack ?? "");
    return exitCodes.failed;
  }
}
