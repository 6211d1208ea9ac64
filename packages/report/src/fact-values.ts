import type {
  CreationTime,
  EditEntry,
  ExtraTrack,
  FactName,
  Mastering,
  Position,
  Ratio,
  Rate,
  Sound,
  TelemetrySummary,
  Timecode,
  Timing,
} from "@goodgate/model";
import { pictureText } from "./picture-text.ts";
import { decimalText, factUnits, rateLabel, ratioText, shutterLabel, toNumber } from "@goodgate/model";

/** Whether a value is an exact ratio. */
export function isRatio(value: unknown): value is Ratio {
  return (
    typeof value === "object" &&
    value !== null &&
    typeof (value as { numerator?: unknown }).numerator === "bigint" &&
    typeof (value as { denominator?: unknown }).denominator === "bigint"
  );
}

/**
 * A value of the model as JSON can hold it: ratios as `n/d`, whole big numbers as text, maps as objects, typed arrays
 * as lists. What JSON cannot say (undefined, a number that is not finite) is left out.
 */
export function plainValue(value: unknown): unknown {
  if (value === null || value === undefined) return undefined;
  if (typeof value === "number") return Number.isFinite(value) ? value : undefined;
  if (typeof value === "string" || typeof value === "boolean") return value;
  if (typeof value === "bigint") return value.toString();
  if (typeof value !== "object") return undefined;
  if (isRatio(value)) return ratioText(value);
  if (value instanceof Map) return plainEntries([...value.entries()].map(([key, item]) => [String(key), item]));
  if (value instanceof Set) return plainList([...value]);
  if (Array.isArray(value)) return plainList(value);
  if (ArrayBuffer.isView(value)) return plainList([...(value as unknown as Iterable<unknown>)]);
  return plainEntries(Object.entries(value));
}

const plainList = (items: readonly unknown[]): readonly unknown[] =>
  items.map(plainValue).filter((item) => item !== undefined);

function plainEntries(entries: readonly (readonly [string, unknown])[]): Record<string, unknown> {
  const plain = entries.map(([key, item]) => [key, plainValue(item)] as const).filter(([, item]) => item !== undefined);
  // fromEntries defines keys, so that a key named __proto__ stays a key.
  return Object.fromEntries(plain);
}

/** A number with at most `digits` after the point and no trailing zeros. */
export const shortNumber = (value: number, digits = 2): string => String(Number(value.toFixed(digits)));

/** A time as a person says it: `8.4 s`, `1 min 12.4 s`, `1 h 2 min 3 s`. */
export function secondsText(value: number): string {
  if (!Number.isFinite(value)) return "not a time";
  const size = Math.abs(value);
  const sign = value < 0 ? "−" : "";
  if (size < 60) return `${sign}${shortNumber(size, size < 1 ? 3 : 2)} s`;
  // Rounded first, so that 119.96 s does not read 1 min 60 s.
  const tenths = Math.round(size * 10);
  const minutes = Math.floor(tenths / 600);
  const rest = tenths % 600 === 0 ? "" : ` ${(tenths % 600) / 10} s`;
  if (minutes < 60) return `${sign}${minutes} min${rest}`;
  return `${sign}${Math.floor(minutes / 60)} h ${minutes % 60} min${rest}`;
}

/** `1 clip`, `2 clips`. */
export const counted = (count: number, noun: string): string => `${count} ${noun}${count === 1 ? "" : "s"}`;

/** A size as a person says it, in decimal units: `512 bytes`, `4.29 GB`. */
export function bytesText(value: number): string {
  const units = ["kB", "MB", "GB", "TB"];
  let size = value;
  let unit = "bytes";
  for (const next of units) {
    if (size < 1000) break;
    size /= 1000;
    unit = next;
  }
  return `${shortNumber(size, unit === "bytes" ? 0 : 2)} ${unit}`;
}

const fps = (value: Rate): string => `${rateLabel(value)} fps`;

/** One value of a fact with its unit, as a person reads it: `1/50 s`, `ISO 100`, `f/2.8`, `29.97 fps`. */
export function valueText(name: FactName, value: unknown): string {
  if (isRatio(value)) {
    if (name === "frameRate" || name === "captureRate" || name === "codecRate") return fps(value);
    if (name === "shutterSeconds") return value.numerator > 0n ? `${shutterLabel(value)} s` : `${ratioText(value)} s`;
    if (factUnits[name] === "s") return secondsText(toNumber(value));
    return decimalText(value);
  }
  const pictures = pictureText(name, value);
  if (pictures !== undefined) return pictures;
  switch (name) {
    case "iso":
      return `ISO ${String(value)}`;
    case "fNumber":
      return `f/${shortNumber(Number(value))}`;
    case "fileBytes":
      return bytesText(Number(value));
    case "exposureBias":
      return `${Number(value) > 0 ? "+" : ""}${shortNumber(Number(value))} stops`;
    case "codec":
    case "sampleEntry":
    case "profile":
      return String(value);
    case "timing":
      return timingText(value as Timing);
    case "timecode":
      return (value as Timecode).start;
    case "createdAt":
      return creationText(value as CreationTime);
    case "sound":
      return soundText(value as Sound);
    case "location":
      return positionText(value as Position);
    case "path":
      return `${(value as readonly unknown[]).length} points`;
    case "textTracks":
    case "dataTracks":
      return tracksText(value as readonly ExtraTrack[]);
    case "editList":
      return editText(value as readonly EditEntry[]);
    case "telemetry":
      return telemetryText(value as TelemetrySummary);
    case "mastering":
      return masteringText(value as Mastering);
    case "cleanAperture": {
      const size = value as { readonly width: Ratio; readonly height: Ratio };
      return `${decimalText(size.width)} × ${decimalText(size.height)} pixels`;
    }
    case "syncSamples": {
      const sync = value as { readonly count: number; readonly longestGapSeconds: number };
      return `${sync.count} frames decode alone, at most ${secondsText(sync.longestGapSeconds)} apart`;
    }
    case "bitRate": {
      const rates = value as { readonly averageBitsPerSecond: number; readonly peakBitsPerSecond?: number };
      const peak =
        rates.peakBitsPerSecond === undefined ? "" : `, peak ${shortNumber(rates.peakBitsPerSecond / 1e6, 1)} Mbit/s`;
      return `${shortNumber(rates.averageBitsPerSecond / 1e6, 1)} Mbit/s${peak}`;
    }
    case "dataExtent": {
      const extent = value as { readonly firstByte: number; readonly endByte: number };
      return `bytes ${extent.firstByte} to ${extent.endByte}`;
    }
    case "metadata":
      return `${Object.keys(value as object).length} entries`;
    case "fullRange":
      return value === true ? "full range" : "limited range";
    case "mirrored":
      return value === true ? "mirrored" : "not mirrored";
    default:
      break;
  }
  const unit = factUnits[name];
  const text = typeof value === "number" ? shortNumber(value, 3) : String(value);
  return unit === undefined ? text : `${text} ${unit}`;
}

function timingText(timing: Timing): string {
  const stretch =
    timing.stretchSeconds === undefined ? "" : `, looked at ${secondsText(timing.stretchSeconds)} of the clip`;
  if (timing.kind === "constant") return `constant${stretch}`;
  if (timing.kind === "rounded") return `constant, rounded to a clock of 1/${timing.timescale} s${stretch}`;
  if (timing.kind === "slips") {
    const places = timing.slips.length;
    const lost = timing.lostFrames === 1 ? "1 frame" : `${timing.lostFrames} frames`;
    return `constant with ${lost} missing in ${places} ${places === 1 ? "place" : "places"}${stretch}`;
  }
  const rate = (ticks: number): string => shortNumber(timing.timescale / Math.max(1, ticks));
  return `variable, ${rate(timing.mostTicks)} to ${rate(timing.leastTicks)} fps from frame to frame${stretch}`;
}

function creationText(at: CreationTime): string {
  const zone = at.zone === "unknown" ? ", zone unknown" : "";
  return `${at.text}${zone}${at.suspect === undefined ? "" : `, not to be believed: ${at.suspect}`}`;
}

function soundText(sound: Sound): string {
  const channels = sound.channels === 1 ? "mono" : sound.channels === 2 ? "stereo" : `${sound.channels} channels`;
  return `${sound.codec}, ${channels}, ${sound.sampleRateHertz} Hz`;
}

function positionText(at: Position): string {
  const altitude = at.altitudeMetres === undefined ? "" : `, ${shortNumber(at.altitudeMetres, 1)} m`;
  return `${shortNumber(at.latitudeDegrees, 5)}, ${shortNumber(at.longitudeDegrees, 5)}${altitude}`;
}

const tracksText = (tracks: readonly ExtraTrack[]): string =>
  tracks.length === 0
    ? "none"
    : tracks.map((track) => `track ${track.id}: ${track.holds}, ${track.samples} samples`).join("; ");

function editText(entries: readonly EditEntry[]): string {
  const most = 4;
  if (entries.length === 0) return "none";
  return entries.slice(0, most).map(entryText).join("; ") + (entries.length > most ? "; …" : "");
}

function entryText(entry: EditEntry): string {
  const length = secondsText(toNumber(entry.durationSeconds));
  if (entry.mediaSeconds === undefined) return `${length} empty`;
  const speed = ratioText(entry.speed) === "1/1" ? "" : ` at ${decimalText(entry.speed)} speed`;
  return `${length} from ${secondsText(toNumber(entry.mediaSeconds))}${speed}`;
}

function telemetryText(of: TelemetrySummary): string {
  const unread = of.unreadRecords === 0 ? "" : `, ${of.unreadRecords} not understood`;
  const sampled = of.sampled === undefined ? "" : `, sampled ${of.sampled}`;
  const damage = Object.entries(of.damagedValues ?? {}).map(([fact, count]) => `${fact} ${count} times`);
  const broken = damage.length === 0 ? "" : `; not readable: ${damage.join(", ")}`;
  const share = `${Math.round(of.coverage * 100)} % of the clip`;
  return `${of.records} records ${of.cadence}${unread}${sampled}, ${share}${broken}${otherKeys(of.unknownKeys)}`;
}

/** Keys shown in a sentence; the JSON has all that were kept. */
const mostShownKeys = 16;

/** What the records hold beside the facts, with the first value of each. */
function otherKeys(keys: Readonly<Record<string, string>>): string {
  const all = Object.entries(keys);
  if (all.length === 0) return "";
  const shown = all.slice(0, mostShownKeys).map(([key, first]) => `${key} ${first}`);
  const more = all.length > mostShownKeys ? ` and ${all.length - mostShownKeys} more` : "";
  return `; other keys: ${shown.join(", ")}${more}`;
}

function masteringText(of: Mastering): string {
  const parts: string[] = [];
  if (of.maximumNits !== undefined) parts.push(`up to ${shortNumber(of.maximumNits, 0)} nits`);
  if (of.minimumNits !== undefined) parts.push(`from ${shortNumber(of.minimumNits, 4)} nits`);
  if (of.maximumContentNits !== undefined) parts.push(`content up to ${of.maximumContentNits} nits`);
  if (of.maximumFrameAverageNits !== undefined) parts.push(`frame average up to ${of.maximumFrameAverageNits} nits`);
  return parts.length === 0 ? "stated without values" : parts.join(", ");
}
