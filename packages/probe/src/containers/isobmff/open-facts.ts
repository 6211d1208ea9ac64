import { absent, type FactName, type FactValues, type Reading } from "@goodgate/model";

/** Facts while they are being filled in. */
export type OpenFacts = { -readonly [Name in FactName]?: Reading<FactValues[Name]> };

/** The facts this reader answers for: each is read, absent or damaged in every reading it gives. */
export const containerFactNames = [
  "container",
  "structure",
  "fileBytes",
  "codec",
  "sampleEntry",
  "profile",
  "bitDepth",
  "chroma",
  "frameRate",
  "captureRate",
  "codecRate",
  "timing",
  "frames",
  "durationSeconds",
  "startSeconds",
  "mediaSeconds",
  "headerSeconds",
  "usableSeconds",
  "editList",
  "width",
  "height",
  "pixelAspect",
  "cleanAperture",
  "rotationDegrees",
  "mirrored",
  "scan",
  "primaries",
  "transfer",
  "matrix",
  "fullRange",
  "mastering",
  "timecode",
  "createdAt",
  "sound",
  "textTracks",
  "dataTracks",
  "syncSamples",
  "bitRate",
  "dataExtent",
  "location",
  "metadata",
  "cameraMaker",
  "cameraModel",
  "serialNumber",
] as const satisfies readonly FactName[];

/** Fills what is still open with one reason. */
export function closeFacts(facts: OpenFacts, why: string): void {
  // One reason fits every fact; the compiler cannot follow forty-odd value types through one loop.
  const open: { [Name in FactName]?: Reading<unknown> } = facts;
  for (const name of containerFactNames) open[name] ??= absent(why);
}
