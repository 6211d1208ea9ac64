import {
  absent,
  add,
  compare,
  type CreationTime,
  damaged,
  distance,
  equal,
  type ExtraTrack,
  type Facts,
  type FactValues,
  framesDuration,
  type Origin,
  parseRatio,
  type Rate,
  rate,
  type Ratio,
  type Read,
  type Reading,
  ratio,
  rateLabel,
  read,
  type Sound,
  standardRates,
  subtract,
} from "@goodgate/model";
import { parseCreationTime } from "../sidecars/creation-time.ts";
import { parsePosition } from "../containers/isobmff/place-text.ts";
import { parseTimecode } from "../sidecars/timecode-text.ts";
import { type ProbeAnswer, type ProbedStream, pictureStream } from "./answer.ts";
import { frameCount, type Place } from "./frame-count.ts";
import type { MeasuredTimes } from "./packet-times.ts";

/** Packet times of a stretch from the start, with whether the stretch is the whole file. */
export interface Stretch {
  /** Left out when there are too few pictures for an interval to be judged. */
  readonly measured?: MeasuredTimes;
  readonly frames: number;
  readonly wholeFile: boolean;
}

/**
 * The facts of one file as ffprobe states them. `stretch` is the measured truth about the frame intervals; without it
 * the rate is only what ffprobe claims and timing is absent. `reader` is the program's name and version.
 */
export function factsFromAnswer(
  answer: ProbeAnswer,
  file: string,
  reader: string,
  stretch: Stretch | undefined,
  whyNoStretch = "no packet times were read",
): Facts {
  const picture = pictureStream(answer);
  const at = (place: string, kind: Origin["kind"] = "container"): Origin => ({ kind, file, place, reader });
  const container: Reading<string> = read(containerName(answer.format.format_name), at("format_name"));
  if (picture === undefined) return { container };
  const stream = `stream ${picture.index}`;
  const said = (field: keyof ProbedStream): Read<string> | { readonly state: "absent"; readonly why: string } => {
    const value = picture[field];
    return typeof value === "string" && value !== "" && !/^(unknown|N\/A|0x[0-9a-f]+|\[)/i.test(value)
      ? read(value, at(`${stream} ${field}`))
      : absent(`${reader} states no ${field}`);
  };
  const pixels = pixelFormat(picture.pix_fmt);
  const pace = frameRate(picture, stretch, at, stream);
  const duration = clipDuration(answer, picture, pace, stretch, at, stream);
  const frames = frameCount(picture, stretch, duration, at);
  const start = exactTime(picture.start_time);
  const rotation = picture.side_data_list?.find((side) => side.rotation !== undefined)?.rotation;
  return {
    container,
    codec: said("codec_name"),
    sampleEntry: said("codec_tag_string"),
    profile:
      typeof picture.profile === "string"
        ? said("profile")
        : absent(`${reader} states the profile as a bare number or not`),
    bitDepth:
      pixels === undefined
        ? absent(`${reader} states no pixel format it has a depth for`)
        : read(pixels.bitDepth, at(`${stream} pix_fmt`)),
    chroma: pixels === undefined ? absent("no pixel format stated") : read(pixels.chroma, at(`${stream} pix_fmt`)),
    frameRate: pace,
    timing:
      stretch === undefined
        ? absent(whyNoStretch)
        : stretch.measured === undefined
          ? absent("too few packets to judge the intervals")
          : read(
              stretch.wholeFile
                ? stretch.measured.timing
                : { ...stretch.measured.timing, stretchSeconds: toSeconds(stretch.measured.spanSeconds) },
              at(`${stream} packets`, "measured"),
            ),
    frames,
    durationSeconds: duration,
    startSeconds: start === undefined ? absent("no start time stated") : read(start, at(`${stream} start_time`)),
    width: positive(picture.width, at(`${stream} width`)),
    height: positive(picture.height, at(`${stream} height`)),
    pixelAspect: aspect(picture.sample_aspect_ratio, at(`${stream} sample_aspect_ratio`)),
    // ffprobe counts its angle anticlockwise.
    rotationDegrees: read(((-(rotation ?? 0) % 360) + 360) % 360, at(`${stream} display matrix`)),
    scan: scan(picture.field_order, at(`${stream} field_order`), reader),
    primaries: said("color_primaries"),
    transfer: said("color_transfer"),
    matrix: said("color_space"),
    fullRange:
      picture.color_range === "pc" || picture.color_range === "tv"
        ? read(picture.color_range === "pc", at(`${stream} color_range`))
        : absent(`${reader} states no range`),
    ...soundOf(answer, start, at),
    textTracks: tracksOf(answer, "subtitle", at),
    dataTracks: tracksOf(answer, "data", at),
    ...tagFacts(answer, picture, pace, at),
  };
}

function frameRate(picture: ProbedStream, stretch: Stretch | undefined, at: Place, stream: string): Reading<Rate> {
  const average = statedRate(picture.avg_frame_rate);
  const guess = statedRate(picture.r_frame_rate);
  const measured = stretch?.measured;
  if (measured !== undefined && stretch !== undefined) {
    if (average !== undefined && guess !== undefined && equal(average, guess) && fits(average, stretch, measured)) {
      return read(average, at(`${stream} avg_frame_rate, which the packet times allow`));
    }
    if (measured.rate !== undefined) return read(measured.rate, at(`${stream} packets`, "measured"));
    const stated = [average, guess].find(
      (one) => one !== undefined && measured.candidates.some((candidate) => equal(candidate, one)),
    );
    if (stated !== undefined) return read(stated, at(`${stream} avg_frame_rate, which the packet times allow`));
    if (measured.candidates.length === 0) return absent("the packet times give no rate");
    return absent(`the clip is too short to tell ${measured.candidates.map(rateLabel).join(" from ")}`);
  }
  if (average === undefined) return absent("no frame rate stated");
  // Of one picture nobody can measure how long it lasts. Where nothing is stated both claims are the clock's own rate.
  const alone = stretch?.wholeFile === true && stretch.frames < 2;
  if (alone && (guess === undefined || !equal(average, guess) || compare(average, fastestStated) > 0)) {
    return absent("a single picture has no rate, and none is stated");
  }
  return read(average, at(`${stream} avg_frame_rate`));
}

/** No camera records faster than this; a clock of milliseconds claims its own 1000. */
const fastestStated = rate(500);

/** Whether a rate of no standard explains rounded times to the tick: 35 a second on a clock of milliseconds. */
function fits(stated: Rate, { frames }: Stretch, { rate: own, timing, spanSeconds }: MeasuredTimes): boolean {
  if (timing.kind !== "rounded" || own === undefined || standardRates.some((one) => equal(one, own))) return false;
  const length = framesDuration(frames - 1 + timing.lostFrames, stated);
  return compare(distance(length, spanSeconds), ratio(1n, BigInt(timing.timescale))) <= 0;
}

function statedRate(text: string | undefined): Rate | undefined {
  const value = text === undefined ? undefined : parseRatio(text);
  return value === undefined || value.numerator <= 0n ? undefined : value;
}

function clipDuration(
  answer: ProbeAnswer,
  picture: ProbedStream,
  pace: Reading<Rate>,
  stretch: Stretch | undefined,
  at: Place,
  stream: string,
): Reading<Ratio> {
  if (stretch?.wholeFile === true && stretch.measured !== undefined) {
    const { timing, spanSeconds } = stretch.measured;
    // Where the container states no length of the last picture it is given the commonest.
    const last = ratio(timing.medianTicks, timing.timescale);
    const measured =
      timing.kind !== "variable" && pace.state === "read"
        ? framesDuration(stretch.frames + timing.lostFrames, pace.value)
        : add(spanSeconds, last);
    const counted = read(measured, at(`${stream} packets`, "measured"));
    const header = exactTime(answer.format.duration);
    if (header === undefined || compare(header, measured) >= 0) return counted;
    // A header that ends with the start of the last picture is believed: nothing else states where the clip ends.
    const slack = add(last, ratio(2, timing.timescale));
    if (compare(subtract(measured, header), slack) > 0) return counted;
    const { value, origin } = counted;
    return { ...read(header, at("format duration")), witnesses: [{ value, origin, agrees: true }] };
  }
  const own = exactTime(picture.duration);
  if (own !== undefined && own.numerator > 0n) return read(own, at(`${stream} duration`));
  const whole = exactTime(answer.format.duration);
  if (whole !== undefined && whole.numerator > 0n) return read(whole, at("format duration"));
  return absent("no duration stated");
}

const exactTime = (text: string | undefined): Ratio | undefined => (text === undefined ? undefined : parseRatio(text));
const toSeconds = (time: Ratio): number => Number(time.numerator) / Number(time.denominator);

function positive(value: number | undefined, origin: Origin): Reading<number> {
  if (value === undefined) return absent(`no ${origin.place} stated`);
  return value > 0 ? read(value, origin) : damaged("a picture without extent", origin);
}

function aspect(text: string | undefined, origin: Origin): Reading<Ratio> {
  const value = text === undefined ? undefined : parseRatio(text.replace(":", "/"));
  // 0:1 is ffprobe's "not stated".
  return value === undefined || value.numerator <= 0n ? absent("no pixel aspect stated") : read(value, origin);
}

const scans: Readonly<Record<string, string>> = {
  progressive: "progressive",
  tt: "top field first",
  tb: "top field first",
  bb: "bottom field first",
  bt: "bottom field first",
};

function scan(order: string | undefined, origin: Origin, reader: string): Reading<string> {
  const name = order === undefined ? undefined : scans[order];
  // Old versions leave the field out even for interlaced pictures: silence is not "progressive".
  return name === undefined ? absent(`${reader} states no field order`) : read(name, origin);
}

/** Bit depth and chroma of the planar pixel formats cameras use; undefined for any other. */
export function pixelFormat(
  name: string | undefined,
): { readonly bitDepth: number; readonly chroma: string } | undefined {
  const match = /^(?:yuvj?|yuva)(420|422|444)p(?:(9|10|12|14|16)(?:le|be))?$|^gray(?:(9|10|12|14|16)(?:le|be))?$/.exec(
    name ?? "",
  );
  if (match === null) return undefined;
  const plane = match[1];
  const chroma = plane === undefined ? "4:0:0" : [...plane].join(":");
  return { bitDepth: Number(match[2] ?? match[3] ?? 8), chroma };
}

function soundOf(answer: ProbeAnswer, pictureStart: Ratio | undefined, at: Place): Pick<Facts, "sound"> {
  const stream = answer.streams.find((one) => one.codec_type === "audio");
  if (stream === undefined) return { sound: absent("no sound track") };
  const duration = exactTime(stream.duration) ?? exactTime(answer.format.duration);
  const hertz = Number(stream.sample_rate ?? Number.NaN);
  if (
    stream.codec_name === undefined ||
    stream.channels === undefined ||
    !Number.isFinite(hertz) ||
    duration === undefined
  ) {
    return { sound: damaged("a sound track without codec, rate or length", at(`stream ${stream.index}`)) };
  }
  const start = exactTime(stream.start_time);
  const value: Sound = {
    codec: stream.codec_name,
    channels: stream.channels,
    sampleRateHertz: hertz,
    durationSeconds: duration,
    startSeconds: start === undefined || pictureStart === undefined ? ratio(0n) : subtract(start, pictureStart),
  };
  return { sound: read(value, at(`stream ${stream.index}`)) };
}

function tracksOf(answer: ProbeAnswer, type: "subtitle" | "data", at: Place): Reading<readonly ExtraTrack[]> {
  const tracks = answer.streams
    .filter((stream) => stream.codec_type === type)
    .map((stream): ExtraTrack => ({
      id: stream.index,
      entry: stream.codec_name ?? stream.codec_tag_string ?? "unknown",
      handler: type,
      samples: /^\d{1,15}$/.test(stream.nb_frames ?? "") ? Number(stream.nb_frames) : 0,
      holds: "not looked at",
    }));
  return tracks.length === 0
    ? absent(`no ${type === "data" ? "data" : "text"} track`)
    : read(tracks, at(`${type} streams`));
}

function tagFacts(
  answer: ProbeAnswer,
  picture: ProbedStream,
  rate: Reading<Rate>,
  at: Place,
): Pick<Facts, "timecode" | "createdAt" | "location"> {
  const tag = (name: string): string | undefined => {
    for (const tags of [picture.tags, answer.format.tags, ...answer.streams.map((stream) => stream.tags)]) {
      for (const [key, value] of Object.entries(tags ?? {})) if (key.toLowerCase() === name) return value;
    }
    return undefined;
  };
  const label = tag("timecode");
  const labels = rate.state === "read" ? Math.round(toSeconds(rate.value)) : 0;
  const timecode = label === undefined ? undefined : parseTimecode(label, labels);
  const clock = tag("creation_time");
  const created: CreationTime | undefined = clock === undefined ? undefined : parseCreationTime(clock);
  const place = tag("location");
  const location = place === undefined ? undefined : parsePosition(place);
  const found = <T>(text: string | undefined, value: T | undefined, name: string): Reading<T> =>
    value !== undefined
      ? read(value, at(`tag ${name}`))
      : text === undefined
        ? absent(`no ${name} tag`)
        : damaged(`"${text.slice(0, 60)}" is no ${name}`, at(`tag ${name}`));
  return {
    timecode: found(label, timecode, "timecode"),
    createdAt: found(clock, created, "creation_time"),
    location: found(place, location, "location"),
  };
}

const containers: Readonly<Record<string, FactValues["container"]>> = {
  mov: "iso-bmff",
  matroska: "matroska",
  mpegts: "mpeg-ts",
  mxf: "mxf",
  avi: "avi",
};

/** The family of a format name such as `matroska,webm`; ffprobe's own word when there is none. */
export function containerName(formatName: string): string {
  const first = formatName.split(",")[0] ?? formatName;
  return containers[first] ?? first;
}
