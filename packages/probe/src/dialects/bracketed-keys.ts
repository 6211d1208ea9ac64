import type { FieldName } from "../telemetry/cue-shape.ts";
import {
  readBias,
  readFNumber,
  readFocalLength,
  readKelvin,
  readNumber,
  readShutter,
  readWord,
  readZoom,
  isoRange,
  remembering,
  type ValueReader,
} from "./values.ts";

/** What a known key fills; one without a field tells camera text from speech and is kept beside the unknown ones. */
export interface KnownKey {
  readonly field?: FieldName;
  readonly read?: ValueReader<unknown>;
  /** Set for a plain number, which changes too often for its texts to be remembered. */
  readonly range?: readonly [number, number];
}

const degrees90 = [-90, 90] as const;
const degrees180 = [-180, 180] as const;
const degrees360 = [-360, 360] as const;
/** Heights and altitudes of aircraft: the Dead Sea shore to beyond any ceiling of a small drone. */
const metres = [-1000, 20_000] as const;

const plainNumber = (field: FieldName, range: readonly [number, number]): KnownKey => ({
  field,
  range,
  read: (text) => readNumber(text, range),
});

/**
 * The keys of bracketed pairs with the readers of their values. Built per file, because the readers remember texts.
 * Keys and their units as seen in public sample text; `longtitude` is a misspelling that real files carry.
 */
export function bracketedKeys(): ReadonlyMap<string, KnownKey> {
  const altitude = plainNumber("altitudeMetres", metres);
  const longitude = plainNumber("longitudeDegrees", degrees180);
  return new Map<string, KnownKey>([
    ["iso", { field: "iso", read: remembering((text) => readNumber(text, isoRange)) }],
    ["shutter", { field: "shutterSeconds", read: remembering((text) => readShutter(text, "seconds")) }],
    ["fnum", { field: "fNumber", read: remembering(readFNumber) }],
    ["ev", { field: "exposureBias", read: remembering(readBias) }],
    ["ct", { field: "whiteBalanceKelvin", read: remembering(readKelvin) }],
    ["color_md", { field: "colourMode", read: remembering(readWord) }],
    ["focal_len", { field: "focalLength35mm", read: remembering(readFocalLength) }],
    ["dzoom_ratio", { field: "digitalZoom", read: remembering(readZoom) }],
    ["latitude", plainNumber("latitudeDegrees", degrees90)],
    ["longitude", longitude],
    ["longtitude", longitude],
    ["altitude", altitude],
    ["abs_alt", altitude],
    ["rel_alt", plainNumber("heightMetres", metres)],
    ["gb_yaw", plainNumber("yawDegrees", degrees360)],
    ["gb_pitch", {}],
    ["gb_roll", {}],
    ["delta", {}],
    ["ae_meter_md", {}],
  ]);
}
