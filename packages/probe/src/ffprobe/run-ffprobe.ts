import { type ChildProcess, spawn } from "node:child_process";
import { subscribe, unsubscribe } from "node:diagnostics_channel";
import { setMaxListeners } from "node:events";
import { resolve } from "node:path";
import type { FfprobeProgram } from "../contracts.ts";

/** A header is answered in well under a second from any card; past this the program is stuck. */
export const mostProbeMilliseconds = 20_000;
/** The largest honest answer is some 100 kB (hundreds of streams); text tags of a hostile file may be of any size. */
export const mostProbeBytes = 4 * 1024 * 1024;

/**
 * What a run of ffprobe gave: its standard output, or one sentence that says why there is none. `refused` when the
 * program ended by itself with an error: that is its answer about the file; anything else says nothing of it.
 */
export type ProbeOutput = { readonly text: string } | { readonly fault: string; readonly refused?: boolean };

/**
 * The name a file is passed under: with the protocol and from the root, so that `-o`, `concat:…` or `http:…` as a
 * file's name can become neither an option nor an address.
 */
export const ffprobeSource = (path: string): string => `file:${resolve(path)}`;

/** How fluent-ffmpeg begins the error of a program that ended with a code, rather than by a signal or not at all. */
const endedItself = /^ffprobe exited with code [1-9]/;

const fluentFfmpeg: string = "fluent-ffmpeg";

/** The part of fluent-ffmpeg 2.1.3 that is used here. */
interface FluentFfmpeg {
  (input: string): {
    ffprobe(index: number, options: readonly string[], done: (error: Error | null | undefined) => void): void;
  };
  setFfprobePath(path: string): void;
}

/** Only local files are ever opened, whatever a playlist inside a file may name. */
const safety = ["-v", "error", "-protocol_whitelist", "file"];

/**
 * Streams and format of one file as JSON text, asked through fluent-ffmpeg. That package has no time limit, keeps all
 * output in memory and hides its child, so the child is caught as it starts and is watched and killed from here.
 * Never throws but for an aborted signal.
 */
export async function askStreams(
  program: FfprobeProgram,
  path: string,
  signal: AbortSignal,
  limitMilliseconds: number = mostProbeMilliseconds,
): Promise<ProbeOutput> {
  signal.throwIfAborted();
  // By a name that is no literal, for the package has no types, and other packages of ours describe other parts of it.
  const { default: ffmpeg } = (await import(fluentFfmpeg)) as { readonly default: FluentFfmpeg };
  const source = ffprobeSource(path);
  ffmpeg.setFfprobePath(program.path);
  return await new Promise<ProbeOutput>((answer, reject) => {
    let watched: Watched | undefined;
    const stopListening = onStart(program.path, source, (child) => {
      watched = watch(child);
    });
    const settle = (output: ProbeOutput): void => {
      clearTimeout(timer);
      signal.removeEventListener("abort", cancel);
      stopListening();
      answer(output);
    };
    const cancel = (): void => {
      reject(signal.reason as Error);
      watched?.end();
      settle({ fault: "cancelled" });
    };
    const timer = setTimeout(() => {
      watched?.end();
      settle({ fault: `no answer within ${limitMilliseconds / 1000} s` });
    }, limitMilliseconds);
    // One signal serves every clip read at the same time; that many listeners are meant.
    setMaxListeners(0, signal);
    signal.addEventListener("abort", cancel, { once: true });
    try {
      // The JSON is collected from the child itself: the plain text form, which fluent-ffmpeg parses, has no quoting, so
      // a line break in a tag could forge a field.
      ffmpeg(source).ffprobe(0, [...safety, "-of", "json"], (error) => {
        if (watched?.tooMuch === true) settle({ fault: `more than ${mostProbeBytes} bytes of answer` });
        else if (error !== null && error !== undefined)
          settle({ fault: firstLine(error.message, path), refused: endedItself.test(error.message) });
        else if (watched === undefined) settle({ fault: "its output could not be watched" });
        else settle({ text: watched.text() });
      });
    } catch (error) {
      settle({ fault: error instanceof Error ? firstLine(error.message, path) : "could not be started" });
    }
  });
}

/** Runs ffprobe with options of our own (packet lists), bounded like `askStreams`; output past `mostBytes` ends the run. */
export async function runFfprobe(
  program: FfprobeProgram,
  options: readonly string[],
  path: string,
  signal: AbortSignal,
  limits: { readonly milliseconds: number; readonly bytes: number } = {
    milliseconds: mostProbeMilliseconds,
    bytes: mostProbeBytes,
  },
): Promise<ProbeOutput> {
  signal.throwIfAborted();
  return await new Promise<ProbeOutput>((answer, reject) => {
    const child = spawn(program.path, [...safety, ...options, ffprobeSource(path)], {
      stdio: ["ignore", "pipe", "pipe"],
      windowsHide: true,
      detached: leadsGroup,
    });
    const watched = watch(child, limits.bytes);
    let errors = "";
    child.stderr?.on("data", (bytes: Buffer) => {
      if (errors.length < 4096) errors += bytes.toString("utf8");
    });
    const settle = (output: ProbeOutput): void => {
      clearTimeout(timer);
      signal.removeEventListener("abort", cancel);
      answer(output);
    };
    const cancel = (): void => {
      watched.end();
      clearTimeout(timer);
      reject(signal.reason as Error);
    };
    const timer = setTimeout(() => {
      watched.end();
      settle({ fault: `no answer within ${limits.milliseconds / 1000} s` });
    }, limits.milliseconds);
    // One signal serves every clip read at the same time; that many listeners are meant.
    setMaxListeners(0, signal);
    signal.addEventListener("abort", cancel, { once: true });
    child.on("error", (error) => settle({ fault: firstLine(error.message, path) }));
    child.on("close", (code) => {
      if (watched.tooMuch) settle({ fault: `more than ${limits.bytes} bytes of answer` });
      else if (code !== 0) settle({ fault: firstLine(errors, path) || `ended with code ${code}` });
      else settle({ text: watched.text() });
    });
  });
}

interface Watched {
  readonly tooMuch: boolean;
  text(): string;
  end(): void;
}

function watch(child: ChildProcess, mostBytes: number = mostProbeBytes): Watched {
  const parts: Buffer[] = [];
  let bytes = 0;
  let tooMuch = false;
  const end = (): void => {
    killWithChildren(child);
    // A grandchild that left the group may still hold the pipes open.
    child.stdout?.destroy();
    child.stderr?.destroy();
    child.unref();
  };
  const count = (part: Buffer, keep: boolean): void => {
    bytes += part.length;
    if (bytes > mostBytes) {
      tooMuch = true;
      end();
    } else if (keep) parts.push(part);
  };
  outlivesNobody(child);
  child.stdout?.on("data", (part: Buffer) => count(part, true));
  child.stderr?.on("data", (part: Buffer) => count(part, false));
  return {
    get tooMuch() {
      return tooMuch;
    },
    text: () => Buffer.concat(parts).toString("utf8"),
    end,
  };
}

/** Whether a child is made the leader of a group of processes, so that a wrapper's own children end with it. */
const leadsGroup = process.platform !== "win32";

function killWithChildren(child: ChildProcess): void {
  if (leadsGroup && child.pid !== undefined) {
    try {
      process.kill(-child.pid, "SIGKILL");
      return;
    } catch {
      // It leads no group, or has ended: then the child alone is asked.
    }
  }
  child.kill("SIGKILL");
}

const running = new Set<ChildProcess>();

/** A child that leads its own group gets no Ctrl-C from the terminal: it is ended when this process ends. */
function outlivesNobody(child: ChildProcess): void {
  if (running.size === 0) process.once("exit", endRunning);
  running.add(child);
  child.once("close", () => {
    running.delete(child);
    if (running.size === 0) process.off("exit", endRunning);
  });
}

function endRunning(): void {
  for (const child of running) killWithChildren(child);
}

/** What Node's own spawn hands to a new child (lib/internal/child_process.js); not in its types. */
interface Spawning {
  spawn(options: { readonly file: string; readonly args: readonly string[]; readonly detached?: boolean }): unknown;
}

/** Calls back with the next child of this process that runs `program` on `source`, as soon as its pipes exist. */
function onStart(program: string, source: string, then: (child: ChildProcess) => void): () => void {
  const channel = "child_process";
  let stopped = false;
  const listen = (message: unknown): void => {
    const child = (message as { readonly process?: ChildProcess & Spawning }).process;
    if (stopped || child === undefined) return;
    // Node announces the child before it is spawned (diagnostics_channel, "child_process"): in between its options are
    // seen, and it can be made the leader of a group, which fluent-ffmpeg does not offer.
    const spawnIt = child.spawn.bind(child);
    child.spawn = (options) => {
      const isOurs = !stopped && options.file === program && options.args.at(-1) === source;
      const result = spawnIt(isOurs ? { ...options, detached: leadsGroup } : options);
      if (isOurs) {
        stop();
        then(child);
      }
      return result;
    };
  };
  const stop = (): void => {
    stopped = true;
    unsubscribe(channel, listen);
  };
  subscribe(channel, listen);
  return stop;
}

/** The first line that says something, without the path on this machine, which no report may hold. */
function firstLine(message: string, path: string): string {
  const lines = message
    .split(/\r?\n/)
    .map((line) =>
      line
        .replaceAll(`file:${resolve(path)}`, "")
        .replaceAll(resolve(path), "")
        .trim(),
    )
    .map((line) =>
      line
        .replace(/^\[[^\]]*\]\s*/, "")
        .replace(/^:\s*/, "")
        .replace(/0x[0-9a-f]{6,}/g, ""),
    )
    .filter((line) => line !== "" && !line.startsWith("ffprobe exited with code"));
  const said = lines[0] ?? message.split(/\r?\n/)[0]?.trim() ?? "";
  return said.length > 200 ? `${said.slice(0, 200)}…` : said;
}
