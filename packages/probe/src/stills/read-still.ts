import {
  absent,
  type CreationTime,
  damaged,
  type FoundStill,
  fromNumber,
  type Origin,
  type Position,
  read,
  type Reading,
  type Seconds,
  type Still,
} from "@goodgate/model";
import { join } from "node:path";
import { type CountedFile, openCounted } from "../bytes.ts";
import { extensionOf } from "../card/kinds.ts";
import { reasonOf } from "../card/walk.ts";
import { parseCreationTime } from "../sidecars/creation-time.ts";
import { exactFraction } from "./exact-time.ts";
import { withBoundedCounts } from "./exif-counts.ts";
import { isPng, jpegRaster, pngRaster } from "./raster.ts";

/** EXIF stands in one APP1 segment of at most 64 kB near the start of a JPEG (CIPA DC-008); previews may come before. */
const headBytes = 256 * 1024;
/** Negatives and HEIC keep their tags further in; past this the picture itself begins. */
const longHeadBytes = 2 * 1024 * 1024;

const tags = [
  "ExposureTime",
  "FNumber",
  "ISO",
  "SensitivityType",
  "StandardOutputSensitivity",
  "RecommendedExposureIndex",
  "ISOSpeed",
  "ExposureCompensation",
  "FocalLengthIn35mmFormat",
  "DateTimeOriginal",
  "SubSecTimeOriginal",
  "OffsetTimeOriginal",
  "Orientation",
  "ImageWidth",
  "ImageHeight",
  "SubfileType",
  "GPSLatitude",
  "GPSLatitudeRef",
  "GPSLongitude",
  "GPSLongitudeRef",
  "GPSAltitude",
  "GPSAltitudeRef",
];

type Tags = Readonly<Record<string, unknown>>;

/**
 * Reads the exposure tags of one photograph from its first bytes; the JPEG is preferred to the negative beside it.
 * What is not there is absent, what cannot be is damaged; only an aborted signal throws.
 */
export async function readStill(found: FoundStill, signal: AbortSignal): Promise<Still> {
  signal.throwIfAborted();
  const originals = found.files.filter((file) => file.role === "original");
  const [file] = [...originals].sort((a, b) => preference(a.path) - preference(b.path));
  if (file === undefined) return unread(found, "no picture file among its files");
  let opened: CountedFile | undefined;
  try {
    opened = await openCounted(join(found.root, file.path));
    const head = await opened.read(0, headBytes);
    let long = head;
    let answer = await parse(head);
    if (!isJpeg(head) && !isPng(head) && needsMore(answer) && opened.size > head.length) {
      long = await opened.read(0, longHeadBytes);
      answer = await parse(long);
    }
    signal.throwIfAborted();
    const at = (place: string): Origin => ({ kind: "still", file: file.path, place: `EXIF ${place}` });
    const cost = { ...opened.cost };
    if ("fault" in answer) return { ...broken(found, answer.fault, at("block")), cost };
    const raster = isJpeg(head) ? jpegRaster(long) : isPng(head) ? pngRaster(head) : tiffRaster(answer.tags);
    return {
      name: found.name,
      files: found.files,
      ...facts(answer.tags, at),
      width:
        raster === undefined ? absent("no picture size in the first bytes") : read(raster.width, at("frame header")),
      height:
        raster === undefined ? absent("no picture size in the first bytes") : read(raster.height, at("frame header")),
      cost,
    };
  } catch (error) {
    signal.throwIfAborted();
    const origin: Origin = { kind: "file system", file: file.path, place: "file" };
    return {
      ...broken(found, `cannot be read: ${reasonOf(error)}`, origin),
      ...(opened === undefined ? {} : { cost: { ...opened.cost } }),
    };
  } finally {
    await opened?.close().catch(() => undefined);
  }
}

const preference = (path: string): number =>
  /^jpe?g$/.test(extensionOf(path)) ? 0 : extensionOf(path) === "dng" ? 1 : 2;
const isJpeg = (head: Uint8Array): boolean => head[0] === 0xff && head[1] === 0xd8;
const needsMore = (answer: { readonly tags: Tags } | { readonly fault: string }): boolean =>
  "fault" in answer || answer.tags["ExposureTime"] === undefined;

async function parse(bytes: Uint8Array): Promise<{ readonly tags: Tags } | { readonly fault: string }> {
  if (bytes.length === 0) return { fault: "the file is empty" };
  const { default: exifr } = await import("exifr");
  try {
    // Dates stay text: the package would turn them into times of this machine's own zone.
    const options = { pick: tags, reviveValues: false, translateValues: false, tiff: true, exif: true, gps: true };
    const answer: unknown = await exifr.parse(withBoundedCounts(bytes), options);
    if (answer === undefined || answer === null) {
      return isJpeg(bytes) || isPng(bytes) ? { tags: {} } : { fault: "neither a JPEG nor a picture with tags" };
    }
    if (typeof answer !== "object") return { fault: "its tags cannot be read" };
    const { errors, ...rest } = answer as Record<string, unknown>;
    if (Array.isArray(errors) && Object.keys(rest).length === 0) return { fault: "its EXIF block is cut or broken" };
    return { tags: rest };
  } catch {
    return { fault: "its EXIF block is cut or broken, or it is no picture" };
  }
}

type Exposure = Omit<Still, "name" | "files" | "cost" | "set" | "width" | "height">;

function facts(found: Tags, at: (place: string) => Origin): Exposure {
  const ranged = (name: string, least: number, most: number): Reading<number> => {
    const value = found[name];
    if (value === undefined) return absent(`no ${name}`);
    // A denominator of zero comes out as infinity or no number: the format's way to say "not known".
    if (typeof value === "object") return damaged(`${name} holds a list where one number stands`, at(name));
    if (typeof value !== "number" || !Number.isFinite(value)) return absent(`${name} is not set`);
    return value >= least && value <= most
      ? read(value, at(name))
      : damaged(`${name} ${value} is not between ${least} and ${most}`, at(name));
  };
  const zeroIsUnset = (reading: Reading<number>, name: string): Reading<number> =>
    found[name] === 0 ? absent(`${name} is 0, which means not known`) : reading;
  return {
    takenAt: takenAt(found, at),
    shutterSeconds: shutter(ranged("ExposureTime", 1e-6, 3600), at),
    iso: sensitivity(found, at),
    fNumber: zeroIsUnset(ranged("FNumber", 0.5, 64), "FNumber"),
    exposureBias: ranged("ExposureCompensation", -20, 20),
    focalLength35mm: zeroIsUnset(ranged("FocalLengthIn35mmFormat", 1, 5000), "FocalLengthIn35mmFormat"),
    rotationDegrees: rotation(found["Orientation"], at("Orientation")),
    location: location(found, at("GPSLatitude")),
  };
}

function shutter(time: Reading<number>, at: (place: string) => Origin): Reading<Seconds> {
  if (time.state !== "read") return time;
  const exact = exactFraction(time.value) ?? fromNumber(time.value);
  return exact === undefined ? damaged("ExposureTime is no fraction", at("ExposureTime")) : read(exact, time.origin);
}

/** A 16-bit field holds at most 65535; above it CIPA DC-008 names another tag by SensitivityType. */
const isoCeiling = 65_535;

function sensitivity(found: Tags, at: (place: string) => Origin): Reading<number> {
  const whole = (name: string): Reading<number> | undefined => {
    const value = Array.isArray(found[name]) ? (found[name] as readonly unknown[])[0] : found[name];
    return typeof value === "number" && value >= 1 && value <= 10_000_000 ? read(value, at(name)) : undefined;
  };
  const short = whole("ISO");
  if (short?.state === "read" && short.value < isoCeiling) return short;
  // Types 1 to 7 of DC-008 table "SensitivityType": which of the three long tags speaks first.
  const order =
    found["SensitivityType"] === 3
      ? ["ISOSpeed", "RecommendedExposureIndex", "StandardOutputSensitivity"]
      : found["SensitivityType"] === 1
        ? ["StandardOutputSensitivity", "RecommendedExposureIndex", "ISOSpeed"]
        : ["RecommendedExposureIndex", "ISOSpeed", "StandardOutputSensitivity"];
  for (const name of order) {
    const long = whole(name);
    if (long !== undefined) return long;
  }
  if (short !== undefined) return absent("the ISO field is at its ceiling of 65535 and no other tag gives the number");
  return found["ISO"] === undefined ? absent("no ISO") : damaged("the ISO field holds no number", at("ISO"));
}

function takenAt(found: Tags, at: (place: string) => Origin): Reading<CreationTime> {
  const text = found["DateTimeOriginal"];
  if (typeof text !== "string" || /^[\s:0]*$/.test(text)) return absent("no DateTimeOriginal");
  const fraction = found["SubSecTimeOriginal"];
  const offset = found["OffsetTimeOriginal"];
  const part = typeof fraction === "string" && /^\d{1,9}\s*$/.test(fraction) ? `.${fraction.trim()}` : "";
  const zone = typeof offset === "string" && /^[+-]\d{2}:\d{2}$/.test(offset.trim()) ? offset.trim() : "";
  const time = parseCreationTime(`${(text.split("\0", 1)[0] ?? "").trim()}${part}${zone}`);
  return time === undefined
    ? damaged(`"${text.slice(0, 40)}" is no date`, at("DateTimeOriginal"))
    : read(time, at("DateTimeOriginal"));
}

/** Turns of the eight orientations of DC-008; the mirrored ones turn as their unmirrored kin. */
const turns: Readonly<Record<number, number>> = { 1: 0, 2: 0, 3: 180, 4: 180, 5: 90, 6: 90, 7: 270, 8: 270 };

function rotation(value: unknown, origin: Origin): Reading<number> {
  if (value === undefined) return absent("no Orientation");
  const turn = typeof value === "number" ? turns[value] : undefined;
  return turn === undefined
    ? damaged(`Orientation ${String(value).slice(0, 20)} does not exist`, origin)
    : read(turn, origin);
}

function location(found: Tags, origin: Origin): Reading<Position> {
  const angle = (name: string, negative: string): number | undefined => {
    const parts = found[name];
    const letter = found[`${name}Ref`];
    if (!Array.isArray(parts) || parts.length !== 3 || typeof letter !== "string") return undefined;
    const [degrees, minutes, secs] = (parts as readonly unknown[]).map(Number) as [number, number, number];
    const size = degrees + minutes / 60 + secs / 3600;
    return Number.isFinite(size) ? (letter.trim().toUpperCase() === negative ? -size : size) : undefined;
  };
  if (found["GPSLatitude"] === undefined) return absent("no position");
  const latitudeDegrees = angle("GPSLatitude", "S");
  const longitudeDegrees = angle("GPSLongitude", "W");
  if (latitudeDegrees === undefined || longitudeDegrees === undefined) return absent("the position is not set");
  if (latitudeDegrees === 0 && longitudeDegrees === 0) return absent("the position is 0, 0: no fix");
  if (Math.abs(latitudeDegrees) > 90 || Math.abs(longitudeDegrees) > 180)
    return damaged("a place off the globe", origin);
  const height = found["GPSAltitude"];
  const below = found["GPSAltitudeRef"];
  const sunk = below === 1 || (below instanceof Uint8Array && below[0] === 1);
  const altitude =
    typeof height === "number" && Number.isFinite(height) ? { altitudeMetres: sunk ? -height : height } : {};
  return read({ latitudeDegrees, longitudeDegrees, ...altitude }, origin);
}

/** Size by the first directory; a negative keeps a preview there and says so, and then the size is another's. */
function tiffRaster(found: Tags): { readonly width: number; readonly height: number } | undefined {
  const [width, height] = [found["ImageWidth"], found["ImageHeight"]];
  if (typeof width !== "number" || typeof height !== "number" || width < 1 || height < 1) return undefined;
  return found["SubfileType"] === undefined || found["SubfileType"] === 0 ? { width, height } : undefined;
}

function broken(found: FoundStill, why: string, origin: Origin): Still {
  return same(found, damaged(why, origin));
}

const unread = (found: FoundStill, why: string): Still => same(found, absent(why));

function same(found: FoundStill, state: Exclude<Reading<never>, { readonly state: "read" }>): Still {
  return {
    name: found.name,
    files: found.files,
    takenAt: state,
    shutterSeconds: state,
    iso: state,
    fNumber: state,
    exposureBias: state,
    focalLength35mm: state,
    width: state,
    height: state,
    rotationDegrees: state,
    location: state,
    cost: { bytes: 0, calls: 0, milliseconds: 0 },
  };
}
