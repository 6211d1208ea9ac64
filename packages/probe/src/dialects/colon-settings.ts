import { emptyRecord, type TelemetryRecord } from "../telemetry/record.ts";
import type { UnknownKeys } from "../telemetry/unknown-keys.ts";
import { clockReader } from "./clock.ts";
import { plainText } from "./plain-text.ts";
import { readPosition } from "./position.ts";
import { isoRange, readBias, readFNumber, readNumber, readShutter, remembering } from "./values.ts";

const pairForm = /([A-Za-z][A-Za-z_-]{0,20}) ?: ?([^\s:()]{1,40})/g;
const metres = [-1000, 20_000] as const;

/**
 * Reads cues of `HOME(…)`, `GPS(…)` and colon pairs, `ISO:200 Shutter:60 EV: -1/3 Fnum:2.2`, once a second. Shared by the
 * dialects that differ only in how the position is written: with lettered axes or without. A cue needs ISO, shutter and
 * one of the two groups.
 */
export function colonSettings(rest: UnknownKeys, lettered: boolean): (cue: string) => TelemetryRecord | undefined {
  const shutter = remembering((text) => readShutter(text, "reciprocal"));
  const fNumber = remembering(readFNumber);
  const iso = remembering((text) => readNumber(text, isoRange));
  const bias = remembering(readBias);
  const findClock = clockReader();

  return (cue) => {
    const text = plainText(cue);
    const gps = groupOf(text, "GPS");
    const home = groupOf(text, "HOME");
    if (gps === undefined && home === undefined) return undefined;
    if (lettersForm.test(gps?.inside ?? "") !== lettered) return undefined;
    const record = emptyRecord();
    record.clock = findClock(text, 0, text.length);
    if (gps !== undefined) readPosition(gps.inside, record);
    const settings = text.slice(Math.max(gps?.end ?? 0, home?.end ?? 0));
    for (const [, name = "", value = ""] of settings.matchAll(pairForm)) {
      const key = name.toLowerCase();
      if (key === "iso") record.iso = iso(value);
      else if (key === "shutter") record.shutterSeconds = shutter(value);
      else if (key === "ev") record.exposureBias = bias(value);
      else if (key === "fnum" || key === "f-num") record.fNumber = fNumber(value);
      else if (key === "barometer" || key === "reh") record.heightMetres = readNumber(value, metres);
      else rest.add(name, value);
    }
    return record.iso !== undefined && record.shutterSeconds !== undefined ? record : undefined;
  };
}

/** What stands inside `NAME(…)`, and where the group ends. */
function groupOf(text: string, name: "GPS" | "HOME"): { inside: string; end: number } | undefined {
  const match = (name === "GPS" ? gpsForm : homeForm).exec(text);
  return match === null ? undefined : { inside: match[1] ?? "", end: match.index + match[0].length };
}

const lettersForm = /[NSEW] ?:/i;
const gpsForm = /\bGPS ?\(([^()]{1,120})\)/i;
const homeForm = /\bHOME ?\(([^()]{1,120})\)/i;
