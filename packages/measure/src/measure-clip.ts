import { combingOf, type ScanCounts } from "./combing.ts";
import { decodeStretch } from "./decode.ts";
import { frameLayout } from "./frame-layout.ts";
import { look } from "./look.ts";
import { cannotTell, type ClipOutline, type MeasureOptions, type Measurement, type Stretch } from "./measurement.ts";
import { samplingPlan } from "./sampling.ts";

/** Pictures beyond these sides are no camera's. */
const mostSide = 16384;
const mostFramesPerSecond = 1000;

/**
 * What the pictures of a clip say. Decodes through ffmpeg, once: all of it, or the stretches of the sampling plan.
 * A clip that cannot be decoded gives a measurement in which nothing can be told, with what ffmpeg said as the fault.
 * Throws only when the signal is aborted.
 */
export async function measureClip(path: string, about: ClipOutline, options: MeasureOptions): Promise<Measurement> {
  const wrong = unusable(about);
  if (wrong !== undefined) return nothing(wrong, about);
  const layout = frameLayout(about);
  const plan = options.mode === "all" ? undefined : samplingPlan(about);
  const eyes = look(about, layout);
  const looked: Stretch[] = [];
  const scans: ScanCounts[] = [];
  let frames = 0;
  let fault: string | undefined;
  let version: string | undefined;
  for (const stretch of plan ?? [undefined]) {
    const from = stretch?.fromSeconds ?? 0;
    eyes.begin(from);
    const end = await decodeStretch(options.ffmpeg, path, layout, stretch, eyes.frame, options.signal);
    if (end.misread === true) return nothing(end.fault ?? "", about, end.version);
    eyes.end(end.keyFrames);
    frames += end.frames;
    if (end.scan !== undefined) scans.push(end.scan);
    fault ??= end.fault;
    version ??= end.version;
    if (end.frames > 0) looked.push({ fromSeconds: from, toSeconds: from + end.frames / about.frameRate });
  }
  if (frames === 0) return nothing(fault ?? "no picture could be decoded", about, version);
  const seen = eyes.result();
  return {
    coverage: {
      lookedSeconds: looked.reduce((sum, { fromSeconds, toSeconds }) => sum + toSeconds - fromSeconds, 0),
      ofSeconds: about.durationSeconds,
      frames,
      stretches: looked,
      ...(fault === undefined ? {} : { fault }),
      ...(version === undefined ? {} : { version }),
    },
    combing: combingOf(scans, seen.motion, about),
    ...seen,
  };
}

const sane = (value: number, most: number): boolean => Number.isFinite(value) && value > 0 && value <= most;

function unusable({ width, height, frameRate, durationSeconds }: ClipOutline): string | undefined {
  if (!Number.isInteger(width) || !Number.isInteger(height) || !sane(width, mostSide) || !sane(height, mostSide)) {
    return "the size of the picture is not known";
  }
  if (width < 32 || height < 32) return "the picture is too small";
  if (!sane(frameRate, mostFramesPerSecond)) return "the frame rate is not known";
  return sane(durationSeconds, Number.MAX_SAFE_INTEGER) ? undefined : "the length of the clip is not known";
}

function nothing(fault: string, about: ClipOutline, version?: string): Measurement {
  const why = cannotTell(fault);
  return {
    coverage: {
      lookedSeconds: 0,
      ofSeconds: about.durationSeconds,
      frames: 0,
      stretches: [],
      fault,
      ...(version === undefined ? {} : { version }),
    },
    shutterAngle: why,
    noise: why,
    noiseBeforeCoding: why,
    repeats: why,
    flicker: why,
    exposure: why,
    drift: why,
    horizon: why,
    combing: why,
    black: [],
    frozen: [],
    sharpness: why,
    motion: why,
  };
}
