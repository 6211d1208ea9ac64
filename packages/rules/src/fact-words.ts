import { type FactName, pictureFacts } from "@goodgate/model";

const words: Partial<Record<FactName, string>> = {
  frameRate: "frame rate",
  captureRate: "capture rate",
  timing: "frame times",
  durationSeconds: "length",
  shutterSeconds: "shutter",
  iso: "ISO",
  fNumber: "f-number",
  width: "picture width",
  height: "picture height",
  transfer: "transfer tag",
  bitDepth: "bit depth",
  structure: "structure",
  whiteBalanceKelvin: "white balance",
  focalLength35mm: "focal length",
  yawDegrees: "heading",
  fileBytes: "file size",
  createdAt: "start of recording",
  headerSeconds: "length in the header",
  syncSamples: "list of frames that decode alone",
  scan: "scan flag",
};

/** A fact in the words of a sentence; other facts by their own name, split into words. */
export const factWords = (fact: string): string =>
  (words as Partial<Record<string, string>>)[fact] ??
  (fromPictures.has(fact) ? "the picture" : fact.replace(/[A-Z]/g, (letter) => ` ${letter.toLowerCase()}`));

const fromPictures: ReadonlySet<string> = new Set(pictureFacts);

const fromTelemetry = new Set<FactName>([
  "telemetry",
  "shutterSeconds",
  "iso",
  "fNumber",
  "exposureBias",
  "whiteBalanceKelvin",
  "ndStops",
  "shutterAngle",
  "focalLength35mm",
  "digitalZoom",
  "colourMode",
  "yawDegrees",
]);

/** What would supply a fact that was not read. */
export function supplyOf(fact: FactName): string {
  if (fromTelemetry.has(fact)) {
    return "switch the camera's telemetry track or subtitle sidecar on, and copy the sidecars with the clips";
  }
  if (fromPictures.has(fact)) return "a look at the picture, or --measure=all where a sample was looked at";
  if (fact === "frameRate" || fact === "timing" || fact === "durationSeconds") {
    return "a copy of the file with its index whole, or ffprobe for a format goodgate does not read itself";
  }
  return "a file whose header states it, or ffprobe for a format goodgate does not read itself";
}
