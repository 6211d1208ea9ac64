import type { CreationTime, Facts, Position } from "./facts.ts";
import type { Reading } from "./reading.ts";
import type { Seconds } from "./quantities.ts";

/** What one file is to its clip. */
export type FileRole = "original" | "part" | "proxy" | "telemetry" | "metadata" | "thumbnail" | "sound";

/** One file of the card. */
export interface CardFile {
  /** Path inside the card, with forward slashes. */
  readonly path: string;
  readonly bytes: number;
  /** Milliseconds since 1970, as the file system says. */
  readonly modifiedMilliseconds: number;
}

/** A file with what it is to its clip. */
export interface ClipFile extends CardFile {
  readonly role: FileRole;
  /** Frames of this file, for the files of a recording the camera split. */
  readonly frames?: number;
}

/** How the parts of a recording split by the camera join. */
export interface Joint {
  /** Place of the part before the joint, counted from 0. */
  readonly afterPart: number;
  /** Frames missing (positive) or doubled (negative) at the joint, when timecode or clocks tell. */
  readonly gapFrames?: number;
  /** What the joining rests on: `names`, `timecode`, `clock`, `full size`, `same settings`. */
  readonly evidence: readonly string[];
}

/** What reading one clip cost. */
export interface ReadCost {
  readonly bytes: number;
  readonly calls: number;
  readonly milliseconds: number;
  /** Bytes of the header and telemetry that had to be read. */
  readonly neededBytes?: number;
  /** Opens and reads that the system refused; such a clip may read better another time. */
  readonly failures?: number;
}

/** One recording: its file or files, what lies beside it, and everything read from them. */
export interface Clip {
  /** Path inside the card of the first original file; unique on the card. */
  readonly name: string;
  readonly files: readonly ClipFile[];
  readonly joints: readonly Joint[];
  readonly facts: Facts;
  /** Readers that spoke: `goodgate`, `ffprobe 5.1.9`. */
  readonly readers: readonly string[];
  readonly cost: ReadCost;
  /** Frame rate, length and raster of the proxy, when one lies beside the original. */
  readonly proxyFacts?: Facts;
  /** Contradictions between readers (second reader) in plain words. */
  readonly disagreements?: readonly Disagreement[];
  /** Why the second reader that was asked for gave no answer. */
  readonly secondReaderSilent?: string;
  /** Why the file is no footage at all, when it is not: such clips are listed as skipped. */
  readonly notFootage?: string;
}

/** Two readers that state one fact differently. */
export interface Disagreement {
  readonly fact: string;
  readonly ours: string;
  readonly theirs: string;
  readonly reader: string;
}

/** A photograph with its exposure data. */
export interface Still {
  readonly name: string;
  readonly files: readonly ClipFile[];
  readonly takenAt: Reading<CreationTime>;
  readonly shutterSeconds: Reading<Seconds>;
  readonly iso: Reading<number>;
  readonly fNumber: Reading<number>;
  readonly exposureBias: Reading<number>;
  readonly focalLength35mm: Reading<number>;
  readonly width: Reading<number>;
  readonly height: Reading<number>;
  readonly rotationDegrees: Reading<number>;
  readonly location: Reading<Position>;
  /** What the still belongs to, when it does: `bracket 1`, `timelapse 2`; see `StillSet`. */
  readonly set?: string;
  readonly cost: ReadCost;
}

/**
 * Stills that belong together: a bracket, a burst or a timelapse by their times, a sequence of numbered pictures that
 * state no time.
 */
export interface StillSet {
  readonly id: string;
  readonly kind: "bracket" | "burst" | "timelapse" | "sequence";
  readonly names: readonly string[];
  readonly intervalSeconds?: number;
  /** Exposure of each frame against the first, in stops, when known. */
  readonly exposureStops?: readonly number[];
  /** Numbers missing in the running count. */
  readonly missingNumbers: readonly number[];
}

/** Something on the card that was not judged, and why. */
export interface Skipped {
  readonly path: string;
  readonly why: string;
  readonly bytes?: number;
  /** Set when footage may lie there that nobody could look at; such a card is never good as a whole. */
  readonly unread?: true;
  /** Set when the file was read and holds sound. */
  readonly hasSound?: true;
}

/** One thing to know of the card as a folder tree. */
export interface CardRemark {
  /** Which kind of remark, in kebab case: `number-gap`, `name-collision`, `orphan-sidecar`, `orphan-proxy`. */
  readonly kind: string;
  /** In plain words, with paths. */
  readonly says: string;
  readonly paths: readonly string[];
}

/** A clip that was found and not yet read. */
export interface FoundClip {
  readonly name: string;
  readonly files: readonly ClipFile[];
  readonly joints: readonly Joint[];
  /** Folder on this machine that `files` paths start from. Never printed. */
  readonly root: string;
}

/** A still that was found and not yet read. */
export interface FoundStill {
  readonly name: string;
  readonly files: readonly ClipFile[];
  readonly root: string;
}

/** What a folder tree holds, by names and sizes alone. */
export interface Card {
  /** The folder's own name, or `several` when more than one was given. */
  readonly label: string;
  /** `camera folders (DCF)`, `clip folders with XML`, `transport-stream tree`, `plain folder`, `single files`. */
  readonly layout: string;
  readonly clips: readonly FoundClip[];
  readonly stills: readonly FoundStill[];
  readonly skipped: readonly Skipped[];
  readonly remarks: readonly CardRemark[];
  readonly fileCount: number;
  readonly totalBytes: number;
  /** Free bytes of the file system, when it says. */
  readonly freeBytes?: number;
}
