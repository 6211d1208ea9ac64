// Not run by itself: what is measured, in which rounds, and against which bar.
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type BenchCard, cardsFolder, fullCard, headerCard, mixedCard, shortCard, telemetryCard } from "./cards.ts";
import { dialectTexts } from "./dialect-text.ts";
import { firstOutput } from "./first-output.ts";
import { alternate, program, ratios, run, runProgram, runWorker, type Spread, spreadOf, versionOf } from "./runs.ts";

/** One line of the result. */
export interface Line {
  readonly what: string;
  readonly spread: Spread;
  readonly unit: string;
  /** The most the median may be; a line without one is for knowing. */
  readonly most?: number;
  /** The least the median may be. */
  readonly least?: number;
  readonly note?: string;
}

/** Whether a line has a bar that its median does not meet. */
export const misses = (line: Line): boolean =>
  (line.most !== undefined && !(line.spread.median <= line.most)) ||
  (line.least !== undefined && !(line.spread.median >= line.least));

/** A figure measured once. */
export const once = (value: number): Spread => ({ least: value, median: value, most: value });
/** The sum of some figures. */
export const sumOf = (values: readonly number[]): number => values.reduce((sum, value) => sum + value, 0);
/** Paths of the clips of a card. */
export const pathsOf = (card: BenchCard): readonly string[] => card.clips.map((clip) => clip.path);
/** Clips read at a time in the comparisons: as many as an audit reads on a machine of two cores. */
export const jobs = 4;

const ffprobe = (args: readonly string[]): number =>
  run("ffprobe", ["-v", "error", "-of", "json", ...args]).milliseconds;
const listing = (path: string, streams: readonly string[]): number => ffprobe(["-show_packets", ...streams, path]);
const ffprobeHeader = (path: string): number => ffprobe(["-show_format", "-show_streams", path]);

/** Reading alone, in one process each, against reads of the same stretches and a demuxing library. */
export async function readingLines(card: BenchCard, rounds: number): Promise<readonly Line[]> {
  const ranges = join(cardsFolder, "ranges.json");
  runWorker("ranges", { folder: card.folder, to: ranges });
  const count = card.clips.length;
  const some = pathsOf(card).slice(0, 10);
  const bytes: number[] = [];
  const processor: Record<"ours" | "async" | "sync", number[]> = { ours: [], async: [], sync: [] };
  const worked = (name: "ours" | "async" | "sync", work: string, options: object): number => {
    const measured = runWorker(work, options);
    processor[name].push(measured.processorMilliseconds);
    if (name === "ours") bytes.push(measured.bytes);
    return measured.milliseconds / count;
  };
  const times = await alternate(rounds, {
    ours: () => worked("ours", "read", { folder: card.folder, jobs }),
    async: () => worked("async", "async", { ranges, jobs }),
    sync: () => worked("sync", "sync", { ranges }),
    library: () => runWorker("mediabunny", { paths: some }).milliseconds / some.length,
  });
  const needed = sumOf(card.clips.map((clip) => clip.headerBytes));
  return [
    { what: "Reading a clip of 60,000 frames, headers only", spread: spreadOf(times.ours), unit: "ms" },
    {
      what: "… against asynchronous reads of the same bytes, nothing parsed (the runtime's limit)",
      spread: ratios(times.ours, times.async),
      unit: "×",
      most: 4,
    },
    {
      what: "… the same by processor time",
      spread: ratios(processor.ours.slice(1), processor.async.slice(1)),
      unit: "×",
      note: "not disturbed by other programs",
    },
    {
      what: "… against synchronous reads of the same bytes (the physical limit)",
      spread: ratios(times.ours, times.sync),
      unit: "×",
    },
    { what: "… against a demuxing library (mediabunny)", spread: ratios(times.ours, times.library), unit: "×" },
    { what: "Bytes read against bytes needed", spread: once((bytes[0] ?? 0) / needed), unit: "×", most: 1.1 },
    {
      what: `Bytes read of the card (${Math.round(card.nominalBytes / 1e9)} GB)`,
      spread: once(((bytes[0] ?? 0) / card.nominalBytes) * 100),
      unit: "%",
      most: 0.1,
    },
  ];
}

/** Whole programs on a card without telemetry: start-up, judging and the printed table are in our time. */
export async function programLines(
  card: BenchCard,
  rounds: number,
  sample: number,
  withMediainfo: boolean,
): Promise<readonly Line[]> {
  const count = card.clips.length;
  const paths = pathsOf(card);
  const step = Math.max(1, Math.floor(count / sample));
  const some = paths.filter((_, place) => place % step === 0).slice(0, sample);
  const media = withMediainfo && versionOf("mediainfo", "--Version") !== undefined;
  const times = await alternate(rounds, {
    // As a user starts it: nothing that looks at its memory is loaded beside it.
    ours: () =>
      run(process.execPath, [program, "audit", card.folder, "--timeline", "25", "--no-cache"], {
        env: { ...process.env, NO_COLOR: "1" },
      }).milliseconds / count,
    ffprobe: () => sumOf(some.map(ffprobeHeader)) / some.length,
    reading: () => runWorker("read", { folder: card.folder, jobs }).milliseconds / count,
    mediainfo: () => (media ? run("mediainfo", ["--Output=JSON", ...some]).milliseconds / some.length : Number.NaN),
  });
  return [
    { what: "Whole audit, per clip, start-up and printed answer included", spread: spreadOf(times.ours), unit: "ms" },
    {
      what: "… against one ffprobe header call a clip",
      spread: ratios(times.ours, times.ffprobe),
      unit: "×",
      most: 1 / 50,
      note: `${some.length} of ${count} clips are asked for the yardstick`,
    },
    {
      what: "… finding and reading alone against one ffprobe header call a clip",
      spread: ratios(times.reading, times.ffprobe),
      unit: "×",
      note: "without start-up, judging and the answer",
    },
    ...(media
      ? [
          {
            what: "… against one mediainfo process given all these files",
            spread: ratios(times.ours, times.mediainfo),
            unit: "×",
            most: 1 / 3,
          },
        ]
      : withMediainfo
        ? [{ what: "… against mediainfo: not on PATH, not measured", spread: once(Number.NaN), unit: "×" }]
        : []),
  ];
}

/** Telemetry for every frame, in the file and beside it. */
export async function telemetryLines(rounds: number): Promise<readonly Line[]> {
  const inside = telemetryCard(4, "in the file");
  const beside = telemetryCard(4, "beside it");
  const count = inside.clips.length;
  const subtitles = pathsOf(beside).map((path) => path.replace(/\.MP4$/, ".SRT"));
  const times = await alternate(rounds, {
    inside: () => runWorker("read", { folder: inside.folder, jobs }).milliseconds / count,
    insideListed: () => sumOf(pathsOf(inside).map((path) => listing(path, ["-select_streams", "s"]))) / count,
    beside: () => runWorker("read", { folder: beside.folder, jobs }).milliseconds / count,
    besideListed: () => sumOf(subtitles.map((path) => listing(path, []))) / count,
  });
  const texts = await dialectLines(rounds);
  return [
    { what: "Reading a clip with 30,000 cues in the file", spread: spreadOf(times.inside), unit: "ms" },
    {
      what: "… against ffprobe listing that track's packets",
      spread: ratios(times.inside, times.insideListed),
      unit: "×",
      most: 1 / 5,
    },
    { what: "Reading a clip with 30,000 cues in a subtitle file", spread: spreadOf(times.beside), unit: "ms" },
    {
      what: "… against ffprobe listing that file's packets",
      spread: ratios(times.beside, times.besideListed),
      unit: "×",
      most: 1 / 5,
    },
    ...texts,
  ];
}

/** How fast text becomes facts, for every form it comes in: the first clip of a process, and five of one process. */
async function dialectLines(rounds: number): Promise<readonly Line[]> {
  const lines: Line[] = [];
  mkdirSync(cardsFolder, { recursive: true });
  const cues = join(cardsFolder, "dialect.txt");
  for (const [name, write] of Object.entries(dialectTexts)) {
    writeFileSync(cues, write(40_000, 50));
    const speedOf = (times: number): number => {
      const { bytes, processorMilliseconds } = runWorker("text", { path: cues, times });
      return bytes / 1000 / processorMilliseconds;
    };
    const speed = await alternate(rounds, { once: () => speedOf(1), again: () => speedOf(5) });
    const what = `Text of 40,000 cues to facts, one core, ${name}`;
    lines.push({ what: `${what}: first clip of a process`, spread: spreadOf(speed.once), unit: "MB/s" });
    lines.push({ what: `${what}: over five clips`, spread: spreadOf(speed.again), unit: "MB/s", least: 100 });
  }
  return lines;
}

/** Start-up, the first line of an audit, and a second audit of the same card. */
export async function startLines(card: BenchCard, rounds: number): Promise<readonly Line[]> {
  const empty = join(cardsFolder, "empty.mjs");
  writeFileSync(empty, "");
  const times = await alternate(rounds, {
    empty: () => run(process.execPath, [empty]).milliseconds,
    version: () => run(process.execPath, [program, "--version"]).milliseconds,
    first: () => firstOutput([program, "audit", card.folder, "--timeline", "25", "--no-cache"]),
  });
  return [
    { what: "An empty Node program", spread: spreadOf(times.empty), unit: "ms" },
    { what: "goodgate --version against it", spread: ratios(times.version, times.empty), unit: "×", most: 1.6 },
    {
      what: `First line of an audit of ${card.clips.length} clips against goodgate --version`,
      spread: ratios(times.first, times.version),
      unit: "×",
      most: 3,
    },
  ];
}

/** A second audit of an unchanged card against the first: where every clip has telemetry, and where few have. */
export async function secondAuditLines(count: number, rounds: number): Promise<readonly Line[]> {
  return [
    {
      what: `Second audit of ${count} clips with telemetry against the first, whole program`,
      spread: await secondAgainstFirst(fullCard(count), rounds),
      unit: "×",
      most: 1 / 5,
      note: "every clip has a subtitle file of 30,000 or 60,000 cues",
    },
    {
      what: `… the same where one clip of ten has telemetry`,
      spread: await secondAgainstFirst(mixedCard(count), rounds),
      unit: "×",
    },
  ];
}

async function secondAgainstFirst(card: BenchCard, rounds: number): Promise<Spread> {
  const cache = mkdtempSync(join(tmpdir(), "goodgate-bench-"));
  const env = { XDG_CACHE_HOME: cache, LOCALAPPDATA: cache, GOODGATE_CACHE: cache };
  const audit = (more: readonly string[]): number =>
    runProgram(["audit", card.folder, "--timeline", "25", ...more], env).milliseconds;
  try {
    const times = await alternate(rounds, {
      first: () => {
        rmSync(cache, { recursive: true, force: true });
        return audit([]);
      },
      second: () => audit([]),
    });
    return ratios(times.second, times.first);
  } finally {
    rmSync(cache, { recursive: true, force: true });
  }
}

/** The cards of a whole run, made beforehand so that making them is in no measure. */
export const makeCards = (full: boolean): { readonly header: BenchCard } => {
  const header = headerCard(full ? 200 : 40);
  if (full) {
    telemetryCard(4, "in the file");
    telemetryCard(4, "beside it");
    telemetryCard(1, "beside it");
    for (const count of [10, 100, 1000, 10_000]) shortCard(count);
    mixedCard(200);
  }
  return { header };
};

/** Text of a file if it is there. */
export const textOf = (path: string): string => (existsSync(path) ? readFileSync(path, "utf8") : "");
