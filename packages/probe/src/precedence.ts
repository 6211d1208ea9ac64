import {
  compare,
  type CreationTime,
  distance,
  divide,
  equal,
  type Facts,
  type FactName,
  type FactValues,
  nearestStandardRate,
  type Position,
  type Rate,
  type Ratio,
  type Reading,
  type Read,
  read,
  type Series,
  toNumber,
  typicalValue,
  type Witness,
} from "@goodgate/model";
import type { TelemetryFacts } from "./contracts.ts";
import type { ClipXmlFacts } from "./sidecars/clip-xml.ts";
import { parseCreationTime, sameMoment } from "./sidecars/creation-time.ts";
import type { XmpFacts } from "./sidecars/xmp.ts";

/** Everything that speaks about one clip, each list in the order the sources were found. */
export interface Sources {
  /** The clip's own file, by our reader or by ffprobe. */
  readonly container: Facts;
  /** Timed metadata tracks. */
  readonly dataTracks: readonly TelemetryFacts[];
  /** Text tracks in the file. */
  readonly textTracks: readonly TelemetryFacts[];
  /** Subtitle files beside it. */
  readonly cueFiles: readonly TelemetryFacts[];
  /** Clip metadata in XML beside it. */
  readonly clipXml: readonly ClipXmlFacts[];
  /** XMP in the container, then beside it. */
  readonly xmp: readonly XmpFacts[];
  /** Photographs of the same stem: another exposure, so they never win. */
  readonly stills: readonly StillWitness[];
}

/** The exposure of a thumbnail or still of the clip's stem, each value as a series over the clip. */
export type StillWitness = Pick<Facts, "shutterSeconds" | "iso" | "fNumber" | "location">;

/**
 * One set of facts from all sources. Per fact the first source in the order of the trade that was read wins; the others
 * that were read become witnesses, marked with whether they agree within the tolerance of that fact, and those that are
 * broken stay beside it. When none was read
 * the first damaged one stands, else the first reason for absence. The time a file was last written is not used as a
 * start clock: it is the end of the recording, or the time of a copy.
 */
export function combineFacts(from: Sources): Facts {
  const { container, clipXml, xmp } = from;
  const perFrame = [...from.dataTracks, ...from.textTracks, ...from.cueFiles];
  const facts: Record<string, Reading<unknown>> = {};
  const put = <Name extends FactName>(
    name: Name,
    sources: readonly Partial<Facts>[],
    agrees: (a: FactValues[Name], b: FactValues[Name]) => boolean,
    witnesses: readonly Partial<Facts>[] = [],
  ): void => {
    const readings = (list: readonly Partial<Facts>[]): readonly (Reading<FactValues[Name]> | undefined)[] =>
      // A key of Facts holds a reading of that key's value; the index type does not say so for a generic name.
      list.map((source) => source[name] as Reading<FactValues[Name]> | undefined);
    const reading = choose(readings(sources), agrees, readings(witnesses));
    if (reading !== undefined) facts[name] = reading;
  };

  for (const [name, reading] of Object.entries(container)) if (reading !== undefined) facts[name] = reading;
  put("frameRate", [container, ...clipXml, ...xmp], sameRateWhenSnapped);
  put(
    "captureRate",
    [...from.dataTracks, ...clipXml, container, ...from.textTracks, ...from.cueFiles],
    withinShare(0.01),
  );
  put("frames", [container, ...clipXml], (a, b) => a === b);
  put("timecode", [container, ...from.dataTracks, ...clipXml, ...xmp], (a, b) => {
    return a.startFrame === b.startFrame && a.dropFrame === b.dropFrame && a.labelsPerSecond === b.labelsPerSecond;
  });
  for (const name of ["cameraMaker", "cameraModel", "serialNumber"] as const) {
    put(name, [container, ...clipXml, ...xmp], (a, b) => a.trim().toLowerCase() === b.trim().toLowerCase());
  }
  put("telemetry", perFrame, (a, b) => a.dialect === b.dialect);
  put("shutterSeconds", [...perFrame, ...xmp], sameSeries(withinShare(0.03), ratioOrder), from.stills);
  put("shutterAngle", perFrame, sameSeries(numberShare(0.02), order));
  // One step of a camera's own list: a third of a stop is 26 %, the finest automatic steps about 12 %.
  put("iso", [...perFrame, ...xmp], sameSeries(numberShare(0.12), order), from.stills);
  put("fNumber", [...perFrame, ...xmp], sameSeries(numberShare(0.02), order), from.stills);
  put(
    "whiteBalanceKelvin",
    perFrame,
    sameSeries((a, b) => Math.abs(a - b) <= 100, order),
  );
  put(
    "exposureBias",
    [...perFrame, ...xmp],
    sameSeries((a, b) => Math.abs(a - b) <= 0.05, order),
  );
  put(
    "ndStops",
    perFrame,
    sameSeries((a, b) => Math.abs(a - b) <= 0.1, order),
  );
  put(
    "gainDecibels",
    perFrame,
    sameSeries((a, b) => Math.abs(a - b) <= 0.5, order),
  );
  put("focalLength35mm", perFrame, sameSeries(numberShare(0.02), order));
  put("digitalZoom", perFrame, sameSeries(numberShare(0.02), order));
  put(
    "heightMetres",
    perFrame,
    sameSeries((a, b) => Math.abs(a - b) <= 5, order),
  );
  put(
    "yawDegrees",
    perFrame,
    sameSeries((a, b) => Math.abs(((a - b + 540) % 360) - 180) <= 5, order),
  );
  put(
    "colourMode",
    perFrame,
    sameSeries((a, b) => a === b, textOrder),
  );
  put("path", perFrame, () => true);
  put("location", [...perFrame, container, ...xmp], (a, b) => metresApart(a, b) <= 50, from.stills);
  const created = createdAt(from, perFrame);
  if (created !== undefined) facts["createdAt"] = created;
  return facts as Facts;
}

/** The first reading that was read, with the others that were read as witnesses; else damage; else absence. */
export function choose<T>(
  readings: readonly (Reading<T> | undefined)[],
  agrees: (a: T, b: T) => boolean,
  witnessesOnly: readonly (Reading<T> | undefined)[] = [],
): Reading<T> | undefined {
  const winner = readings.find((reading): reading is Read<T> => reading?.state === "read");
  if (winner === undefined) {
    return (
      readings.find((reading) => reading?.state === "damaged") ?? readings.find((reading) => reading !== undefined)
    );
  }
  const witnesses: Witness<T>[] = [...(winner.witnesses ?? [])];
  for (const reading of [...readings, ...witnessesOnly]) {
    if (reading === undefined || reading === winner || reading.state !== "read") continue;
    witnesses.push({ value: reading.value, origin: reading.origin, agrees: agrees(winner.value, reading.value) });
  }
  // A broken sidecar must not vanish behind a sound container.
  const broken = [...readings, ...witnessesOnly].filter((reading) => reading?.state === "damaged");
  if (witnesses.length === 0 && broken.length === 0) return winner;
  return { ...winner, ...(witnesses.length === 0 ? {} : { witnesses }), ...(broken.length === 0 ? {} : { broken }) };
}

/** Order of start clocks: satellite, then a stated offset, then a stated UTC, then local clocks; doubtful ones last. */
function createdAt(from: Sources, perFrame: readonly TelemetryFacts[]): Reading<CreationTime> | undefined {
  const files: readonly (Reading<CreationTime> | undefined)[] = [
    from.container.createdAt,
    ...from.clipXml.map((facts) => facts.createdAt),
    ...from.xmp.map((facts) => facts.createdAt),
  ];
  const ranked: { readonly rank: number; readonly reading: Reading<CreationTime> }[] = [];
  for (const reading of files) {
    if (reading === undefined) continue;
    const zone = reading.state === "read" ? reading.value.zone : "unknown";
    ranked.push({ rank: zone === "offset" ? 1 : zone === "utc" ? 2 : 3, reading });
  }
  for (const { telemetry } of perFrame) {
    const clock = telemetry?.state === "read" ? telemetry.value : undefined;
    const time = clock?.firstClock === undefined ? undefined : parseCreationTime(clock.firstClock);
    if (clock === undefined || time === undefined || telemetry?.state !== "read") continue;
    const origin = { ...telemetry.origin, place: `${telemetry.origin.place}: first clock` };
    const satellite = clock.clockSource === "satellite";
    const value: CreationTime =
      satellite && time.zone === "unknown" ? { ...time, text: `${time.text}Z`, zone: "utc" } : time;
    ranked.push({ rank: satellite ? 0 : 4, reading: read(value, origin) });
  }
  const doubt = ({ rank, reading }: (typeof ranked)[number]): number =>
    reading.state === "read" && reading.value.suspect !== undefined ? rank + 10 : rank;
  const sorted = ranked
    .map((one, place) => ({ ...one, place }))
    .sort((a, b) => doubt(a) - doubt(b) || a.place - b.place);
  return choose(
    sorted.map((one) => one.reading),
    sameMoment,
  );
}

function sameRateWhenSnapped(a: Rate, b: Rate): boolean {
  const [left, right] = [nearestStandardRate(a) ?? a, nearestStandardRate(b) ?? b];
  return equal(left, right);
}

const withinShare =
  (share: number) =>
  (a: Ratio, b: Ratio): boolean =>
    a.numerator !== 0n && toNumber(divide(distance(a, b), a)) <= share;
const numberShare =
  (share: number) =>
  (a: number, b: number): boolean =>
    Math.abs(a - b) <= Math.abs(a) * share;

const order = (a: number, b: number): number => a - b;
const ratioOrder = (a: Ratio, b: Ratio): number => compare(a, b);
const textOrder = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/**
 * Two series agree when their typical values do; one that states a single value (a photograph, an XMP packet) also when
 * the other held that value at some time, for it may speak of any moment.
 */
function sameSeries<T>(
  agrees: (a: T, b: T) => boolean,
  sort: (a: T, b: T) => number,
): (a: Series<T>, b: Series<T>) => boolean {
  return (a, b) => {
    if (agrees(typicalValue(a, sort), typicalValue(b, sort))) return true;
    const [only] = b.values;
    return b.values.length === 1 && only !== undefined && a.values.some((value) => agrees(value, only));
  };
}

/** Mean radius of the earth in metres (IUGG); a sphere is exact enough for a tolerance of 50 m. */
const earthMetres = 6_371_008.8;

/** Distance over ground between two places, in metres. */
export function metresApart(a: Position, b: Position): number {
  const radians = Math.PI / 180;
  const [north, south] = [a.latitudeDegrees * radians, b.latitudeDegrees * radians];
  const chord =
    halfSine(south - north) +
    Math.cos(north) * Math.cos(south) * halfSine((b.longitudeDegrees - a.longitudeDegrees) * radians);
  return 2 * earthMetres * Math.asin(Math.min(1, Math.sqrt(chord)));
}

const halfSine = (angle: number): number => Math.sin(angle / 2) ** 2;
