import {
  damaged,
  divide,
  type Facts,
  type FactName,
  fromNumber,
  multiply,
  ratio,
  read,
  type Seconds,
  type Series,
  seriesFacts,
  toNumber,
  type Clip,
} from "@goodgate/model";
import { clipRates } from "./uses.ts";

/** A sidecar that speaks for this much more time than the clip lasts belongs to another clip. House limits. */
const otherClipSeconds = 2;
const otherClipShare = 0.05;

const telemetryFacts = [...seriesFacts, "path"] as const satisfies readonly FactName[];

/**
 * The facts as the rules trust them: telemetry of another clip is set aside, and a shutter stated as an angle becomes a
 * time.
 */
export function settledFacts(clip: Clip): Facts {
  return withShutterTimes(withoutForeignTelemetry(clip.facts));
}

/** How far the records go past the end of the clip, when that proves they belong to another one. */
export function foreignTelemetrySeconds(
  facts: Pick<Facts, "telemetry" | "durationSeconds">,
): { readonly records: number; readonly clip: number } | undefined {
  const telemetry = facts.telemetry;
  const clip = facts.durationSeconds;
  // A track inside the file is the clip's own, whatever it says.
  if (telemetry?.state !== "read" || clip?.state !== "read" || telemetry.origin.file === clip.origin.file) {
    return undefined;
  }
  const records = telemetry.value.endSeconds;
  const length = toNumber(clip.value);
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
