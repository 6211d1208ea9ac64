import {
  absent,
  damaged,
  divide,
  extremes,
  type Facts,
  type FactName,
  firstValue,
  fromNumber,
  multiply,
  nearestStandardRate,
  type Rate,
  ratio,
  read,
  type Seconds,
  type Series,
  toNumber,
  valueOf,
  type Clip,
} from "@goodgate/model";
import { clipRates } from "./uses.ts";

/** A clock in the records must stray from file time by more than this share to prove slow motion. House limit. */
const clockShare = 0.02;
/** A capture rate concluded from clocks must be this near (in parts per million) to a standard rate. House limit. */
const clockSnapPartsPerMillion = 10_000;
/** A sidecar that speaks for this much more time than the clip lasts belongs to another clip. House limits. */
const otherClipSeconds = 2;
const otherClipShare = 0.05;

const telemetryFacts = [
  "shutterSeconds",
  "iso",
  "fNumber",
  "exposureBias",
  "whiteBalanceKelvin",
  "ndStops",
  "gainDecibels",
  "shutterAngle",
  "focalLength35mm",
  "digitalZoom",
  "colourMode",
  "path",
  "heightMetres",
  "yawDegrees",
] as const satisfies readonly FactName[];

/**
 * The facts as the rules trust them: telemetry of another clip is set aside, a shutter stated as an angle becomes a
 * time, and a clock in the records that runs faster than the file proves the capture rate.
 */
export function settledFacts(clip: Clip): Facts {
  return withShutterTimes(withCaptureRate(withoutForeignTelemetry(clip.facts)));
}

/** How far the records go past the end of the clip, when that proves they belong to another one. */
export function foreignTelemetrySeconds(facts: Facts): { readonly records: number; readonly clip: number } | undefined {
  const telemetry = facts.telemetry;
  const clip = valueOf(facts.durationSeconds);
  if (telemetry?.state !== "read" || clip === undefined || telemetry.origin.kind !== "sidecar") return undefined;
  const records = telemetry.value.endSeconds;
  const length = toNumber(clip);
  return records - length > Math.max(otherClipSeconds, otherClipShare * length) ? { records, clip: length } : undefined;
}

function withoutForeignTelemetry(facts: Facts): Facts {
  const foreign = foreignTelemetrySeconds(facts);
  if (foreign === undefined || facts.telemetry?.state !== "read") return facts;
  const { origin } = facts.telemetry;
  const why = `the records last ${foreign.records.toFixed(1)} s and the clip ${foreign.clip.toFixed(1)} s: not used`;
  const aside: Record<string, unknown> = {};
  for (const name of telemetryFacts) {
    const reading = facts[name];
    if (reading?.state === "read" && reading.origin.file === origin.file) aside[name] = damaged(why, origin);
  }
  return { ...facts, ...aside };
}

function withCaptureRate(facts: Facts): Facts {
  const plays = valueOf(facts.frameRate);
  const telemetry = facts.telemetry;
  if (facts.captureRate?.state === "read" || plays === undefined || telemetry?.state !== "read") return facts;
  const { clockSpanSeconds, clockStepSeconds, endSeconds, lagSeconds, spacingSeconds } = telemetry.value;
  if (clockSpanSeconds === undefined || clockStepSeconds === undefined || clockSpanSeconds <= 0) return facts;
  // The clock span runs from the first record to the start of the last one.
  const fileSpan = endSeconds - lagSeconds - spacingSeconds;
  if (!(fileSpan > 0)) return facts;
  const factor = clockSpanSeconds / fileSpan;
  if (Math.abs(factor - 1) <= Math.max(clockShare, (1.5 * clockStepSeconds) / fileSpan)) return facts;
  const exact = fromNumber(fileSpan / clockSpanSeconds);
  if (exact === undefined) return facts;
  const concluded: Rate = multiply(plays, exact);
  const snapped = nearestStandardRate(concluded, clockSnapPartsPerMillion);
  if (snapped === undefined) {
    const why = `the records' clock says ${toNumber(concluded).toFixed(1)} frames a second, which is no recording mode`;
    return { ...facts, captureRate: absent(why) };
  }
  const origin = {
    kind: "inferred" as const,
    file: telemetry.origin.file,
    place: "clock of the records against file time",
  };
  return { ...facts, captureRate: read(snapped, origin) };
}

function withShutterTimes(facts: Facts): Facts {
  const angles = facts.shutterAngle;
  if (facts.shutterSeconds?.state === "read" || angles?.state !== "read") return facts;
  const rates = clipRates(facts);
  if (rates === undefined) return facts;
  const perDegree = divide(ratio(1n), multiply(ratio(360n), rates.capture));
  const times: Seconds[] = [];
  for (const angle of angles.value.values) {
    const exact = fromNumber(angle);
    if (exact === undefined || exact.numerator <= 0n) return facts;
    times.push(multiply(exact, perDegree));
  }
  const series: Series<Seconds> = { ...angles.value, values: times };
  const origin = { ...angles.origin, kind: "inferred" as const, place: `${angles.origin.place}, angle as time` };
  return { ...facts, shutterSeconds: read(series, origin) };
}

/** Whether a series of numbers holds one value only. */
export const isConstant = (series: Series<number>): boolean => {
  const { least, most } = extremes(series, (a, b) => a - b);
  return least === most && firstValue(series) === least;
};
