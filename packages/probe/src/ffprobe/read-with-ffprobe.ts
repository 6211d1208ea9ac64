import { absent, type Facts, parseRatio } from "@goodgate/model";
import type { FfprobeProgram } from "../contracts.ts";
import { parseAnswer, pictureStream, type ProbeAnswer, type ProbedStream } from "./answer.ts";
import { factsFromAnswer, type Stretch } from "./facts.ts";
import { measureTimes } from "./packet-times.ts";
import { askStreams, runFfprobe } from "./run-ffprobe.ts";

/**
 * Stretch whose packet times are read: 5 s tell 30 from 30000/1001 on a millisecond clock (5 ticks apart) and cost some
 * 60 MB at 100 Mbit/s, which a slow card gives in under a second.
 */
export const stretchSeconds = 5;
/** Five seconds at the highest rate in use (240) are 1,200 packets of some 30 bytes; this allows the odd thousand more. */
const mostPacketBytes = 1024 * 1024;

/** H.264 and H.265 hold back at most 16 pictures (level limits of ITU-T H.264 annex A, from memory). */
const mostReorderedFrames = 17;

/** What ffprobe says of one file. */
export type FfprobeReading =
  | {
      readonly facts: Facts;
      readonly answer: ProbeAnswer;
      /** False when the file holds no moving picture: sound only, data only, a still. */
      readonly hasPicture: boolean;
      readonly reader: string;
    }
  | { readonly fault: string; readonly reader: string };

/** Formats of single pictures; ffprobe gives each of them 25 frames a second. */
const stillFormat = /^(image2|.*_pipe|gif|apng|webp|ico|tty|srt|ass|webvtt|lrc)$/;

/**
 * Reads one file through ffprobe; with `measure` also the packet times of a stretch. Never throws but for an abort.
 * `cardPath` is the name that goes into the report.
 */
export async function readWithFfprobe(
  program: FfprobeProgram,
  path: string,
  cardPath: string,
  signal: AbortSignal,
  measure: boolean,
): Promise<FfprobeReading> {
  const reader = `ffprobe ${program.version}`;
  const output = await askStreams(program, path, signal);
  if ("fault" in output) return { fault: output.fault, reader };
  const answer = parseAnswer(output.text);
  if ("fault" in answer) return { fault: answer.fault, reader };
  const picture = pictureStream(answer);
  const first = answer.format.format_name.split(",")[0] ?? "";
  if (picture === undefined || stillFormat.test(first)) {
    const container = factsFromAnswer({ ...answer, streams: [] }, cardPath, reader, undefined).container;
    return { facts: container === undefined ? {} : { container }, answer, hasPicture: false, reader };
  }
  const stretch = measure ? await readStretch(program, path, picture, signal) : { fault: "not asked for" };
  const facts =
    "fault" in stretch
      ? factsFromAnswer(answer, cardPath, reader, undefined, stretch.fault)
      : factsFromAnswer(answer, cardPath, reader, stretch);
  return { facts: { ...facts, ...silent }, answer, hasPicture: true, reader };
}

/** Facts that only our own readers look for; said once so that a rule knows the reason. */
const silent: Facts = {
  captureRate: absent("this container states no capture rate that is read here"),
  editList: absent("this container has no edit list"),
};

/** Packet times of the first seconds of a picture stream. */
export async function readStretch(
  program: FfprobeProgram,
  path: string,
  picture: ProbedStream,
  signal: AbortSignal,
): Promise<Stretch | { readonly fault: string }> {
  const base = parseRatio(picture.time_base ?? "");
  if (base === undefined || base.numerator <= 0n) return { fault: "the stream states no clock" };
  const options = ["-select_streams", String(picture.index), "-show_entries", "packet=pts", "-of", "csv=p=0"];
  const output = await runFfprobe(program, [...options, "-read_intervals", `%+${stretchSeconds}`], path, signal, {
    milliseconds: 30_000,
    bytes: mostPacketBytes,
  });
  if ("fault" in output) return { fault: output.fault };
  const scale = Number(base.numerator);
  const times: number[] = [];
  let missing = 0;
  for (const line of output.text.split("\n")) {
    const text = (line.split(",", 1)[0] ?? "").trim();
    if (/^-?\d{1,15}$/.test(text)) times.push(Number(text) * scale);
    else if (text !== "") missing += 1;
  }
  if (missing > times.length / 100) return { fault: "its packets carry no times" };
  const clock = Number(base.denominator);
  const span = times.length < 2 ? 0 : (maximum(times) - minimum(times)) / clock;
  // ffprobe stops at the first packet past the stretch; when it stopped clearly before, the file had ended.
  const wholeFile = span < stretchSeconds - 0.5;
  // Packets come in decode order: frames shown before the last ones read may still be to come.
  const horizon = wholeFile ? Number.POSITIVE_INFINITY : minimum(times.slice(-mostReorderedFrames));
  const shown = times.filter((time) => time <= horizon);
  const measured = measureTimes(shown, clock);
  if (measured === undefined) return { fault: "too few packets to judge the intervals" };
  return { measured, frames: shown.length, wholeFile };
}

const minimum = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
const maximum = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
