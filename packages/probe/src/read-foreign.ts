import { absent, damaged, type ExtraTrack, type Facts, type Origin, read, valueOf } from "@goodgate/model";
import type { CountedFile } from "./bytes.ts";
import { baseName, kindOf } from "./card/kinds.ts";
import type { ReadOptions } from "./contracts.ts";
import { readOuterBounds } from "./ffprobe/outer-bounds.ts";
import { readWithFfprobe } from "./ffprobe/read-with-ffprobe.ts";
import { sniff, type Sniffed, sniffBytes } from "./ffprobe/sniff.ts";
import { readTextStream } from "./ffprobe/text-stream.ts";
import { readTransportKlv } from "./ffprobe/transport-klv.ts";
import { clipTimes, type FootageReading, nothing, own } from "./footage.ts";
import { readCueFile } from "./telemetry/cue-file.ts";

/** Containers that only ffprobe can read for us. */
const foreign: Partial<Record<Sniffed, string>> = {
  matroska: "matroska",
  avi: "avi",
  mxf: "mxf",
  "mpeg-ts": "mpeg-ts",
  "mpeg-ps": "mpeg",
  ogg: "ogg",
  flv: "flv",
  asf: "asf",
  dv: "dv",
  "mpeg-es": "mpegvideo",
};

/**
 * Reads a file that our own reader does not know: through ffprobe when there is one, and what the first bytes, the
 * outer bounds and the name tell without it. Throws the system's error when the file cannot be read.
 */
export async function readForeign(
  file: CountedFile,
  path: string,
  size: Facts,
  options: ReadOptions,
): Promise<FootageReading> {
  const { signal } = options;
  const head = await file.read(0, sniffBytes);
  const kind = sniff(head);
  const origin: Origin = { kind: "container", file: path, place: "first bytes" };
  const result = (facts: Facts, more: Partial<FootageReading> = {}): FootageReading => ({
    ...nothing,
    ...(options.secondReader === true ? { secondReaderSilent: "only one reader knows this container" } : {}),
    facts: { ...size, ...facts },
    readers: [own],
    cost: file.cost,
    ...more,
    neededBytes: file.cost.bytes,
  });
  if (kind === "still") return result({}, { notFootage: "a still picture" });
  if (kind === "sound") return result({}, { notFootage: "sound only" });
  const container = foreign[kind];
  if (container === undefined) {
    if (!["footage", "proxy"].includes(kindOf(baseName(path)))) {
      return result({}, { notFootage: "not a container of moving pictures" });
    }
    if (kind === "zeros") {
      const zeros = damaged("begins with zeros: the data was never written", origin);
      return result({ structure: { ...zeros, cause: "never written" } });
    }
    const says = kind === "text" ? "holds text, not pictures" : "does not begin as any container goodgate knows";
    return result({ structure: damaged(says, origin) });
  }
  const bounds = await readOuterBounds(file, path, container);
  const known: Facts = { container: read(container, origin), structure: bounds };
  const program = await options.ffprobe?.();
  if (program === undefined) {
    const why = `no ffprobe to read ${container} with`;
    const silent = { codec: absent(why), frameRate: absent(why), timing: absent(why), durationSeconds: absent(why) };
    return result({ ...known, ...silent, width: absent(why), height: absent(why) });
  }
  const answer = await readWithFfprobe(program, file.path, path, signal, true);
  if ("fault" in answer) {
    const why = `${answer.reader} cannot read it: ${answer.fault}`;
    const structure =
      bounds.state === "damaged" ? bounds : damaged(why, { ...origin, place: "file", reader: answer.reader });
    return result({ ...known, structure }, { readers: [answer.reader] });
  }
  const facts: Facts = { ...answer.facts, ...known };
  if (!answer.hasPicture) return result(facts, { notFootage: "no moving picture in it", readers: [answer.reader] });
  if (container === "mpeg-ts") {
    const metadata = await readTransportKlv(file, path);
    if (metadata !== undefined) {
      const holds = valueOf(metadata.telemetry)?.dialect ?? "telemetry";
      return result({ ...facts, ...withKlv(facts, holds) }, { readers: [answer.reader], dataTracks: [metadata] });
    }
  }
  const cues = await readTextStream(program, file.path, answer.answer, signal);
  if (cues === undefined) return result(facts, { readers: [answer.reader] });
  const telemetry = readCueFile(cues.cues, path, clipTimes(facts));
  const isTelemetry = !("notTelemetry" in telemetry);
  const track: ExtraTrack = {
    id: cues.stream,
    entry: cues.codec,
    handler: "subtitle",
    samples: valueOf(isTelemetry ? telemetry.telemetry : undefined)?.records ?? 0,
    holds: isTelemetry ? (valueOf(telemetry.telemetry)?.dialect ?? "telemetry") : telemetry.notTelemetry,
  };
  const listed = (valueOf(facts.textTracks) ?? []).map((one) => (one.id === track.id ? track : one));
  const textTracks = read(listed, { ...origin, place: "subtitle streams", reader: answer.reader });
  return result({ ...facts, textTracks }, { readers: [answer.reader], textTracks: isTelemetry ? [telemetry] : [] });
}

/** The lists with what the metadata packets of a transport stream were found to hold. */
const withKlv = ({ dataTracks }: Facts, holds: string): Facts =>
  dataTracks?.state !== "read"
    ? {}
    : {
        dataTracks: {
          ...dataTracks,
          value: dataTracks.value.map((track) => (track.entry === "klv" ? { ...track, holds } : track)),
        },
      };
