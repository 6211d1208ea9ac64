import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import { type UnknownKeys, unknownKeys } from "../telemetry/unknown-keys.ts";
import { clockReader } from "./clock.ts";
import type { Dialect } from "./dialect.ts";
import { plainText } from "./plain-text.ts";
import { readPosition } from "./position.ts";
import { isoRange, parseNumber, readBias, readFNumber, readNumber, readShutter, remembering } from "./values.ts";

const number = String.raw`\d{1,9}(?:[.,]\d{1,9})?`;
const settings = new RegExp(
  String.raw`\bF/(${number})\s*,\s*SS (${number}(?:/${number})?)\s*,\s*ISO (${number})\s*,\s*EV ([+-]?${number}(?:/\d{1,4})?)`,
  "i",
);
const heightForm = /^(-?\d{1,6}(?:[.,]\d{1,6})?)\s*m$/i;

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

function startReading(rest: UnknownKeys): (cue: string) => TelemetryRecord | undefined {
  const shutter = remembering((text) => readShutter(text, "reciprocal"));
  const fNumber = remembering(readFNumber);
  const iso = remembering((text) => readNumber(text, isoRange));
  const bias = remembering(readBias);
  const findClock = clockReader();

  return (cue) => {
    const text = plainText(cue);
    const match = settings.exec(text);
    if (match === null) return undefined;
    const [whole, aperture = "", time = "", sensitivity = "", exposureBias = ""] = match;
    const record = emptyRecord();
    record.fNumber = fNumber(aperture);
    record.shutterSeconds = shutter(time);
    record.iso = iso(sensitivity);
    record.exposureBias = bias(exposureBias);
    record.clock = findClock(text, 0, text.length);
    readItems(text.slice(match.index + whole.length), record, rest);
    return record;
  };
}

/** The items after the settings, parted by commas outside parentheses. */
function readItems(text: string, record: TelemetryRecord, rest: UnknownKeys): void {
  let depth = 0;
  let from = 0;
  for (let at = 0; at <= text.length; at += 1) {
    const code = at < text.length ? text.charCodeAt(at) : 44;
    if (code === 40) depth += 1;
    else if (code === 41) depth = Math.max(0, depth - 1);
    // A comma between digits is a decimal mark.
    else if ((code === 44 && depth === 0 && !isDigit(text, at + 1)) || code === 10) {
      readItem(text.slice(from, at).trim(), record, rest);
      from = at + 1;
      depth = 0;
    }
  }
}

function readItem(item: string, record: TelemetryRecord, rest: UnknownKeys): void {
  const open = item.indexOf("(");
  const space = item.indexOf(" ");
  const nameEnd = open >= 0 && (space < 0 || open < space) ? open : space;
  if (nameEnd <= 0) return;
  const name = item.slice(0, nameEnd).trim();
  const key = name.toLowerCase();
  const close = item.lastIndexOf(")");
  const inside = open >= 0 && close > open ? item.slice(open + 1, close) : undefined;
  if (key === "gps" || key === "rtk") {
    if (inside !== undefined) readPosition(inside, record);
  } else if (key === "h") {
    const metres = heightForm.exec(item.slice(nameEnd).trim());
    // A height without its unit is one that was cut off.
    if (metres !== null) record.heightMetres = readNumber(metres[1] ?? "", [-1000, 20_000]);
  } else if (key === "g.pry" || key === "f.pry") {
    // The gimbal's heading is the picture's; the aircraft's serves when there is no other.
    if (inside !== undefined && (key === "g.pry" || record.yawDegrees === undefined)) readYaw(inside, record);
  } else if (/^[a-z][\w.]*$/i.test(name)) {
    rest.add(name, item.slice(nameEnd));
  }
}

/** The third of `pitch, roll, yaw`, each with a degree sign. */
function readYaw(inside: string, record: TelemetryRecord): void {
  const text = (inside.split(/,\s*/)[2] ?? "").replace(/[^\d.+-]/g, "");
  if (parseNumber(text) !== undefined) record.yawDegrees = readNumber(text, [-360, 360]);
}

const isDigit = (text: string, at: number): boolean => text.charCodeAt(at) >= 48 && text.charCodeAt(at) <= 57;
