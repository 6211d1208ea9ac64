// Not run by itself: one measured piece of work in a process of its own, started by bench.ts out of a bundle.
// arguments: work and its options as JSON; prints one line of JSON.
import fs, { closeSync, openSync, readFileSync, readSync, writeFileSync } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { syncBuiltinESMExports } from "node:module";
import { ALL_FORMATS, FilePathSource, Input } from "mediabunny";
import { setEngine } from "../../packages/cli/src/engine.ts";
import type { Io } from "../../packages/cli/src/io.ts";
import { readCard } from "../../packages/cli/src/read-card.ts";
import { type Clip, type List, rate } from "../../packages/model/src/model.ts";
import { readCueFile } from "../../packages/probe/src/telemetry/cue-file.ts";

/** Stretches read of one file. */
interface FileRanges {
  readonly path: string;
  readonly ranges: [number, number][];
}

/** What a piece of work took. */
export interface Measured {
  readonly milliseconds: number;
  /** Processor time of the whole process, all threads. */
  readonly processorMilliseconds: number;
  readonly bytes: number;
  readonly calls: number;
  /** Largest resident memory of the process, in bytes. */
  readonly memoryBytes: number;
  /** Judging by the clock, where it was asked for, without unpacking what is judged. */
  readonly judgeMilliseconds?: number;
}

const io: Io = {
  print: () => {},
  tell: () => {},
  progress: () => {},
  columns: 120,
  colour: false,
  isTerminal: false,
  now: () => Date.now(),
  signal: new AbortController().signal,
};

const handlePrototype = async (): Promise<FileHandle> => {
  const handle = await open(process.execPath, "r");
  const prototype = Object.getPrototypeOf(handle) as FileHandle;
  await handle.close();
  return prototype;
};

/** Does something with the number of a file and what was read from where, for every read that waits for its answer. */
function watchReadsAtOnce(seen: (file: number, position: number, bytesRead: number) => void): void {
  const original = fs.readSync as (...args: unknown[]) => number;
  fs.readSync = ((...args: unknown[]) => {
    const bytesRead = original(...args);
    seen(args[0] as number, args[4] as number, bytesRead);
    return bytesRead;
  }) as typeof fs.readSync;
  syncBuiltinESMExports();
}

/** Counts every positioned read of this process, whoever makes it, apart from what goodgate counts itself. */
async function countReads(): Promise<{ bytes: number; calls: number }> {
  const counted = { bytes: 0, calls: 0 };
  watchReadsAtOnce((_file, _position, bytesRead) => {
    counted.bytes += bytesRead;
    counted.calls += 1;
  });
  const prototype = await handlePrototype();
  const read = prototype.read as (...args: unknown[]) => Promise<{ bytesRead: number }>;
  prototype.read = async function (this: FileHandle, ...args: unknown[]) {
    const result = await read.apply(this, args);
    counted.bytes += result.bytesRead;
    counted.calls += 1;
    return result;
  } as never;
  return counted;
}

const wait = (milliseconds: number) => new Promise((done) => setTimeout(done, milliseconds));

/**
 * Makes every read and opening wait as a slow medium does. `lanes` is how many requests it serves at a time: one for a
 * card in a reader, many for a share on a network.
 */
async function slowDown(latencyMilliseconds: number, bytesPerSecond: number, lanes: number): Promise<void> {
  const clock = new Int32Array(new SharedArrayBuffer(4));
  watchReadsAtOnce((_file, _position, bytesRead) => {
    Atomics.wait(clock, 0, 0, latencyMilliseconds + (bytesRead / bytesPerSecond) * 1000);
  });
  const prototype = await handlePrototype();
  const lane = lanesOf(lanes);
  const read = prototype.read as (...args: unknown[]) => Promise<{ bytesRead: number }>;
  prototype.read = function (this: FileHandle, ...args: unknown[]) {
    return lane(async () => {
      const result = await read.apply(this, args);
      await wait(latencyMilliseconds + (result.bytesRead / bytesPerSecond) * 1000);
      return result;
    });
  } as never;
}

/** Lets at most `lanes` pieces of work run at a time. */
function lanesOf(lanes: number): <T>(work: () => Promise<T>) => Promise<T> {
  let busy = 0;
  const waiting: (() => void)[] = [];
  return async (work) => {
    if (busy >= lanes) await new Promise<void>((go) => waiting.push(go));
    busy += 1;
    try {
      return await work();
    } finally {
      busy -= 1;
      waiting.shift()?.();
    }
  };
}

/** Reads a card and lists every stretch that was read, file by file. */
async function rangesOf(folder: string): Promise<readonly FileRanges[]> {
  const files: FileRanges[] = [];
  const opened = fs.openSync;
  const open = new Map<number, [number, number][]>();
  fs.openSync = ((path, ...rest) => {
    const file = opened(path, ...rest);
    const ranges: [number, number][] = [];
    open.set(file, ranges);
    files.push({ path: String(path), ranges });
    return file;
  }) as typeof fs.openSync;
  watchReadsAtOnce((file, position, bytesRead) => open.get(file)?.push([position, bytesRead]));
  const { pace } = await import("../../packages/probe/src/descriptor.ts");
  // Another program may make a call wait, but all are to be seen here.
  Object.defineProperty(pace, "quick", { get: () => true, set: () => {} });
  await readCard([folder], { jobs: 1 }, io);
  return files;
}

/** Time of a piece of work by the clock and by the processor, all threads of the process. */
async function timed<T>(
  work: () => Promise<T>,
): Promise<[T, Pick<Measured, "milliseconds" | "processorMilliseconds">]> {
  const processor = process.cpuUsage();
  const began = performance.now();
  const result = await work();
  const milliseconds = performance.now() - began;
  const used = process.cpuUsage(processor);
  return [result, { milliseconds, processorMilliseconds: (used.user + used.system) / 1000 }];
}

const works: Readonly<Record<string, (options: never) => Promise<Partial<Measured>>>> = {
  /** Finds and reads every clip, as an audit does; `judge` also judges them and builds the report. */
  read: async (options: {
    folder: string;
    /** Left out: as many as an audit chooses by itself. */
    jobs?: number;
    judge?: boolean;
    slow?: { latencyMilliseconds: number; bytesPerSecond: number; lanes: number };
  }) => {
    setEngine();
    if (options.slow !== undefined) {
      await slowDown(options.slow.latencyMilliseconds, options.slow.bytesPerSecond, options.slow.lanes);
    }
    const counted = await countReads();
    // Loaded before the clock starts, as the yardsticks' own code is.
    await import("../../packages/probe/src/probe.ts");
    const [reading, times] = await timed(() =>
      readCard([options.folder], options.jobs === undefined ? {} : { jobs: options.jobs }, io),
    );
    if (options.judge !== true) return { ...times, ...counted };
    const { judgeEach } = await import("../../packages/rules/src/rules.ts");
    const stated = { timelineRate: rate(25) };
    const { clips, stills, sets, card } = reading;
    // Clips are kept packed; unpacking one is no judging of it.
    let unpackingMilliseconds = 0;
    const unpacked = (place: number): Clip | undefined => {
      // By the clock: asking for the processor time takes longer than unpacking a clip.
      const began = performance.now();
      const clip = clips.at(place);
      unpackingMilliseconds += performance.now() - began;
      return clip;
    };
    const watched: List<Clip> = {
      length: clips.length,
      at: unpacked,
      *[Symbol.iterator]() {
        for (let place = 0; place < clips.length; place += 1) yield unpacked(place) as Clip;
      },
    };
    const [, judged] = await timed(async () =>
      judgeEach({ clips: watched, stills, sets, card, stated, now: Date.now() }, () => {}),
    );
    const judgeMilliseconds = judged.milliseconds - unpackingMilliseconds;
    return { ...times, ...counted, judgeMilliseconds };
  },
  /** Lists the stretches that goodgate reads, for the two yardsticks below. */
  ranges: async (options: { folder: string; to: string }) => {
    writeFileSync(options.to, JSON.stringify(await rangesOf(options.folder)));
    return {};
  },
  async: async (options: { ranges: string; jobs: number }) => {
    const files = JSON.parse(readFileSync(options.ranges, "utf8")) as readonly FileRanges[];
    const limit = lanesOf(options.jobs);
    const counted = { bytes: 0, calls: 0 };
    const [, times] = await timed(() =>
      Promise.all(
        files.map((file) =>
          limit(async () => {
            const handle = await open(file.path, "r");
            for (const [offset, length] of file.ranges) {
              const { bytesRead } = await handle.read(Buffer.allocUnsafeSlow(length), 0, length, offset);
              counted.bytes += bytesRead;
              counted.calls += 1;
            }
            await handle.close();
          }),
        ),
      ),
    );
    return { ...times, ...counted };
  },
  sync: async (options: { ranges: string }) => {
    const files = JSON.parse(readFileSync(options.ranges, "utf8")) as readonly FileRanges[];
    const counted = { bytes: 0, calls: 0 };
    const [, times] = await timed(async () => {
      for (const file of files) {
        const descriptor = openSync(file.path, "r");
        for (const [offset, length] of file.ranges) {
          counted.bytes += readSync(descriptor, Buffer.allocUnsafeSlow(length), 0, length, offset);
          counted.calls += 1;
        }
        closeSync(descriptor);
      }
    });
    return { ...times, ...counted };
  },
  /** What a demuxing library needs for rate and length of the pictures. */
  mediabunny: async (options: { paths: readonly string[] }) => {
    const counted = await countReads();
    const [, times] = await timed(async () => {
      for (const path of options.paths) {
        const input = new Input({ formats: ALL_FORMATS, source: new FilePathSource(path) });
        const track = await input.getPrimaryVideoTrack();
        await track?.computePacketStats();
        await track?.computeDuration();
        input.dispose();
      }
    });
    return { ...times, ...counted };
  },
  /** Telemetry text to facts, from bytes in memory. */
  text: async (options: { path: string; times?: number }) => {
    setEngine();
    const bytes = readFileSync(options.path);
    const clip = { microseconds: 600e6, frameRate: rate(50) };
    const [bytesRead, times] = await timed(async () => {
      let sum = 0;
      for (let round = 0; round < (options.times ?? 1); round += 1) {
        if ("notTelemetry" in readCueFile(bytes, "clip.srt", clip)) throw new Error("the cues were not recognised");
        sum += bytes.length;
      }
      return sum;
    });
    return { ...times, bytes: bytesRead };
  },
};

const [name = "", options = "{}"] = process.argv.slice(2);
const work = works[name];
if (work === undefined) throw new Error(`no work named ${name}`);
const measured: Measured = {
  milliseconds: 0,
  processorMilliseconds: 0,
  bytes: 0,
  calls: 0,
  memoryBytes: 0,
  ...(await work(JSON.parse(options) as never)),
};
process.stdout.write(
  `${JSON.stringify({ ...measured, memoryBytes: process.resourceUsage().maxRSS * 1024 } satisfies Measured)}\n`,
);
