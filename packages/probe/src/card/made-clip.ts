import {
  type Clip,
  constantSeries,
  type Facts,
  framesDuration,
  type Origin,
  rate,
  read,
  type TelemetrySummary,
  timecodeFrame,
} from "@goodgate/model";

/** What the tests of joining and pairing say of a clip; everything left out is as in any other. */
export interface MadeClip {
  readonly name: string;
  readonly bytes?: number;
  /** Frames at 25 frames a second. */
  readonly frames?: number;
  /** Seconds after 2031-04-05 12:00 UTC. */
  readonly startSeconds?: number;
  readonly timecode?: string;
  readonly width?: number;
  readonly codec?: string;
  readonly firstClock?: string;
  readonly lastClock?: string;
  readonly iso?: number;
  readonly facts?: Facts;
}

/** A clip as the reader gives it, for tests of what happens after reading. */
export function madeClip(plan: MadeClip): Clip {
  const origin: Origin = { kind: "container", file: plan.name, place: "test" };
  const frames = plan.frames ?? 250;
  const bytes = plan.bytes ?? 100_000_000;
  const at = Date.UTC(2031, 3, 5, 12) + (plan.startSeconds ?? 0) * 1000;
  const code = plan.timecode;
  const clocks: Partial<TelemetrySummary> = {
    ...(plan.firstClock === undefined ? {} : { firstClock: plan.firstClock }),
    ...(plan.lastClock === undefined ? {} : { lastClock: plan.lastClock }),
  };
  const summary: TelemetrySummary = {
    dialect: "test",
    records: 10,
    unreadRecords: 0,
    spacingSeconds: 1,
    cadence: "per second",
    coverage: 1,
    gaps: [],
    lagSeconds: 0,
    endSeconds: frames / 25,
    unknownKeys: {},
    ...clocks,
  };
  const facts: Facts = {
    structure: read("whole", origin),
    fileBytes: read(bytes, origin),
    codec: read(plan.codec ?? "h264", origin),
    width: read(plan.width ?? 3840, origin),
    height: read(Math.round(((plan.width ?? 3840) * 9) / 16), origin),
    frameRate: read(rate(25), origin),
    frames: read(frames, origin),
    durationSeconds: read(framesDuration(frames, rate(25)), origin),
    ...(plan.startSeconds === undefined
      ? {}
      : { createdAt: read({ text: new Date(at).toISOString(), zone: "utc", epochMilliseconds: at }, origin) }),
    ...(code === undefined
      ? {}
      : {
          timecode: read(
            { start: code, dropFrame: false, labelsPerSecond: 25, startFrame: timecodeFrame(code, 25) ?? -1 },
            origin,
          ),
        }),
    ...(plan.firstClock === undefined && plan.lastClock === undefined ? {} : { telemetry: read(summary, origin) }),
    ...(plan.iso === undefined ? {} : { iso: read(constantSeries(plan.iso, (frames / 25) * 1e6), origin) }),
    ...plan.facts,
  };
  return {
    name: plan.name,
    files: [{ path: plan.name, bytes, modifiedMilliseconds: at, role: "original" }],
    joints: [],
    facts,
    readers: ["goodgate"],
    cost: { bytes: 1, calls: 1, milliseconds: 1, neededBytes: 1 },
  };
}
