import type { Clip, CreationTime, FactName, Facts, Origin, Reading, TelemetrySummary, Timecode } from "@goodgate/model";
import { factUnits, firstValue, ratioText, toNumber, valueOf } from "@goodgate/model";
import { isSeries, seriesReport } from "./fact-series.ts";
import { isRatio, plainValue, valueText } from "./fact-values.ts";
import { withoutPositions } from "./positions.ts";
import type { FactReport } from "./schema.ts";
import type { Sharer } from "./shared-values.ts";

/** Points of a series at most for which an equal one is looked for in other clips. */
const mostShared = 4;

/** Every fact in the order a page lists them; a test holds it complete. */
export const factOrder = [
  "container",
  "structure",
  "fileBytes",
  "codec",
  "sampleEntry",
  "profile",
  "bitDepth",
  "chroma",
  "frameRate",
  "captureRate",
  "codecRate",
  "timing",
  "frames",
  "durationSeconds",
  "usableSeconds",
  "startSeconds",
  "mediaSeconds",
  "headerSeconds",
  "editList",
  "width",
  "height",
  "pixelAspect",
  "cleanAperture",
  "rotationDegrees",
  "mirrored",
  "scan",
  "primaries",
  "transfer",
  "matrix",
  "fullRange",
  "mastering",
  "timecode",
  "createdAt",
  "sound",
  "textTracks",
  "dataTracks",
  "syncSamples",
  "bitRate",
  "dataExtent",
  "metadata",
  "cameraMaker",
  "cameraModel",
  "serialNumber",
  "telemetry",
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
  "heightMetres",
  "yawDegrees",
  "location",
  "path",
  "lookedAt",
  "measuredAngle",
  "noise",
  "noiseBeforeCoding",
  "repeats",
  "flicker",
  "pictureLevels",
  "exposureDrift",
  "horizon",
  "combing",
  "sharpness",
  "motion",
  "stillness",
] as const satisfies readonly FactName[];

/** Facts every clip of a report has, absent ones with the reason. */
export const alwaysReported = [
  "codec",
  "frameRate",
  "captureRate",
  "frames",
  "durationSeconds",
  "width",
  "height",
  "rotationDegrees",
  "transfer",
  "timecode",
  "shutterSeconds",
  "iso",
] as const satisfies readonly FactName[];

/** Why a fact is absent when no reader said anything of it. */
export const notLookedFor = "not looked for in this container";
/** Why a position is absent when the person asked for a report without. */
export const leftOut = "left out on request";

/** How facts are reported. */
export interface FactOptions {
  readonly positions: boolean;
  /** The clip's own file, named by the clip already. */
  readonly own?: string;
  readonly once?: Sharer;
  /** Names of the facts wanted, for a page that draws nothing; all of them, drawn, when left out. */
  readonly only?: readonly FactName[];
}

/**
 * The facts of one clip as the report holds them, in one order whatever the order of `facts`. Ratios become `n/d` with
 * a decimal beside them, series become a summary. Without `positions` no place on earth is in the answer; a fact read from
 * the file `own` does not name it. Equal facts are one object when `once` is given.
 */
export function reportFacts(facts: Facts, options: FactOptions): Record<string, FactReport> {
  const { own, once, only } = options;
  // Made of entries: an object that grows key by key takes eight times the memory.
  const entries: [FactName, FactReport][] = [];
  for (const name of factOrder) {
    if (only !== undefined && !only.includes(name)) continue;
    const reading: Reading<unknown> | undefined = facts[name];
    if (reading === undefined) {
      if ((alwaysReported as readonly FactName[]).includes(name))
        entries.push([name, { state: "absent", why: notLookedFor }]);
      continue;
    }
    if (!options.positions && (name === "location" || name === "path") && reading.state !== "absent") {
      entries.push([name, { state: "absent", why: leftOut }]);
      continue;
    }
    const fact = factReport(name, options.positions ? reading : masked(name, reading), own, only === undefined);
    const shared = once !== undefined && (fact.series?.points.length ?? 0) <= mostShared;
    entries.push([name, shared ? once(name, fact) : fact]);
  }
  return Object.fromEntries(entries);
}

/** A reading whose free text was cleared of positions. */
function masked(name: FactName, reading: Reading<unknown>): Reading<unknown> {
  if (reading.state !== "read") return reading;
  if (name === "metadata") {
    const { kept, left } = withoutPositions(reading.value as Readonly<Record<string, string>>);
    return left === 0 ? reading : { state: "read", value: kept, origin: reading.origin };
  }
  if (name === "telemetry") {
    const summary = reading.value as TelemetrySummary;
    const { kept, left } = withoutPositions(summary.unknownKeys);
    return left === 0 ? reading : { state: "read", value: { ...summary, unknownKeys: kept }, origin: reading.origin };
  }
  return reading;
}

/** One reading as the report holds it; a series without its points where nothing is `drawn`. */
export function factReport(name: FactName, reading: Reading<unknown>, own?: string, drawn = true): FactReport {
  if (reading.state === "absent") return { state: "absent", why: reading.why };
  if (reading.state === "damaged")
    return { state: "damaged", why: reading.why, origin: plainOrigin(reading.origin, own) };
  const unit = factUnits[name];
  const shown = isSeries(reading.value) ? seriesReport(name, reading.value, drawn) : undefined;
  const single = shown === undefined ? reading.value : shown.typical;
  const value = plainValue(labelled(name, single));
  const origin = plainOrigin(reading.origin, own);
  if (!isReportable(value)) return { state: "damaged", why: "the reader gave no finite number", origin };
  return {
    state: "read",
    value,
    ...(isRatio(single) ? { decimal: toNumber(single) } : {}),
    ...(unit === undefined ? {} : { unit }),
    ...(name === "timecode" ? { labelsPerSecond: (single as Timecode).labelsPerSecond } : {}),
    text: shown?.text ?? valueText(name, reading.value),
    origin,
    ...(shown === undefined ? {} : { series: shown.series }),
    ...(reading.witnesses === undefined || reading.witnesses.length === 0
      ? {}
      : {
          witnesses: reading.witnesses.map((witness) => ({
            value: isSeries(witness.value) ? seriesReport(name, witness.value).text : valueText(name, witness.value),
            origin: plainOrigin(witness.origin, own),
            agrees: witness.agrees,
          })),
        }),
    ...(reading.broken === undefined
      ? {}
      : { broken: reading.broken.map(({ why, origin: of }) => ({ why, origin: plainOrigin(of, own) })) }),
  };
}

/** Timecode and creation time are given by their text alone; everything else as it is. */
function labelled(name: FactName, value: unknown): unknown {
  if (name === "timecode") return (value as Timecode).start;
  return name === "createdAt" ? (value as CreationTime).text : value;
}

type FactValue = NonNullable<FactReport["value"]>;
const isReportable = (value: unknown): value is FactValue => value !== undefined && value !== null;

/** Facts that share an origin share it in the report as well. */
const plainOrigins = new WeakMap<Origin, NonNullable<FactReport["origin"]>>();

function plainOrigin(origin: Origin, own?: string): NonNullable<FactReport["origin"]> {
  let plain = plainOrigins.get(origin);
  if (plain === undefined || (plain.file === undefined) !== (origin.file === own)) {
    plain = {
      kind: origin.kind,
      ...(origin.file === own ? {} : { file: origin.file }),
      place: origin.place,
      ...(origin.reader === undefined ? {} : { reader: origin.reader }),
    };
    plainOrigins.set(origin, plain);
  }
  return plain;
}

/** One clip as one flat object, for `facts --jsonl`: null where there is nothing, so that every line has every key. */
export interface FlatFacts {
  readonly path: string;
  /** `damaged` when what decides playing is broken or when nothing at all could be read. */
  readonly state: "read" | "damaged" | "not footage";
  readonly container: string | null;
  readonly codec: string | null;
  readonly frames: number | null;
  /** As `n/d`. */
  readonly frameRate: string | null;
  readonly durationSeconds: number | null;
  /** Whether frame intervals vary, missing frames included. */
  readonly variable: boolean | null;
  readonly width: number | null;
  readonly height: number | null;
  readonly rotationDegrees: number | null;
  readonly primaries: string | null;
  readonly transfer: string | null;
  readonly matrix: string | null;
  readonly timecode: string | null;
  /** Null when the list of tracks could not be read. */
  readonly hasAudio: boolean | null;
  /** Counts of tracks: 0 when there are none, null when the list of tracks could not be read. */
  readonly textTracks: number | null;
  readonly dataTracks: number | null;
  /** First value, as `n/d`. */
  readonly shutterSeconds: string | null;
  /** First values. */
  readonly iso: number | null;
  readonly fNumber: number | null;
}

/**
 * The flat line of a file that is no clip: every key, and null in all but path and state; `hasAudio` too where the file
 * was read and holds sound.
 */
export const flatNotFootage = (path: string, hasSound?: true): FlatFacts => ({
  ...flatFacts({ name: path, facts: {} }),
  state: "not footage",
  hasAudio: hasSound ?? null,
});

/** Facts without which a clip cannot be placed on a timeline. */
const decisive = ["container", "structure", "codec", "frames", "frameRate", "durationSeconds"] as const;

/** One clip as one flat object with the same keys for every clip. */
export function flatFacts(clip: Pick<Clip, "name" | "facts" | "notFootage">): FlatFacts {
  const { facts } = clip;
  const rate = valueOf(facts.frameRate);
  const duration = valueOf(facts.durationSeconds);
  const timing = valueOf(facts.timing);
  const shutter = valueOf(facts.shutterSeconds);
  const iso = valueOf(facts.iso);
  const fNumber = valueOf(facts.fNumber);
  return {
    path: clip.name,
    state: stateOf(clip),
    container: valueOf(facts.container) ?? null,
    codec: valueOf(facts.codec) ?? null,
    frames: number(valueOf(facts.frames)),
    frameRate: rate === undefined ? null : ratioText(rate),
    durationSeconds: duration === undefined ? null : number(toNumber(duration)),
    variable: timing === undefined ? null : timing.kind === "variable" || timing.kind === "slips",
    width: number(valueOf(facts.width)),
    height: number(valueOf(facts.height)),
    rotationDegrees: number(valueOf(facts.rotationDegrees)),
    primaries: valueOf(facts.primaries) ?? null,
    transfer: valueOf(facts.transfer) ?? null,
    matrix: valueOf(facts.matrix) ?? null,
    timecode: valueOf(facts.timecode)?.start ?? null,
    hasAudio: hasAny(facts, facts.sound),
    textTracks: count(facts, facts.textTracks),
    dataTracks: count(facts, facts.dataTracks),
    shutterSeconds: shutter === undefined ? null : ratioText(firstValue(shutter)),
    iso: iso === undefined ? null : number(firstValue(iso)),
    fNumber: fNumber === undefined ? null : number(firstValue(fNumber)),
  };
}

/** Facts of which at least one is read when the list of tracks could be read: then what is absent is not there. */
const seenWithTracks = ["codec", "width", "frames", "frameRate", "sound"] as const;

/** Whether there is such a track; null when the file's index could not be read, for then nobody knows. */
function hasAny(facts: Facts, reading: Reading<unknown> | undefined): boolean | null {
  if (reading === undefined) return null;
  if (reading.state !== "absent") return true;
  return seenWithTracks.some((name) => facts[name]?.state === "read") ? false : null;
}

function count(facts: Facts, reading: Reading<readonly unknown[]> | undefined): number | null {
  if (reading?.state === "read") return reading.value.length;
  return hasAny(facts, reading) === false ? 0 : null;
}

const number = (value: number | undefined): number | null =>
  value === undefined || !Number.isFinite(value) ? null : value;

function stateOf(clip: Pick<Clip, "facts" | "notFootage">): FlatFacts["state"] {
  if (clip.notFootage !== undefined) return "not footage";
  const states = decisive.map((name) => clip.facts[name]?.state);
  if (states.includes("damaged")) return "damaged";
  // Nothing read and nothing said to be broken: the file could not be opened at all.
  return states.includes("read") ? "read" : "damaged";
}
