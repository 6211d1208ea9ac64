// usage: tsx scripts/agreement.ts [folder]
// Compares goodgate's facts with ffprobe's JSON and with mediabunny on every footage file below a folder (default: the
// samples). A comparison counts where the two other readers agree, or where only one of them has an answer.
import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { ALL_FORMATS, FilePathSource, Input } from "mediabunny";
import { makeSamples } from "../fixtures/samples/make.ts";
import { samplesFolder } from "../fixtures/places.ts";

const folder = process.argv[2] ?? samplesFolder;
if (process.argv[2] === undefined) await makeSamples(samplesFolder);

type Value = string | number | boolean | null;
type Answers = Record<string, Value>;

const ratio = (text: string | undefined): string | null => {
  const [n, d] = (text ?? "").split("/").map(Number);
  if (n === undefined || d === undefined || !(n > 0) || !(d > 0)) return null;
  const gcd = (a: number, b: number): number => (b === 0 ? a : gcd(b, a % b));
  return `${n / gcd(n, d)}/${d / gcd(n, d)}`;
};
const named = (text: string | undefined): string | null => (text === undefined || text === "unknown" ? null : text);

function fromFfprobe(file: string): Answers | undefined {
  try {
    const says = JSON.parse(
      execFileSync("ffprobe", ["-v", "error", "-of", "json", "-show_format", "-show_streams", file], {
        encoding: "utf8",
        stdio: ["ignore", "pipe", "ignore"],
      }),
    );
    const stream = says.streams?.find((each: { codec_type: string }) => each.codec_type === "video");
    if (stream === undefined || /image2|_pipe/.test(says.format?.format_name ?? "")) return undefined;
    const turned =
      stream.side_data_list?.find((each: { rotation?: number }) => each.rotation !== undefined)?.rotation ?? 0;
    return {
      frameRate: ratio(stream.r_frame_rate),
      frames: stream.nb_frames === undefined ? null : Number(stream.nb_frames),
      durationSeconds: stream.duration === undefined ? null : Number(stream.duration),
      width: stream.width,
      height: stream.height,
      rotationDegrees: (((-turned % 360) + 360) % 360) + 0,
      codec: stream.codec_name,
      primaries: named(stream.color_primaries),
      transfer: named(stream.color_transfer),
      matrix: named(stream.color_space),
      timecode: stream.tags?.timecode ?? null,
      hasAudio: says.streams.some((each: { codec_type: string }) => each.codec_type === "audio"),
    };
  } catch {
    return undefined;
  }
}

async function fromMediabunny(file: string): Promise<Answers | undefined> {
  const input = new Input({ formats: ALL_FORMATS, source: new FilePathSource(file) });
  try {
    const track = await input.getPrimaryVideoTrack();
    if (track === null) return undefined;
    const stats = await track.computePacketStats();
    const colour = await track.getColorSpace();
    const first = await track.getFirstTimestamp();
    return {
      frames: stats.packetCount,
      durationSeconds: (await track.computeDuration()) - first,
      width: await track.getCodedWidth(),
      height: await track.getCodedHeight(),
      rotationDegrees: await track.getRotation(),
      primaries: colour.primaries ?? null,
      transfer:
        ({ pq: "smpte2084", hlg: "arib-std-b67" } as Record<string, string>)[String(colour.transfer)] ??
        colour.transfer ??
        null,
      hasAudio: (await input.getPrimaryAudioTrack()) !== null,
    };
  } catch {
    return undefined;
  } finally {
    input.dispose();
  }
}

const program = "packages/cli/dist/goodgate.js";
// A folder with damaged files ends with exit code 1, which is no failure here.
let lines = "";
try {
  lines = execFileSync(process.execPath, [program, "facts", folder, "--jsonl"], {
    encoding: "utf8",
    maxBuffer: 1 << 28,
  });
} catch (error) {
  lines = (error as { stdout: string }).stdout;
}
const ours = new Map(
  lines
    .trim()
    .split("\n")
    .map((line) => JSON.parse(line) as Answers)
    .map((line) => [String(line["path"]), line]),
);
const same = (name: string, a: Value, b: Value, rate: string | null): boolean => {
  if (name !== "durationSeconds" || typeof a !== "number" || typeof b !== "number") return a === b;
  const [n, d] = (rate ?? "25/1").split("/").map(Number) as [number, number];
  return Math.abs(a - b) <= d / n / 2;
};
let compared = 0;
let equal = 0;
const misses: string[] = [];
const files = readdirSync(folder, { recursive: true, encoding: "utf8" })
  .filter((path) => /\.(mp4|mov|mkv|webm|ts|mts|m2ts|mxf|avi|lrf|lrv)$/i.test(path))
  .sort();
for (const path of files) {
  const file = join(folder, path);
  const mine = ours.get(path.replaceAll("\\", "/"));
  const [one, two] = [fromFfprobe(file), await fromMediabunny(file)];
  for (const name of [
    "frameRate",
    "frames",
    "durationSeconds",
    "width",
    "height",
    "rotationDegrees",
    "codec",
    "primaries",
    "transfer",
    "matrix",
    "timecode",
    "hasAudio",
  ]) {
    const a = one?.[name] ?? null;
    const b = two?.[name] ?? null;
    if (a === null && b === null) continue;
    const rate = (mine?.["frameRate"] ?? null) as string | null;
    if (a !== null && b !== null && !same(name, a, b, rate)) continue;
    compared += 1;
    const value = mine?.[name] ?? null;
    if (same(name, value, a ?? b, rate)) equal += 1;
    else misses.push(`${path}: ${name}: ours ${String(value)}, ffprobe ${String(a)}, mediabunny ${String(b)}`);
  }
}
console.log(misses.join("\n"));
console.log(
  `${files.length} files, ${compared} comparisons, ${equal} agree: ${((100 * equal) / compared).toFixed(2)} %`,
);
