import type { Clip, Facts, FactName, Reading } from "@goodgate/model";
import type { CountedFile } from "./bytes.ts";

/** Facts that telemetry (text tracks, data tracks, subtitle sidecars) can give. */
export const telemetryFactNames = [
  "telemetry",
  "shutterSeconds",
  "iso",
  "fNumber",
  "exposureBias",
  "whiteBalanceKelvin",
  "ndStops",
  "gainDecibels",
  "shutterAngle",
  "focalLength35mm",
  "digitalZoom",
  "colourMode",
  "path",
  "heightMetres",
  "yawDegrees",
  "captureRate",
  "location",
  "timecode",
] as const satisfies readonly FactName[];

/** What one telemetry source says. A fact it is silent about is left out; one it garbles is damaged. */
export type TelemetryFacts = Partial<Pick<Facts, (typeof telemetryFactNames)[number]>>;

/** One sample of a text or data track. */
export interface TimedSample {
  readonly bytes: Uint8Array;
  /** From the first shown picture, edit list honoured; may be negative for samples before it. */
  readonly startMicroseconds: number;
  readonly durationMicroseconds: number;
}

/** A text or data track of a container, whose samples can be read by offset. */
export interface ExtraTrackSource {
  readonly id: number;
  /** Four-character code of the sample entry: `tx3g`, `text`, `camm`, `mebx`, `gpmd`, `rtmd`, `mett`, `urim` … */
  readonly entry: string;
  /** Handler type: `text`, `sbtl`, `meta` … */
  readonly handler: string;
  /** The whole sample entry box payload, for entries that declare their keys there. */
  readonly entryBytes: Uint8Array;
  readonly sampleCount: number;
  /** Sum of all sample sizes. */
  readonly totalBytes: number;
  /** Whether a picture track names this one as its chapter list. */
  readonly isChapterList: boolean;
  /**
   * Reads the named samples (0-based, rising), or all of them, in one pass with neighbouring ranges merged. Samples whose
   * bytes lie past the end of the file come with fewer bytes than their size.
   */
  read(which?: readonly number[]): Promise<readonly TimedSample[]>;
}

/** What a container reader gives. */
export interface ContainerReading {
  readonly facts: Facts;
  readonly extraTracks: readonly ExtraTrackSource[];
  /** XMP packet found in the container, if any. */
  readonly xmp?: Uint8Array;
  /** Header bytes that had to be read for the facts. */
  readonly neededBytes: number;
  /** Why another reader should be asked, when this one met what it does not know. */
  readonly beyond?: string;
}

/** What is asked of the reading of one clip. */
export interface ReadOptions {
  readonly signal: AbortSignal;
  /** Gives the program to ask for containers we do not read ourselves; called only when one is met. */
  readonly ffprobe?: () => Promise<FfprobeProgram | undefined>;
  /** Also ask ffprobe about files our own reader has read, and list every disagreement. */
  readonly secondReader?: boolean;
}

/** A usable ffprobe. */
export interface FfprobeProgram {
  readonly path: string;
  readonly version: string;
  /** `setting`, `PATH` or `bundled`. */
  readonly from: string;
}

/** A reading with what it cost, as readers of single files return it. */
export interface FileReading {
  readonly file: CountedFile;
  readonly reading: ContainerReading;
}

/** Re-exported so that readers need one import. */
export type { Clip, Facts, Reading };
