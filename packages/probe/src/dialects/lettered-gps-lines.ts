import { unknownKeys } from "../telemetry/unknown-keys.ts";
import { colonSettings } from "./colon-settings.ts";
import type { Dialect } from "./dialect.ts";

/** As home and GPS lines, with lettered axes, `GPS(W: -45.6788, N: 12.3458, -37)`; found in ASS files. */
export default {
  id: "lettered-gps-lines",
  title: "Home and GPS lines with lettered axes",
  recognises: (cue) => colonSettings(unknownKeys(), true)(cue) !== undefined,
  startReading: (rest) => colonSettings(rest, true),
} satisfies Dialect;
