import type { CueShape } from "../telemetry/cue-shape.ts";
import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import type { UnknownKeys } from "../telemetry/unknown-keys.ts";
import { clockReader } from "./clock.ts";
import { plainText, shapeOfPlain } from "./plain-text.ts";
import { readPosition } from "./position.ts";
import { isoRange, readBias, readFNumber, readNumber, readShutter, remembering } from "./values.ts";

const pairForm = /([A-Za-z][A-Za-z_-]{0,20}) ?: ?([^\s:()]{1,40})/g;
const metres = [-1000, 20_000] as const;

/**
 * Reads cues of `HOME(…)`, `GPS(…)` and colon pairs, `ISO:200 Shutter:60 EV: -1/3 Fnum:2.2`, once a second. Shared by the
 * dialects that differ only in how the position is written: with lettered axes or without. A cue needs ISO, shutter and
 * one of the two groups.
 */
export function colonSettings(
  rest: UnknownKeys,
  lettered: boolean,
): (cue: string, shape?: CueShape) => TelemetryRecord | undefined {
  const shutter = remembering((text) => readShutter(text, "reciprocal"));
  const fNumber = remembering(readFNumber);
  const iso = remembering((text) => readNumber(text, isoRange));
  const bias = remembering(readBias);
  const findClock = clockReader();

  return (cue, cueShape) => {
    const text = plainText(cue);
    const gps = groupOf(text, "GPS");
    const home = groupOf(text, "HOME");
    if (gps === undefined && home === undefined) return undefined;
    if (lettersForm.test(gps?.inside ?? "") !== lettered) return undefined;
    const shape = cueShape === undefined || text === cue ? cueShape : shapeOfPlain(cueShape, cue);
    const record = emptyRecord();
    record.clock = findClock(text, 0, text.length, shape);
    if (gps !== undefined) readPosition(gps.inside, record, gps.from, shape);
    const settingsFrom = Math.max(gps?.end ?? 0, home?.end ?? 0);
    for (const match of text.slice(settingsFrom).matchAll(pairForm)) {
      const [whole, name = "", value = ""] = match;
      const to = settingsFrom + match.index + whole.length;
      const from = to - value.length;
      const key = name.toLowerCase();
      if (key === "iso") {
        record.iso = iso(value);
        shape?.value(from, to, "iso", iso);
      } else if (key === "shutter") {
        record.shutterSeconds = shutter(value);
        shape?.value(from, to, "shutterSeconds", shutter);
      } else if (key === "ev") {
        record.exposureBias = bias(value);
        shape?.value(from, to, "exposureBias", bias);
      } else if (key === "fnum" || key === "f-num") {
        record.fNumber = fNumber(value);
        shape?.value(from, to, "fNumber", fNumber);
      } else if (key === "barometer" || key === "reh") {
        record.heightMetres = readNumber(value, metres);
        shape?.number(from, to, "heightMetres", metres);
      } else {
        rest.add(name, value);
        shape?.nothing(from, to);
      }
    }
    shape?.nothing(0, settingsFrom);
    // A group this long could grow past what is searched.
    if ((gps?.inside.length ?? 0) + (home?.inside.length ?? 0) > mostGroupCharacters) shape?.irregular();
    return record.iso !== undefined && record.shutterSeconds !== undefined ? record : undefined;
  };
}

/** Longest insides of both groups for which the shape of a cue is told. */
const mostGroupCharacters = 90;

/** What stands inside `NAME(…)`, and where the group ends. */
function groupOf(text: string, name: "GPS" | "HOME"): { inside: string; from: number; end: number } | undefined {
  const match = (name === "GPS" ? gpsForm : homeForm).exec(text);
  if (match === null) return undefined;
  const [whole, inside = ""] = match;
  const end = match.index + whole.length;
  return { inside, from: end - 1 - inside.length, end };
}

const lettersForm = /[NSEW] ?:/i;
const gpsForm = /\bGPS ?\(([^()]{1,120})\)/i;
const homeForm = /\bHOME ?\(([^()]{1,120})\)/i;
