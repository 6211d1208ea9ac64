import type { FfprobeProgram } from "../contracts.ts";
import type { ProbeAnswer } from "./answer.ts";
import { runFfprobe } from "./run-ffprobe.ts";

/**
 * Stretch whose cues are taken from a container that ffprobe reads: it must pass over all pictures in between, some
 * 12 MB a second at 100 Mbit/s. What lies behind shows as missing coverage.
 */
export const cueStretchSeconds = 10;
/** A cue a frame of 300 bytes at 60 frames/s as a hex dump takes 90 kB a second. */
const mostDumpBytes = 8 * 1024 * 1024;

/** Text codecs of Matroska whose packets are plain cues. */
const textCodecs = ["subrip", "text", "srt", "webvtt", "ass", "ssa"];

/** The first text stream of a file as a SubRip text of its own, or undefined when there is none that can be read. */
export async function readTextStream(
  program: FfprobeProgram,
  path: string,
  answer: ProbeAnswer,
  signal: AbortSignal,
): Promise<{ readonly cues: Uint8Array; readonly stream: number; readonly codec: string } | undefined> {
  const stream = answer.streams.find(
    (one) => one.codec_type === "subtitle" && textCodecs.includes(one.codec_name ?? ""),
  );
  if (stream === undefined) return undefined;
  const options = ["-select_streams", String(stream.index), "-show_packets", "-show_data", "-of", "json"];
  const output = await runFfprobe(
    program,
    [...options, "-show_entries", "packet=pts_time,duration_time,data", "-read_intervals", `%+${cueStretchSeconds}`],
    path,
    signal,
    { milliseconds: 30_000, bytes: mostDumpBytes },
  );
  if ("fault" in output) return undefined;
  let packets: unknown;
  try {
    packets = (JSON.parse(output.text) as { readonly packets?: unknown }).packets;
  } catch {
    return undefined;
  }
  if (!Array.isArray(packets)) return undefined;
  const isAss = stream.codec_name === "ass" || stream.codec_name === "ssa";
  const cues = (packets as readonly Record<string, unknown>[]).flatMap((packet, place) => {
    const start = Number(packet["pts_time"]);
    const length = Number(packet["duration_time"] ?? 0);
    if (!Number.isFinite(start) || typeof packet["data"] !== "string") return [];
    const text = undump(packet["data"]);
    // The first eight fields of an ASS event are its layout.
    const said = isAss ? text.split(",").slice(8).join(",") : text;
    // An empty line would end the cue early.
    const lines = said.split(/\r\n|\r|\n|\\N/).filter((line) => line.trim() !== "");
    return [
      `${place + 1}\n${cueTime(start)} --> ${cueTime(start + (Number.isFinite(length) ? length : 0))}\n${lines.join("\n")}\n`,
    ];
  });
  return { cues: Buffer.from(cues.join("\n"), "utf8"), stream: stream.index, codec: stream.codec_name ?? "text" };
}

function cueTime(seconds: number): string {
  const all = Math.max(0, Math.round(seconds * 1000));
  const part = (size: number, unit: number, digits: number): string =>
    String(Math.floor(all / unit) % size).padStart(digits, "0");
  return `${part(1000, 3_600_000, 2)}:${part(60, 60_000, 2)}:${part(60, 1000, 2)},${part(1000, 1, 3)}`;
}

/** The bytes of a hex dump as ffprobe prints it: `00000000: 5b69 736f 203a 2031  [iso : 1`. */
function undump(dump: string): string {
  const bytes = dump
    .split("\n")
    .map((line) => /^[0-9a-f]{8}: ((?:[0-9a-f]{2,4} ?)+)/.exec(line)?.[1]?.replace(/\s+/g, "") ?? "");
  return Buffer.from(bytes.join(""), "hex").toString("utf8");
}
