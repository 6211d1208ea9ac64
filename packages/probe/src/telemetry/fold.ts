import {
  damaged,
  nearestStandardRate,
  type Origin,
  type Rate,
  read,
  type Reading,
  type Seconds,
  type Series,
  type TelemetrySummary,
  typicalValue,
  compare,
} from "@goodgate/model";
import type { TelemetryFacts } from "../contracts.ts";
import { clockFold } from "./clock-fold.ts";
import type { ClockVerdict } from "./clock-rate.ts";
import { foldColumns } from "./column-fold.ts";
import type { CueColumns } from "./cue-columns.ts";
import { factFold, mentioned, numberFold, ratioKeys } from "./fact-fold.ts";
import { positionFold } from "./position-fold.ts";
import type { RecordStream } from "./record.ts";
import { foldRecords, type Folds } from "./record-fold.ts";
import type { Sampled } from "./sampling.ts";
import { cadenceOf, gapsIn, stepOf } from "./spacing.ts";
import type { UnknownKeys } from "./unknown-keys.ts";

/** What is known of the clip a telemetry source belongs to. */
export interface ClipTimes {
  readonly microseconds?: number;
  readonly frameRate?: Rate;
}

/** One telemetry source, ready to be folded into facts. */
export interface TelemetrySource {
  readonly dialect: string;
  /** Path inside the card. */
  readonly file: string;
  /** `cues 1 to 300`, `track 3 (camm) samples 0 to 49`. */
  readonly place: string;
  /** Streams of records, or cues that have been read. */
  readonly records: RecordStreams | CueColumns;
  readonly clip: ClipTimes;
  readonly rest: UnknownKeys;
  /** Records found unreadable before folding. */
  readonly unreadRecords: number;
  readonly remarks: readonly string[];
  /** Set when not every record is in the streams. */
  readonly sampled?: Sampled;
  readonly clockSource: "satellite" | "camera";
}

/** Records of one kind each; the first stream gives spacing, cadence and coverage. */
export interface RecordStreams {
  readonly streams: readonly RecordStream[];
  /** Name of one record, for pointing at damage. */
  nameOf(stream: number, place: number): string;
}

/** The folds of the facts; names and folds come from one table, so that each series is of the type of its fact. */
const factFolds = () => ({
  shutterSeconds: factFold<Seconds>("shutter time", ratioKeys()),
  iso: numberFold("ISO"),
  fNumber: numberFold("f-number"),
  exposureBias: numberFold("exposure bias"),
  whiteBalanceKelvin: numberFold("colour temperature"),
  ndStops: numberFold("neutral density"),
  gainDecibels: numberFold("gain"),
  shutterAngle: numberFold("shutter angle"),
  focalLength35mm: numberFold("focal length"),
  digitalZoom: numberFold("zoom"),
  colourMode: factFold<string>("colour mode", (value) => value),
  heightMetres: numberFold("height"),
  yawDegrees: numberFold("heading"),
  captureRate: factFold<Rate>("capture rate", ratioKeys()),
});

/** Folds the records of one source into facts: series aligned by time, the first place, the path, what the clock proves. */
export function foldTelemetry(source: TelemetrySource): TelemetryFacts {
  const { clip, records, sampled } = source;
  const columns = "streams" in records ? undefined : records;
  const folds = factFolds();
  // Records name their fields as the folds do: each is given statements of its own kind.
  const facts = folds as unknown as Folds["facts"];
  const positions = columns?.positions ?? positionFold();
  const clock = columns?.clock ?? clockFold();
  const times =
    "streams" in records
      ? foldRecords({ facts, positions, clock }, records, clip, sampled)
      : foldColumns(facts, records, sampled);
  const { starts, spacing } = times;
  const unread = source.unreadRecords + times.unread;
  const origin: Origin = { kind: "per-frame record", file: source.file, place: source.place };
  const firstStart = starts[0] ?? 0;
  const verdict = clock.verdict(Math.max(0, times.end - firstStart), clip.frameRate);
  const remarks = [...source.remarks];
  if (positions.byOrder() > 0)
    remarks.push(
      "Latitude and longitude were told apart by their order, longitude first; nothing in the text proves it.",
    );
  const { captureRate: rates, ...series } = folds;
  const captureRate = statedRate(rates.finish(clip.microseconds, origin)) ?? rateByClock(verdict, origin, remarks);
  const damagedValues: Record<string, number> = {};
  for (const [fact, fold] of Object.entries(folds)) if (fold.faults() > 0) damagedValues[fact] = fold.faults();
  if (positions.faults() > 0) damagedValues["location"] = positions.faults();
  const summary: TelemetrySummary = {
    dialect: source.dialect,
    records: starts.length,
    unreadRecords: unread,
    spacingSeconds: spacing.medianMicroseconds / 1e6,
    cadence: cadenceOf(spacing, sampled?.stepMicroseconds, clip.frameRate),
    coverage:
      clip.microseconds === undefined || clip.microseconds <= 0 ? 1 : Math.min(1, times.covered / clip.microseconds),
    ...(sampled === undefined ? {} : { sampled: sampled.says }),
    gaps: gapsIn(starts, stepOf(spacing, sampled), times.holes),
    lagSeconds: firstStart / 1e6,
    endSeconds: times.end / 1e6,
    ...clock.summary(source.clockSource),
    unknownKeys: source.rest.list(),
    ...(Object.keys(damagedValues).length > 0 ? { damagedValues } : {}),
    ...(remarks.length > 0 ? { remarks } : {}),
  };
  const readable = times.records > 0 && unread < source.unreadRecords + times.records;
  const telemetry = readable ? read(summary, origin) : damaged("none of the records can be read", origin);
  const finished = Object.entries(series).map(
    ([fact, fold]) => [fact, fold.finish(clip.microseconds, origin)] as const,
  );
  const readings = mentioned(Object.fromEntries(finished)) as TelemetryFacts;
  return {
    telemetry,
    ...readings,
    ...positions.finish(origin),
    ...(captureRate === undefined ? {} : { captureRate }),
  };
}

/** The capture rate the records state; the one held longest when they state several. */
function statedRate(rates: Reading<Series<Rate>> | undefined): Reading<Rate> | undefined {
  if (rates?.state !== "read") return rates;
  const stated = typicalValue(rates.value, compare);
  return read(nearestStandardRate(stated) ?? stated, rates.origin);
}

/** The capture rate the clock proves, and a remark when it proves slow motion or a time lapse without a sure rate. */
function rateByClock(verdict: ClockVerdict, origin: Origin, remarks: string[]): Reading<Rate> | undefined {
  if (verdict.captureRate !== undefined) {
    const place = `clock in ${origin.place}: ${Number(verdict.ratio?.toFixed(4))} s pass per second of film`;
    return read(verdict.captureRate, { ...origin, kind: "inferred", place });
  }
  if (verdict.film === "slow" || verdict.film === "fast") {
    const share = Number((verdict.ratio ?? 0).toPrecision(3));
    remarks.push(
      verdict.film === "slow"
        ? `The clock in the records passes ${share} s per second of film: slow motion, at a rate it cannot tell.`
        : `The clock in the records passes ${share} s per second of film: a time lapse or fast motion.`,
    );
  }
  return undefined;
}
