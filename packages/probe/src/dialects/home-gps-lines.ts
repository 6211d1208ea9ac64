import { unknownKeys } from "../telemetry/unknown-keys.ts";
import { colonSettings } from "./colon-settings.ts";
import type { Dialect } from "./dialect.ts";

/** Three lines a second: `HOME(lon,lat) 2031.04.05 08:07:08`, `GPS(lon,lat,n) BAROMETER:…`, `ISO:200 Shutter:60 …`. */
export default {
  id: "home-gps-lines",
  title: "Home and GPS lines",
  recognises: (cue) => colonSettings(unknownKeys(), false)(cue) !== undefined,
  startReading: (rest) => colonSettings(rest, false),
} satisfies Dialect;
