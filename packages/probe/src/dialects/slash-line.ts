import type { CueShape, TextReader } from "../telemetry/cue-shape.ts";
import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import { type UnknownKeys, unknownKeys } from "../telemetry/unknown-keys.ts";
import { clockReader } from "./clock.ts";
import type { Dialect } from "./dialect.ts";
import { plainText, shapeOfPlain } from "./plain-text.ts";
import { readPosition } from "./position.ts";
import { isoRange, parseNumber, readBias, readFNumber, readNumber, readShutter, remembering } from "./values.ts";

const number = String.raw`\d{1,9}(?:[.,]\d{1,9})?`;
const time = `${number}(?:/${number})?`;
const bias = String.raw`[+-]?${number}(?:/\d{1,4})?`;
const line = String.raw`\bF/(${number})\s*,\s*SS (${time})\s*,\s*ISO (${number})\s*,\s*EV (${bias})`;
const settings = new RegExp(line, "i");
/** The same with the places of the values, which costs more. */
const placedSettings = new RegExp(line, "di");
/** Each value by itself: one of another form makes the line none of this dialect. */
const forms = [number, time, number, bias].map((form) => new RegExp(`^${form}$`));
const heightForm = /^(-?\d{1,6}(?:[.,]\d{1,6})?)\s*m$/i;
const heightDigits = [6, 6] as const;
const heights = [-1000, 20_000] as const;
const measureForm = /^\s*([+-]?\d+(?:[.,]\d+)?)[a-z/%]*$/i;

/**
 * One line a second, `F/2.8, SS 320, ISO 150, EV 0, GPS (lon, lat, n), D 24.26m, H 6.00m, …`. SS is the reciprocal of the
 * shutter time.
 */
export default {
  id: "slash-line",
  title: "Slash line",
  recognises: (cue) => startReading(unknownKeys())(cue) !== undefined,
  startReading,
} satisfies Dialect;

function startReading(rest: UnknownKeys): (cue: string, shape?: CueShape) => TelemetryRecord | undefined {
  const readers = {
    fNumber: remembering(readFNumber),
    shutterSeconds: remembering((text) => readShutter(text, "reciprocal")),
    iso: remembering((text) => readNumber(text, isoRange)),
    exposureBias: remembering(readBias),
  };
  const findClock = clockReader();

  return (cue, cueShape) => {
    const text = plainText(cue);
    const match = settings.exec(text);
    if (match === null) return undefined;
    const shape = cueShape === undefined || text === cue ? cueShape : shapeOfPlain(cueShape, cue);
    const [whole, aperture = "", shutter = "", sensitivity = "", exposureBias = ""] = match;
    const record = emptyRecord();
    record.fNumber = readers.fNumber(aperture);
    record.shutterSeconds = readers.shutterSeconds(shutter);
    record.iso = readers.iso(sensitivity);
    record.exposureBias = readers.exposureBias(exposureBias);
    record.clock = findClock(text, 0, text.length, shape);
    if (shape !== undefined) noteSettings(shape, text, readers);
    readItems(text, match.index + whole.length, record, rest, shape);
    return record;
  };
}

type Readers = Readonly<Record<"fNumber" | "shutterSeconds" | "iso" | "exposureBias", TextReader>>;

function noteSettings(shape: CueShape, text: string, readers: Readers): void {
  const match = placedSettings.exec(text);
  const places = match?.indices ?? [];
  (["fNumber", "shutterSeconds", "iso", "exposureBias"] as const).forEach((field, at) => {
    const [from, to] = places[at + 1] ?? [0, 0];
    shape.value(from, to, field, readers[field], { form: forms[at] as RegExp });
  });
  const from = match?.index ?? 0;
  shape.nothing(0, from);
  // With other numbers an earlier place could become the beginning of the line.
  if (text.search(/\bF\//i) !== from) shape.irregular();
}

/** The items after the settings, parted by commas outside parentheses. */
function readItems(
  text: string,
  itemsFrom: number,
  record: TelemetryRecord,
  rest: UnknownKeys,
  shape: CueShape | undefined,
): void {
  let depth = 0;
  let from = itemsFrom;
  const seen = new Set<string>();
  for (let at = itemsFrom; at <= text.length; at += 1) {
    const code = at < text.length ? text.charCodeAt(at) : 44;
    if (code === 40) depth += 1;
    else if (code === 41) depth = Math.max(0, depth - 1);
    // A comma between digits is a decimal mark.
    else if ((code === 44 && depth === 0 && !isDigit(text, at + 1)) || code === 10) {
      const item = text.slice(from, at);
      const trimmed = item.trim();
      const key = readItem(trimmed, from + item.length - item.trimStart().length, record, rest, shape);
      // Items stated twice follow rules of their own, which differences alone cannot tell.
      if (key !== undefined && seen.has(key)) shape?.irregular();
      if (key !== undefined) seen.add(key);
      from = at + 1;
      depth = 0;
    }
  }
}

/** Reads one item, which begins at `itemFrom` of the line; gives what it is about, of the few that fill a fact. */
function readItem(
  item: string,
  itemFrom: number,
  record: TelemetryRecord,
  rest: UnknownKeys,
  shape: CueShape | undefined,
): "position" | "height" | "gimbal" | "craft" | undefined {
  const open = item.indexOf("(");
  const space = item.indexOf(" ");
  const nameEnd = open >= 0 && (space < 0 || open < space) ? open : space;
  if (nameEnd <= 0) return undefined;
  const name = item.slice(0, nameEnd).trim();
  const key = name.toLowerCase();
  const close = item.lastIndexOf(")");
  const inside = open >= 0 && close > open ? item.slice(open + 1, close) : undefined;
  const insideFrom = itemFrom + open + 1;
  if (key === "gps" || key === "rtk") {
    if (inside !== undefined) readPosition(inside, record, insideFrom, shape);
    return "position";
  }
  if (key === "h") {
    const text = item.slice(nameEnd).trim();
    const metres = heightForm.exec(text)?.[1];
    // A height without its unit is one that was cut off.
    if (metres === undefined) return "height";
    record.heightMetres = readNumber(metres, heights);
    const from = itemFrom + item.lastIndexOf(text);
    shape?.number(from, from + metres.length, "heightMetres", heights, { digits: heightDigits });
    return "height";
  }
  if (key === "g.pry" || key === "f.pry") {
    // The gimbal's heading is the picture's; the aircraft's serves when there is no other.
    if (inside !== undefined) readAttitude(inside, insideFrom, key === "g.pry", record, shape);
    return key === "g.pry" ? "gimbal" : "craft";
  }
  if (/^[a-z][\w.]*$/i.test(name)) {
    rest.add(name, item.slice(nameEnd));
    if (shape !== undefined) noteUnknown(shape, item.slice(nameEnd), itemFrom + nameEnd);
  }
  return undefined;
}

function noteUnknown(shape: CueShape, text: string, from: number): void {
  const measure = measureForm.exec(text)?.[1];
  const at = measure === undefined ? from : from + text.indexOf(measure);
  shape.nothing(at, measure === undefined ? from + text.length : at + measure.length);
}

/** The third of `pitch, roll, yaw`, each with a degree sign. */
function readAttitude(
  inside: string,
  from: number,
  isGimbal: boolean,
  record: TelemetryRecord,
  shape: CueShape | undefined,
): void {
  const taken = isGimbal || record.yawDegrees === undefined;
  const parts = inside.split(/(?<=,)/);
  const text = (parts[2] ?? "").replace(/[^\d.+-]/g, "");
  if (parseNumber(text) === undefined) shape?.irregular();
  else if (taken) record.yawDegrees = readNumber(text, [-360, 360]);
  if (shape === undefined) return;
  let at = from;
  parts.forEach((part, place) => {
    const [, lead = "", size = ""] = angleForm.exec(part) ?? [];
    const first = at + lead.length;
    if (place !== 2 || !taken) shape.nothing(first, first + size.length);
    else shape.number(first, first + size.length, "yawDegrees", [-360, 360], { commaDecimal: false });
    at += part.length;
  });
}

const angleForm = /^(\s*)([+-]?\d+(?:\.\d+)?)[^\d.+-]*$/;

const isDigit = (text: string, at: number): boolean => text.charCodeAt(at) >= 48 && text.charCodeAt(at) <= 57;
