import {
  absent,
  type CreationTime,
  constantSeries,
  damaged,
  type Facts,
  type Origin,
  parseRate,
  parseRatio,
  type Position,
  ratio,
  type Ratio,
  read,
  type Reading,
  type Timecode,
  toNumber,
} from "@goodgate/model";
import { parseCreationTime } from "./creation-time.ts";
import { parseTimecode } from "./timecode-text.ts";
import { everyElement, parseXml, type XmlElement } from "./xml-tree.ts";

// Namespaces of XMP (ISO 16684-1 and the XMP specification, part 2) and of EXIF 2.3 in XMP.
const rdf = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
const media = "http://ns.adobe.com/xmp/1.0/DynamicMedia/";
const exif = "http://ns.adobe.com/exif/1.0/";
const exifExtended = "http://cipa.jp/exif/1.0/";
const basic = "http://ns.adobe.com/xap/1.0/";
const tiff = "http://ns.adobe.com/tiff/1.0/";

/** Facts an XMP packet can give. */
export type XmpFacts = Pick<
  Facts,
  | "createdAt"
  | "timecode"
  | "frameRate"
  | "shutterSeconds"
  | "iso"
  | "fNumber"
  | "exposureBias"
  | "location"
  | "cameraMaker"
  | "cameraModel"
>;

/**
 * Reads an XMP packet or sidecar. Properties are found by namespace, as attribute or element. `microseconds` is the
 * length of the clip that a single stated value stands for. A packet that cannot be parsed gives a fault, never a throw.
 */
export function readXmp(
  bytes: Uint8Array,
  file: string,
  place: string,
  microseconds: number,
  kind: Origin["kind"] = "sidecar",
): XmpFacts | { readonly fault: string } {
  const tree = parseXml(bytes);
  if ("fault" in tree) return tree;
  const properties = collect(tree);
  const at = (name: string): Origin => ({ kind, file, place: `${place} ${name}` });
  const facts: { -readonly [Name in keyof XmpFacts]: XmpFacts[Name] } = {};

  const created = properties.get(`${basic}CreateDate`);
  if (created !== undefined) facts.createdAt = clock(created, at("CreateDate"));

  const exposure = properties.get(`${exif}ExposureTime`);
  if (exposure !== undefined && !notSet.test(exposure)) {
    facts.shutterSeconds = within(exposure, 1e-5, 60, at("ExposureTime"), (time) => constantSeries(time, microseconds));
  }
  const aperture = properties.get(`${exif}FNumber`);
  // A lens without contacts writes 0.
  if (aperture !== undefined && !notSet.test(aperture) && parseRatio(aperture)?.numerator !== 0n) {
    facts.fNumber = within(aperture, 0.7, 45, at("FNumber"), (value) => constantSeries(toNumber(value), microseconds));
  }
  const sensitivity = isoOf(properties);
  if (sensitivity !== undefined) {
    facts.iso = within(sensitivity.text, 6, 4_000_000, at(sensitivity.name), (value) =>
      constantSeries(toNumber(value), microseconds),
    );
  }
  const bias = properties.get(`${exif}ExposureBiasValue`);
  if (bias !== undefined && !notSet.test(bias)) {
    facts.exposureBias = within(bias, -20, 20, at("ExposureBiasValue"), (value) =>
      constantSeries(toNumber(value), microseconds),
    );
  }
  const stated = properties.get(`${media}videoFrameRate`);
  if (stated !== undefined) {
    const rate = namedRates[stated.trim().toUpperCase()] ?? parseRate(stated);
    if (rate !== undefined && toNumber(rate) <= 2000) facts.frameRate = read(rate, at("videoFrameRate"));
    else facts.frameRate = damaged(`"${stated.slice(0, 60)}" is no frame rate`, at("videoFrameRate"));
  }
  const label = properties.get(`${media}startTimecode/timeValue`);
  if (label !== undefined) {
    const format = properties.get(`${media}startTimecode/timeFormat`);
    facts.timecode =
      format === undefined
        ? absent("the XMP startTimecode states no timeFormat, so its labels per second are not known")
        : timecode(label, format, at("startTimecode"));
  }
  const position = gps(properties.get(`${exif}GPSLatitude`), properties.get(`${exif}GPSLongitude`));
  if (position !== undefined) facts.location = read(position, at("GPSLatitude"));
  const maker = properties.get(`${tiff}Make`);
  if (maker !== undefined && maker !== "") facts.cameraMaker = read(maker, at("Make"));
  const model = properties.get(`${tiff}Model`);
  if (model !== undefined && model !== "") facts.cameraModel = read(model, at("Model"));
  return facts;
}

/** Television names for rates that some writers put in place of a number (from memory). */
const namedRates: Readonly<Record<string, Ratio>> = { PAL: ratio(25n), NTSC: ratio(30000n, 1001n) };

function collect(root: XmlElement): ReadonlyMap<string, string> {
  const properties = new Map<string, string>();
  const put = (name: string, value: string): void => {
    if (!properties.has(name) && value !== "") properties.set(name, value);
  };
  for (const element of everyElement(root)) {
    if (element.namespace !== rdf || element.local !== "Description") continue;
    for (const one of element.attributes) put(`${one.namespace}${one.local}`, one.value);
    for (const child of element.children) {
      const name = `${child.namespace}${child.local}`;
      put(name, child.text);
      for (const one of child.attributes) if (one.namespace !== rdf) put(`${name}/${one.local}`, one.value);
      for (const inner of everyElement(child)) {
        if (inner === child) continue;
        if (inner.namespace === rdf && inner.local === "li") put(name, inner.text);
        else if (inner.namespace !== rdf) put(`${name}/${inner.local}`, inner.text);
        for (const one of inner.attributes) if (one.namespace !== rdf) put(`${name}/${one.local}`, one.value);
      }
    }
  }
  return properties;
}

/** EXIF's way to say that a value is not known: a denominator of zero. */
const notSet = /^\s*[+-]?\d+\s*\/\s*0+\s*$/;

/** A 16-bit field holds at most 65535; above it CIPA DC-008 keeps the number in a tag of its own. */
const isoCeiling = "65535";

/** The ISO text and the property it stands in; undefined where none states it. */
function isoOf(properties: ReadonlyMap<string, string>): { readonly text: string; readonly name: string } | undefined {
  const short = [`${exifExtended}PhotographicSensitivity`, `${exif}ISOSpeedRatings`];
  const long = ["RecommendedExposureIndex", "ISOSpeed", "StandardOutputSensitivity"].map((name) => exifExtended + name);
  const found = (names: readonly string[]): { readonly text: string; readonly name: string } | undefined => {
    for (const name of names) {
      const text = properties.get(name)?.trim();
      if (text !== undefined && text !== "0" && text !== isoCeiling)
        return { text, name: name.slice(name.lastIndexOf("/") + 1) };
    }
    return undefined;
  };
  const stated = found(short) ?? found(long);
  if (stated !== undefined) return stated;
  const zero = short.map((name) => properties.get(name)?.trim()).includes("0");
  return zero ? { text: "0", name: "PhotographicSensitivity" } : undefined;
}

function within<T>(text: string, least: number, most: number, origin: Origin, make: (value: Ratio) => T): Reading<T> {
  const value = parseRatio(text);
  const size = value === undefined ? Number.NaN : toNumber(value);
  return value !== undefined && size >= least && size <= most
    ? read(make(value), origin)
    : damaged(`"${text.slice(0, 60)}" is not between ${least} and ${most}`, origin);
}

function clock(text: string, origin: Origin): Reading<CreationTime> {
  const time = parseCreationTime(text);
  return time === undefined ? damaged(`"${text.slice(0, 60)}" is no date`, origin) : read(time, origin);
}

/** `25Timecode`, `2997DropTimecode`, `5994NonDropTimecode` … (XMP specification, part 2, Timecode). */
function timecode(label: string, format: string, origin: Origin): Reading<Timecode> {
  const match = /^(\d{2})(\d{2,3})?(Non)?(Drop)?Timecode$/i.exec(format);
  const nominal = match?.[1] === undefined ? undefined : Number(match[1]) + (match[2] === undefined ? 0 : 1);
  const drop = match?.[4] !== undefined && match[3] === undefined;
  // "A colon delimiter in all formats except 2997drop, which uses a semicolon": between all four fields.
  const fields = /^(\d{2})[:;.](\d{2})[:;.](\d{2})[:;.](\d{2,3})$/.exec(label.trim())?.slice(1);
  const written = fields === undefined ? label : `${fields.slice(0, 3).join(":")}${drop ? ";" : ":"}${fields[3]}`;
  const value = nominal === undefined ? undefined : parseTimecode(written, nominal);
  return value === undefined
    ? damaged(`"${label.slice(0, 40)}" is no timecode of format "${format.slice(0, 40)}"`, origin)
    : read(value, origin);
}

/** EXIF positions in XMP: `12,20.74N` or `12,20,44W`. */
function gps(latitude: string | undefined, longitude: string | undefined): Position | undefined {
  const latitudeDegrees = angle(latitude, "N", "S");
  const longitudeDegrees = angle(longitude, "E", "W");
  if (latitudeDegrees === undefined || longitudeDegrees === undefined) return undefined;
  if (Math.abs(latitudeDegrees) > 90 || Math.abs(longitudeDegrees) > 180) return undefined;
  return latitudeDegrees === 0 && longitudeDegrees === 0 ? undefined : { latitudeDegrees, longitudeDegrees };
}

function angle(text: string | undefined, positive: string, negative: string): number | undefined {
  const match = /^(\d{1,3}),(\d{1,2}(?:\.\d+)?)(?:,(\d{1,2}(?:\.\d+)?))?([NSEW])$/i.exec(text?.trim() ?? "");
  const letter = match?.[4]?.toUpperCase();
  if (match === null || (letter !== positive && letter !== negative)) return undefined;
  const size = Number(match[1]) + Number(match[2]) / 60 + Number(match[3] ?? 0) / 3600;
  return letter === negative ? -size : size;
}
