import { absent, type Facts, parseRatio, type Ratio } from "@goodgate/model";
import type { FfprobeProgram } from "../contracts.ts";
import { parseAnswer, pictureStream, type ProbeAnswer, type ProbedStream } from "./answer.ts";
import { factsFromAnswer, type Stretch } from "./facts.ts";
import { measureTimes } from "./packet-times.ts";
import { askStreams, type ProbeOutput, runFfprobe } from "./run-ffprobe.ts";

/**
 * Stretch whose packet times are read: 5 s tell 30 from 30000/1001 on a millisecond clock (5 ticks apart) and cost some
 * 60 MB at 100 Mbit/s, which a slow card gives in under a second.
 */
export const stretchSeconds = 5;
/** A file no longer than such a stretch is read whole for its packet times: that costs no more, and counts its frames. */
const wholeFileBytes = 64 * 1024 * 1024;
/** Some 20 bytes a packet: two hours at 30 frames a second. */
const mostPacketBytes = 4 * 1024 * 1024;

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
  | { readonly fault: string; readonly refused: boolean; readonly reader: string };

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
  if ("fault" in output) return { fault: output.fault, refused: output.refused === true, reader };
  const answer = parseAnswer(output.text);
  if ("fault" in answer) return { fault: answer.fault, refused: false, reader };
  const picture = pictureStream(answer);
  const first = answer.format.format_name.split(",")[0] ?? "";
  if (picture === undefined || stillFormat.test(first)) {
    const container = factsFromAnswer({ ...answer, streams: [] }, cardPath, reader, undefined).container;
    return { facts: container === undefined ? {} : { container }, answer, hasPicture: false, reader };
  }
  const stretch = measure
    ? await readStretch(program, path, picture, signal, sizeOf(answer))
    : { fault: "not asked for" };
  const facts =
    "fault" in stretch
      ? factsFromAnswer(answer, cardPath, reader, undefined, stretch.fault)
      : factsFromAnswer(answer, cardPath, reader, stretch);
  return { facts: { ...facts, ...silent }, answer, hasPicture: true, reader };
}

const sizeOf = (answer: ProbeAnswer): number | undefined =>
  /^\d{1,15}$/.test(answer.format.size ?? "") ? Number(answer.format.size) : undefined;

/** Facts that only our own readers look for; said once so that a rule knows the reason. */
const silent: Facts = {
  captureRate: absent("this container states no capture rate that is read here"),
  editList: absent("this container has no edit list"),
};

/** Packet times of a picture stream: of all of a file that is small, else of its first seconds. */
export async function readStretch(
  program: FfprobeProgram,
  path: string,
  picture: ProbedStream,
  signal: AbortSignal,
  fileBytes?: number,
): Promise<Stretch | { readonly fault: string }> {
  const base = parseRatio(picture.time_base ?? "");
  if (base === undefined || base.numerator <= 0n) return { fault: "the stream states no clock" };
  const ask = (interval: readonly string[]): Promise<ProbeOutput> =>
    runFfprobe(program, [...packetTimes, "-select_streams", String(picture.index), ...interval], path, signal, {
      milliseconds: 30_000,
      bytes: mostPacketBytes,
    });
  let whole = fileBytes !== undefined && fileBytes <= wholeFileBytes;
  let output = await ask(whole ? [] : firstSeconds);
  if ("fault" in output && whole) {
    whole = false;
    output = await ask(firstSeconds);
  }
  if ("fault" in output) return { fault: output.fault };
  return judgeStretch(output.text, base, whole);
}

const packetTimes = ["-show_entries", "packet=pts,dts", "-of", "csv=p=0"] as const;
const firstSeconds = ["-read_intervals", `%+${stretchSeconds}`] as const;

function judgeStretch(text: string, base: Ratio, whole: boolean): Stretch | { readonly fault: string } {
  const scale = Number(base.numerator);
  const clock = Number(base.denominator);
  const shownAt: number[] = [];
  const decodedAt: number[] = [];
  let packets = 0;
  for (const line of text.split("\n")) {
    if (line.trim() === "") continue;
    packets += 1;
    const [shown = "", decoded = ""] = line.trim().split(",");
    if (wholeNumber.test(shown)) shownAt.push(Number(shown) * scale);
    if (wholeNumber.test(decoded)) decodedAt.push(Number(decoded) * scale);
  }
  const timed = (times: readonly number[]): boolean => packets - times.length <= times.length / 100;
  if (packets === 0) return { fault: "no packet of it is in the file" };
  // AVI counts pictures in the order they are decoded and states no time of showing where B-pictures are packed.
  const times = timed(shownAt) ? shownAt : timed(decodedAt) ? decodedAt : undefined;
  if (times === undefined) {
    return whole ? { frames: packets, wholeFile: true } : { fault: "its packets carry no times" };
  }
  const [first, last] = [minimum(times), maximum(times)];
  const span = times.length < 2 ? 0 : (last - first) / clock;
  // ffprobe stops at the first packet past the stretch; when it stopped clearly before, the file had ended.
  const wholeFile = whole || span < stretchSeconds - Math.max(0.5, (2 * longestGap(times)) / clock);
  if (wholeFile) return { ...measured(times, clock), frames: packets, wholeFile };
  // Packets come in decode order: frames shown before the last ones read may still be to come.
  const horizon = minimum(times.slice(-mostReorderedFrames));
  const shown = times.filter((time) => time <= horizon);
  const found = measured(shown, clock);
  if (found.measured === undefined) return { fault: "too few packets to judge the intervals" };
  return { ...found, frames: shown.length, wholeFile };
}

const wholeNumber = /^-?\d{1,15}$/;

function measured(times: readonly number[], clock: number): Pick<Stretch, "measured"> {
  const found = measureTimes(times, clock);
  return found === undefined ? {} : { measured: found };
}

function longestGap(times: readonly number[]): number {
  const sorted = Float64Array.from(times).sort();
  let longest = 0;
  for (let place = 1; place < sorted.length; place += 1) {
    longest = Math.max(longest, (sorted[place] as number) - (sorted[place - 1] as number));
  }
  return longest;
}

const minimum = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
const maximum = (values: readonly number[]): number =>
  values.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
