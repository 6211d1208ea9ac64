// The answers of other readers about one file, in the words of `goodgate facts --jsonl`.
import { execFile } from "node:child_process";
import { promisify } from "node:util";
import { ALL_FORMATS, FilePathSource, Input } from "mediabunny";

/** What is compared. */
export const comparedFacts = [
  "frameRate",
  "frames",
  "durationSeconds",
  "variable",
  "width",
  "height",
  "rotationDegrees",
  "codec",
  "primaries",
  "transfer",
  "matrix",
  "timecode",
  "hasAudio",
] as const;

/** One value as a flat line holds it; null where the reader has no answer. */
export type Value = string | number | boolean | null;
/** The answers of one reader. */
export type Answers = Readonly<Partial<Record<(typeof comparedFacts)[number], Value>>>;

const run = promisify(execFile);
const bounded = { encoding: "utf8", maxBuffer: 1 << 26, timeout: 60_000 } as const;

const greatest = (a: number, b: number): number => (b === 0 ? a : greatest(b, a % b));
const ratio = (text: string | undefined): string | null => {
  const [over, under] = (text ?? "").split("/").map(Number);
  if (over === undefined || under === undefined || !(over > 0) || !(under > 0)) return null;
  return `${over / greatest(over, under)}/${under / greatest(over, under)}`;
};
const number = (text: unknown): number | null => {
  const value = typeof text === "string" || typeof text === "number" ? Number(text) : Number.NaN;
  return Number.isFinite(value) ? value : null;
};
const named = (text: string | undefined): string | null =>
  text === undefined || text === "unknown" || text === "reserved" ? null : text;

interface Stream {
  readonly codec_type?: string;
  readonly codec_name?: string;
  readonly r_frame_rate?: string;
  readonly avg_frame_rate?: string;
  readonly nb_frames?: string;
  readonly nb_read_packets?: string;
  readonly duration?: string;
  readonly width?: number;
  readonly height?: number;
  readonly color_primaries?: string;
  readonly color_transfer?: string;
  readonly color_space?: string;
  readonly tags?: Readonly<Record<string, string>>;
  readonly side_data_list?: readonly { readonly rotation?: number }[];
}

/**
 * ffprobe's header answers. Its two rates are an answer only where they say the same; where they do not, either may be
 * the trap (a common multiple, a short last picture) that goodgate is there to avoid.
 */
export async function askFfprobe(program: string, file: string): Promise<Answers | undefined> {
  try {
    const options = ["-v", "error", "-of", "json", "-show_format", "-show_streams", "-count_packets", file];
    const says = JSON.parse((await run(program, options, bounded)).stdout) as {
      readonly streams?: readonly Stream[];
      readonly format?: { readonly format_name?: string; readonly duration?: string };
    };
    const streams = says.streams ?? [];
    const picture = streams.find((stream) => stream.codec_type === "video");
    if (picture === undefined || /image2|_pipe/.test(says.format?.format_name ?? "")) return undefined;
    const turned = picture.side_data_list?.find((side) => side.rotation !== undefined)?.rotation ?? 0;
    const [guess, average] = [ratio(picture.r_frame_rate), ratio(picture.avg_frame_rate)];
    return {
      frameRate: guess === average ? guess : null,
      frames: number(picture.nb_frames) ?? number(picture.nb_read_packets),
      durationSeconds: number(picture.duration) ?? (streams.length === 1 ? number(says.format?.duration) : null),
      width: number(picture.width),
      height: number(picture.height),
      rotationDegrees: ((-turned % 360) + 360) % 360,
      codec: named(picture.codec_name),
      primaries: named(picture.color_primaries),
      transfer: named(picture.color_transfer),
      matrix: named(picture.color_space),
      timecode: streams.map((stream) => stream.tags?.["timecode"]).find((label) => label !== undefined) ?? null,
      hasAudio: streams.some((stream) => stream.codec_type === "audio"),
    };
  } catch {
    return undefined;
  }
}

const transfers: Readonly<Record<string, string>> = { pq: "smpte2084", hlg: "arib-std-b67" };
const codecs: Readonly<Record<string, string>> = { avc: "h264", hevc: "hevc", vp8: "vp8", vp9: "vp9", av1: "av1" };

/** mediabunny's answers, from the packets themselves. */
export async function askMediabunny(file: string): Promise<Answers | undefined> {
  const input = new Input({ formats: ALL_FORMATS, source: new FilePathSource(file) });
  try {
    const track = await input.getPrimaryVideoTrack();
    if (track === null) return undefined;
    const stats = await track.computePacketStats();
    const colour = await track.getColorSpace();
    const codec = track.codec;
    return {
      frames: stats.packetCount,
      // Pictures before an edit list's start have times below zero: they are there and are not shown.
      durationSeconds: (await track.computeDuration()) - Math.max(0, await track.getFirstTimestamp()),
      width: await track.getCodedWidth(),
      height: await track.getCodedHeight(),
      rotationDegrees: await track.getRotation(),
      codec: codec === null ? null : (codecs[codec] ?? null),
      primaries: colour.primaries ?? null,
      transfer: transfers[String(colour.transfer)] ?? colour.transfer ?? null,
      hasAudio: (await input.getPrimaryAudioTrack()) !== null,
    };
  } catch {
    return undefined;
  } finally {
    input.dispose();
  }
}

/** mediainfo's names of formats and of colour codes, in ffprobe's words. */
const formats: Readonly<Record<string, string>> = {
  AVC: "h264",
  HEVC: "hevc",
  VP8: "vp8",
  VP9: "vp9",
  AV1: "av1",
  ProRes: "prores",
  JPEG: "mjpeg",
  "MPEG-4 Visual": "mpeg4",
  DV: "dvvideo",
  VC3: "dnxhd",
};
const colours: Readonly<Record<string, string>> = {
  "BT.709": "bt709",
  "BT.601 PAL": "bt470bg",
  "BT.601 NTSC": "smpte170m",
  "BT.2020": "bt2020",
  "BT.2020 non-constant": "bt2020nc",
  PQ: "smpte2084",
  HLG: "arib-std-b67",
  "sRGB/sYCC": "iec61966-2-1",
  "BT.470 System B/G": "bt470bg",
  "Display P3": "smpte432",
  Identity: "gbr",
};
const word = (list: Readonly<Record<string, string>>, text: string | undefined): string | null =>
  list[text ?? ""] ?? null;

const scanned: Readonly<Record<string, string>> = { CFR: "constant", VFR: "variable" };

/** mediainfo's answers, where that program is installed. Its rates are rounded: those of the standards are meant. */
export async function askMediainfo(file: string): Promise<Answers | undefined> {
  try {
    const says = JSON.parse((await run("mediainfo", ["--Output=JSON", file], bounded)).stdout) as {
      readonly media?: { readonly track?: readonly Readonly<Record<string, string | undefined>>[] };
    };
    const tracks = says.media?.track ?? [];
    const picture = tracks.find((track) => track["@type"] === "Video");
    if (picture === undefined) return undefined;
    const mode = scanned[picture["FrameRate_Mode"] ?? ""];
    const [over, under] = [picture["FrameRate_Num"], picture["FrameRate_Den"]];
    const stated = over === undefined || under === undefined ? whole(picture["FrameRate"]) : ratio(`${over}/${under}`);
    const timecode = tracks.find((track) => track["@type"] === "Other" && track["Type"] === "Time code");
    return {
      frameRate: mode === "variable" ? null : stated,
      frames: number(picture["FrameCount"]),
      durationSeconds: number(picture["Duration"]),
      variable: mode === undefined ? null : mode === "variable",
      width: number(picture["Sampled_Width"] ?? picture["Width"]),
      height: number(picture["Sampled_Height"] ?? picture["Height"]),
      rotationDegrees: number(picture["Rotation"] ?? "0"),
      codec: word(formats, picture["Format"]),
      primaries: word(colours, picture["colour_primaries"]),
      transfer: word(colours, picture["transfer_characteristics"]),
      matrix: word(colours, picture["matrix_coefficients"]),
      timecode: timecode?.["TimeCode_FirstFrame"] ?? null,
      hasAudio: tracks.some((track) => track["@type"] === "Audio"),
    };
  } catch {
    return undefined;
  }
}

/** A rate without denominator is exact only when it is a whole number. */
function whole(text: string | undefined): string | null {
  const rate = number(text);
  return rate !== null && Number.isInteger(rate) && rate > 0 ? `${rate}/1` : null;
}
