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
import { type ClockVerdict, clockPoints } from "./clock-rate.ts";
import { factFold, type FoldedSoFar, mentioned, ratioKeys } from "./fact-fold.ts";
import { positionFold } from "./position-fold.ts";
import type { RecordClock, RecordStream, TelemetryRecord } from "./record.ts";
import type { Sampled } from "./sampling.ts";
import { cadenceOf, gapsIn, holdEnd, type Spacing, spacingOf } from "./spacing.ts";
import { ownText, type UnknownKeys } from "./unknown-keys.ts";

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
  /** Records of one kind each; the first stream gives spacing, cadence and coverage. */
  readonly streams: readonly RecordStream[];
  /** Name of one record, for pointing at damage. */
  nameOf(stream: number, place: number): string;
  readonly clip: ClipTimes;
  readonly rest: UnknownKeys;
  /** Records found unreadable before folding. */
  readonly unreadRecords: number;
  readonly remarks: readonly string[];
  /** Set when not every record is in the streams. */
  readonly sampled?: Sampled;
  readonly clockSource: "satellite" | "camera";
}

const number = (value: number): number => value;

/** Folds the records of one source into facts: series aligned by time, the first place, the path, what the clock proves. */
export function foldTelemetry(source: TelemetrySource): TelemetryFacts {
  const { clip } = source;
  const shutterKey = ratioKeys();
  const rateKey = ratioKeys();
  const folds = {
    shutterSeconds: factFold<Seconds>("shutter time", shutterKey),
    iso: factFold<number>("ISO", number),
    fNumber: factFold<number>("f-number", number),
    exposureBias: factFold<number>("exposure bias", number),
    whiteBalanceKelvin: factFold<number>("colour temperature", number),
    ndStops: factFold<number>("neutral density", number),
    gainDecibels: factFold<number>("gain", number),
    shutterAngle: factFold<number>("shutter angle", number),
    focalLength35mm: factFold<number>("focal length", number),
    digitalZoom: factFold<number>("zoom", number),
    colourMode: factFold<string>("colour mode", (value) => value),
    heightMetres: factFold<number>("height", number),
    yawDegrees: factFold<number>("heading", number),
  };
  const captureRates = factFold<Rate>("capture rate", rateKey);
  const positions = positionFold();
  const clock = clockFold();
  const mainSpacing = spacingOf(source.streams[0]?.starts ?? []);
  let unread = source.unreadRecords;
  let covered = 0;
  let endMicroseconds = 0;
  const at: FoldedSoFar = { start: 0, place: 0, end: 0, records: 0, held: 0 };
  const endRuns = (nameOf: (place: number) => string): void => {
    for (const fold of Object.values(folds)) fold.change(undefined, at, nameOf);
    captureRates.change(undefined, at, nameOf);
  };

  for (let one = 0; one < source.streams.length; one += 1) {
    const stream = source.streams[one] as RecordStream;
    const median = stepOf(one === 0 ? mainSpacing : spacingOf(stream.starts), source.sampled);
    const count = stream.starts.length;
    const nameOf = (place: number): string => source.nameOf(one, place);
    const name = (): string => nameOf(at.place);
    for (let place = 0; place < count; place += 1) {
      const record = stream.record(place);
      if (record === undefined) {
        unread += 1;
        continue;
      }
      const ownStart = stream.starts[place] as number;
      const ownEnd = holdEnd(stream, place, median);
      const start = withinClip(ownStart, clip);
      const end = withinClip(ownEnd, clip);
      if (one === 0) {
        covered += end - start;
        if (ownEnd > endMicroseconds) endMicroseconds = ownEnd;
      }
      at.start = start;
      at.place = place;
      // Readers of text hand out the same objects while a value stays: only what changes is folded.
      const { shutterSeconds, iso, fNumber, exposureBias, whiteBalanceKelvin, ndStops, gainDecibels } = folds;
      const { shutterAngle, focalLength35mm, digitalZoom, colourMode, heightMetres, yawDegrees } = folds;
      if (record.shutterSeconds !== shutterSeconds.stated) shutterSeconds.change(record.shutterSeconds, at, nameOf);
      if (record.iso !== iso.stated) iso.change(record.iso, at, nameOf);
      if (record.fNumber !== fNumber.stated) fNumber.change(record.fNumber, at, nameOf);
      if (record.exposureBias !== exposureBias.stated) exposureBias.change(record.exposureBias, at, nameOf);
      if (record.whiteBalanceKelvin !== whiteBalanceKelvin.stated) {
        whiteBalanceKelvin.change(record.whiteBalanceKelvin, at, nameOf);
      }
      if (record.ndStops !== ndStops.stated) ndStops.change(record.ndStops, at, nameOf);
      if (record.gainDecibels !== gainDecibels.stated) gainDecibels.change(record.gainDecibels, at, nameOf);
      if (record.shutterAngle !== shutterAngle.stated) shutterAngle.change(record.shutterAngle, at, nameOf);
      if (record.focalLength35mm !== focalLength35mm.stated) focalLength35mm.change(record.focalLength35mm, at, nameOf);
      if (record.digitalZoom !== digitalZoom.stated) digitalZoom.change(record.digitalZoom, at, nameOf);
      if (record.colourMode !== colourMode.stated) colourMode.change(record.colourMode, at, nameOf);
      if (record.heightMetres !== heightMetres.stated) heightMetres.change(record.heightMetres, at, nameOf);
      if (record.yawDegrees !== yawDegrees.stated) yawDegrees.change(record.yawDegrees, at, nameOf);
      if (record.captureRate !== captureRates.stated) captureRates.change(record.captureRate, at, nameOf);
      positions.add(record, start, name);
      clock.add(record, ownStart);
      at.records += 1;
      at.held += end - start;
      at.end = end;
      // Records that all begin at once end in any order: none may speak for the one before it.
      if (median === 0) endRuns(nameOf);
    }
    endRuns(nameOf);
  }

  const origin: Origin = { kind: "per-frame record", file: source.file, place: source.place };
  const main = source.streams[0];
  const firstStart = main?.starts[0] ?? 0;
  const verdict = clock.verdict(Math.max(0, endMicroseconds - firstStart), clip.frameRate);
  const remarks = [...source.remarks];
  if (positions.byOrder() > 0)
    remarks.push(
      "Latitude and longitude were told apart by their order, longitude first; nothing in the text proves it.",
    );
  const captureRate =
    statedRate(captureRates.finish(clip.microseconds, origin)) ?? rateByClock(verdict, origin, remarks);
  const damagedValues: Record<string, number> = {};
  for (const [fact, fold] of [...Object.entries(folds), ["captureRate", captureRates] as const]) {
    if (fold.faults() > 0) damagedValues[fact] = fold.faults();
  }
  if (positions.faults() > 0) damagedValues["location"] = positions.faults();
  const summary: TelemetrySummary = {
    dialect: source.dialect,
    records: main?.starts.length ?? 0,
    unreadRecords: unread,
    spacingSeconds: mainSpacing.medianMicroseconds / 1e6,
    cadence: cadenceOf(mainSpacing, source.sampled?.stepMicroseconds, clip.frameRate),
    coverage: clip.microseconds === undefined || clip.microseconds <= 0 ? 1 : Math.min(1, covered / clip.microseconds),
    ...(source.sampled === undefined ? {} : { sampled: source.sampled.says }),
    gaps: gapsIn(main?.starts ?? [], stepOf(mainSpacing, source.sampled)),
    lagSeconds: firstStart / 1e6,
    endSeconds: endMicroseconds / 1e6,
    ...clock.summary(source.clockSource),
    unknownKeys: source.rest.list(),
    ...(Object.keys(damagedValues).length > 0 ? { damagedValues } : {}),
    ...(remarks.length > 0 ? { remarks } : {}),
  };
  const readable = source.streams.some((stream) => stream.starts.length > 0) && unread < totalRecords(source);
  const telemetry = readable ? read(summary, origin) : damaged("none of the records can be read", origin);
  const series = Object.entries(folds).map(([fact, fold]) => [fact, fold.finish(clip.microseconds, origin)] as const);
  // Names and folds come from one table, so each series carries the type of its fact.
  const readings = mentioned(Object.fromEntries(series)) as TelemetryFacts;
  return {
    telemetry,
    ...readings,
    ...positions.finish(origin),
    ...(captureRate === undefined ? {} : { captureRate }),
  };
}

/** The step a value is taken to hold for: between places that were read, what was not read is no hole. */
const stepOf = (spacing: Spacing, sampled: Sampled | undefined): number =>
  Math.max(spacing.medianMicroseconds, spacing.medianMicroseconds > 0 ? (sampled?.everyMicroseconds ?? 0) : 0);

const totalRecords = (source: TelemetrySource): number =>
  source.streams.reduce((sum, stream) => sum + stream.starts.length, source.unreadRecords);

const withinClip = (time: number, clip: ClipTimes): number =>
  Math.max(0, clip.microseconds === undefined ? time : Math.min(time, clip.microseconds));

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

interface ClockFold {
  add(record: TelemetryRecord, startMicroseconds: number): void;
  verdict(spanMicroseconds: number, frameRate: Rate | undefined): ClockVerdict;
  summary(source: "satellite" | "camera"): Partial<TelemetrySummary>;
}

function clockFold(): ClockFold {
  const points = clockPoints();
  let firstText: string | undefined;
  let last: RecordClock | undefined;
  // One object for the numbers: as variables of their own each change of them would take new memory.
  const times = { first: 0, last: 0, step: Number.POSITIVE_INFINITY };
  return {
    add({ clock }, startMicroseconds) {
      if (clock === undefined) return;
      if (firstText === undefined) {
        firstText = ownText(clock.text);
        times.first = clock.microseconds;
      }
      // Its text is made when it is known to be the last.
      last = clock;
      times.last = clock.microseconds;
      if (clock.stepMicroseconds < times.step) times.step = clock.stepMicroseconds;
      points.add(startMicroseconds, clock.microseconds);
    },
    verdict: (spanMicroseconds, frameRate) => points.verdict(times.step, spanMicroseconds, frameRate),
    summary: (source) =>
      firstText === undefined || last === undefined
        ? {}
        : {
            firstClock: firstText,
            lastClock: ownText(last.text),
            clockSpanSeconds: (times.last - times.first) / 1e6,
            clockStepSeconds: times.step / 1e6,
            clockSource: source,
          },
  };
}
