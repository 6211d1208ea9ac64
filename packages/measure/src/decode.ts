import { constants } from "node:fs";
import { access } from "node:fs/promises";
import { basename, delimiter, join, resolve } from "node:path";
import { versionIn } from "./find-ffmpeg.ts";
import type { FrameLayout, Samples } from "./frame-layout.ts";
import { frameSink } from "./frame-sink.ts";
import type { Stretch } from "./measurement.ts";
import { type ScanCounts, scanCounts } from "./combing.ts";

/** A run of ffmpeg that hands over nothing for this long is stuck: a frame takes milliseconds, a seek a second or two. */
export const mostSilentMilliseconds = 60_000;
/** Longest text of ffmpeg that is repeated to the user. */
const mostSaid = 200;

/** How a run ended: frames handed over, and one sentence when ffmpeg did not end well. */
export interface DecodeEnd {
  readonly frames: number;
  readonly fault?: string;
  /** What ffmpeg's `idet` counted, when the run came to its end. */
  readonly scan?: ScanCounts;
  /** Version that ffmpeg says it is. */
  readonly version?: string;
  /** Which of the frames handed over are coded without others. */
  readonly keyFrames: ReadonlySet<number>;
  /** Whether pictures came in other sizes than asked for, so that nothing of what was handed over can be believed. */
  readonly misread?: true;
}

/**
 * Decodes one stretch of a clip once and hands over each frame as it comes; the samples are overwritten when two more
 * have come, so that a frame can be laid beside those before it. Never keeps more than three frames. Throws only when the signal is aborted; ffmpeg is then killed.
 */
export async function decodeStretch(
  ffmpegPath: string,
  path: string,
  layout: FrameLayout,
  stretch: Stretch | undefined,
  onFrame: (samples: Samples, index: number) => void,
  signal: AbortSignal,
): Promise<DecodeEnd> {
  signal.throwIfAborted();
  // fluent-ffmpeg throws where nobody can catch it when the program is missing.
  if (!(await isProgram(ffmpegPath))) {
    return { frames: 0, keyFrames: new Set(), fault: "no ffmpeg found: install ffmpeg" };
  }
  const { default: ffmpeg } = await import("fluent-ffmpeg");
  signal.throwIfAborted();
  return await new Promise<DecodeEnd>((answer, reject) => {
    const sink = frameSink(layout, onFrame);
    const source = `file:${resolve(path)}`;
    // Options stand one by one: fluent-ffmpeg would split a single text at its spaces.
    const before = ["-noautorotate", "-protocol_whitelist", "file,pipe"];
    if (stretch !== undefined) before.push("-ss", stretch.fromSeconds.toFixed(6));
    if (stretch !== undefined) before.push("-t", (stretch.toSeconds - stretch.fromSeconds).toFixed(6));
    const command = ffmpeg(source, { stdoutLines: 20 })
      // Counts of filters are told as information; `level` names what each line is, so that faults stand out.
      // Filters of small pictures cost less in one thread than handing them round does; decoding keeps all of its threads.
      .inputOptions(["-v", "level+info", "-nostats", "-nostdin", "-filter_complex_threads", "1", ...before])
      .outputOptions(["-filter_complex", layout.filterGraph, "-map", "[o]", "-an", "-sn", "-dn", ...everyFrameOnce])
      .outputOptions(["-f", "rawvideo"]);
    command.output(sink.stream, { end: true });
    // Small pictures of key frames, made to be told of. They have an output too: ffmpeg 7.0 breaks off on a branch that
    // ends in the graph.
    command.output("-").outputOptions(["-map", "[k]", ...everyFrameOnce, "-f", "null"]);
    command.setFfmpegPath(ffmpegPath);
    // Raw pictures leave every build, and so does nothing. Asked for its formats and encoders, ffmpeg would be started
    // twice more: a tenth of what decoding ten seconds takes.
    command.availableFormats = (told) => told(null, { rawvideo: { canMux: true }, null: { canMux: true } });
    command.availableEncoders = (told) => told(null, {});
    let said = "";
    let scan: ScanCounts | undefined;
    let version: string | undefined;
    const keyFrames = new Set<number>();
    let settled = false;
    let told: number | undefined;
    const settle = (fault: string | undefined, misread?: true): void => {
      if (settled) return;
      settled = true;
      clearTimeout(timer);
      signal.removeEventListener("abort", cancel);
      sink.end();
      answer({
        frames: sink.frames(),
        keyFrames,
        ...(fault === undefined ? {} : { fault }),
        ...(misread === undefined ? {} : { misread }),
        ...(scan === undefined ? {} : { scan }),
        ...(version === undefined ? {} : { version }),
      });
    };
    const end = (): void => {
      command.kill("SIGKILL");
    };
    const cancel = (): void => {
      end();
      reject(signal.reason as Error);
      settle("cancelled");
    };
    const timer = setTimeout(() => {
      end();
      settle(`ffmpeg handed over nothing for ${mostSilentMilliseconds / 1000} s`);
    }, mostSilentMilliseconds);
    // A new timer for every piece of data would be a thousand a clip.
    sink.stream.on("alive", () => {
      timer.refresh();
    });
    sink.stream.on("error", (error: Error) => {
      end();
      reject(error);
      settle("stopped");
    });
    signal.addEventListener("abort", cancel, { once: true });
    command.on("stderr", (line: string) => {
      if (said === "" && /\[(error|fatal|panic)\]/.test(line)) said = line;
      version ??= versionIn(line);
      scan = scanCounts(line) ?? scan;
      told = framesTold(line) ?? told;
      const key = keyFrameIndex(line);
      if (key !== undefined && keyFrames.size < mostKeyFrames) keyFrames.add(key);
    });
    // An abort may come while fluent-ffmpeg still asks the program what it can do, before there is anything to kill.
    command.on("start", () => {
      if (settled) end();
    });
    command.on("error", (error) => settle(saying(said === "" ? error.message : said, path)));
    // A clip that breaks off or is spoilt inside ends well for ffmpeg; what it said of that is the fault.
    const judge = (): void => {
      // Where a picture ends is known from its asked size alone: a version that keeps to another would be read awry.
      if (sink.isInside() || (told !== undefined && told !== sink.frames())) {
        return settle("this ffmpeg hands over pictures of other sizes than asked for: use another version", true);
      }
      const fault = saying(said, path);
      settle(fault !== "" ? fault : sink.frames() === 0 ? "ffmpeg gave no picture" : undefined);
    };
    // The program may have ended before its last bytes are read.
    command.on("end", () => (sink.stream.writableFinished ? judge() : sink.stream.once("finish", judge)));
    command.run();
  });
}

/** Whether a path names a file that may be run, or a bare name a program on PATH. */
async function isProgram(path: string): Promise<boolean> {
  const places =
    basename(path) === path ? (process.env["PATH"] ?? "").split(delimiter).map((folder) => join(folder, path)) : [path];
  for (const place of places) {
    if (
      await access(place, constants.X_OK).then(
        () => true,
        () => false,
      )
    )
      return true;
  }
  return false;
}

/** Key frames kept: a clip of nothing else has sixty a second. */
const mostKeyFrames = 100_000;

/** The number of a frame that `showinfo` tells of behind `select` in the graph. */
function keyFrameIndex(line: string): number | undefined {
  const found = line.includes("showinfo") ? / n: {0,9}\d{1,15} pts: {0,9}(\d{1,15})/.exec(line) : null;
  return found === null ? undefined : Number(found[1]);
}

/** Pictures written, as ffmpeg sums up at its end. */
function framesTold(line: string): number | undefined {
  const found = /(?:^|\] )frame= {0,15}(\d{1,15}) /.exec(line);
  return found === null ? undefined : Number(found[1]);
}

/** Old and new programs both know this word; the newer one (`-fps_mode`) is younger than the oldest we meet. */
const everyFrameOnce = ["-vsync", "0"];

/** The first line that says something, without the path on this machine, which no report may hold. */
function saying(text: string, path: string): string {
  const line =
    text
      .split(/\r?\n/)
      .map((part) => part.replaceAll(`file:${resolve(path)}`, "").replaceAll(resolve(path), ""))
      .map((part) =>
        part
          .replace(/^(\[[^\]]*\]\s*)+/, "")
          .replace(/0x[0-9a-f]{6,}/g, "")
          .replace(/^:\s*/, "")
          .trim(),
      )
      .find((part) => part !== "" && !part.startsWith("ffmpeg exited with code")) ?? "";
  return line.length > mostSaid ? `${line.slice(0, mostSaid)}…` : line;
}
