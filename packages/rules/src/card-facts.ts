import { type FactName, type Facts, factsPicker, type PickedFacts } from "@goodgate/model";

/** Facts that are looked at over all clips of a card at once. */
const names = [
  "bitDepth",
  "cameraMaker",
  "cameraModel",
  "codec",
  "colourMode",
  "createdAt",
  "dataExtent",
  "durationSeconds",
  "fNumber",
  "focalLength35mm",
  "frameRate",
  "structure",
  "container",
  "frames",
  "height",
  "iso",
  "location",
  "ndStops",
  "path",
  "scan",
  "serialNumber",
  "sharpness",
  "shutterSeconds",
  "timecode",
  "transfer",
  "whiteBalanceKelvin",
  "width",
] as const satisfies readonly FactName[];

/** The facts of one clip that the others are compared with. */
export type CardFacts = PickedFacts<(typeof names)[number]>;

/** Picks the facts of clips of one card that are compared. */
export const cardFactsPicker = (): ((facts: Facts) => CardFacts) => factsPicker(names);
