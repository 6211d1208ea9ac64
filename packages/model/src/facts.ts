import type {
  LookedAt,
  MeasuredAngle,
  MeasuredCombing,
  MeasuredDrift,
  MeasuredExposure,
  MeasuredFlicker,
  MeasuredHorizon,
  MeasuredMotion,
  MeasuredNoise,
  MeasuredNoiseBeforeCoding,
  MeasuredRepeats,
  MeasuredSharpness,
  Stretch,
} from "./pictures.ts";
import type { Rate, Seconds } from "./quantities.ts";
import type { Ratio } from "./ratio.ts";
import type { Reading } from "./reading.ts";
import type { Series } from "./series.ts";

/** How regular the frame intervals of a clip are. Ticks are of `timescale`; the last interval is left out. */
export interface Timing {
  /**
   * `constant`: every interval equal; `rounded`: equal but for the rounding of a coarse clock (within one tick);
   * `slips`: constant with single frames missing; `variable`: anything else.
   */
  readonly kind: "constant" | "rounded" | "slips" | "variable";
  readonly timescale: number;
  readonly medianTicks: number;
  readonly leastTicks: number;
  readonly mostTicks: number;
  /** Interval lengths and how often each occurs, most frequent first, at most 32 kinds. */
  readonly histogram: readonly { readonly ticks: number; readonly count: number }[];
  /** Intervals of whole multiples of the median, in time order, at most 256; `lost` frames are missing in each. */
  readonly slips: readonly {
    readonly frame: number;
    readonly seconds: number;
    readonly ticks: number;
    readonly lost: number;
  }[];
  /** Frames missing in all slips together, also those past the first 256. */
  readonly lostFrames: number;
  /** Share of intervals off the median by more than 5 % and more than one tick, 0 to 1. */
  readonly offShare: number;
  /** Set when only a stretch of the file was looked at; in seconds of the clip. */
  readonly stretchSeconds?: number;
}

/** Sound of a clip. */
export interface Sound {
  readonly codec: string;
  readonly channels: number;
  readonly sampleRateHertz: number;
  readonly durationSeconds: Seconds;
  /** Start against the first shown picture; positive when the sound starts later. */
  readonly startSeconds: Seconds;
}

/** Timecode of the first frame. */
export interface Timecode {
  /** `HH:MM:SS:FF`, with `;` before the frames when drop-frame. */
  readonly start: string;
  readonly dropFrame: boolean;
  /** Labels per second: 24, 25, 30, 50, 60. */
  readonly labelsPerSecond: number;
  /** Count of frames since 00:00:00:00. */
  readonly startFrame: number;
}

/** When recording began. */
export interface CreationTime {
  /** ISO 8601; with `Z` or an offset when the zone is known, without when it is not. */
  readonly text: string;
  readonly zone: "utc" | "offset" | "unknown";
  /** Milliseconds since 1970 as if the text were UTC when the zone is unknown. */
  readonly epochMilliseconds: number;
  /** Why the clock cannot be believed, when it cannot: `start of an epoch`, `in the future`, `epoch of another system`. */
  readonly suspect?: string;
}

/** A place on earth. */
export interface Position {
  readonly latitudeDegrees: number;
  readonly longitudeDegrees: number;
  readonly altitudeMetres?: number;
}

/** A track that holds text or data. */
export interface ExtraTrack {
  readonly id: number;
  /** The format's own name for the entry: `tx3g`, `text`, `camm`. */
  readonly entry: string;
  readonly handler: string;
  readonly samples: number;
  /** What the samples are: a telemetry dialect's id, `chapters`, `speech`, or `unknown vocabulary`. */
  readonly holds: string;
}

/** What is known of the records of a telemetry track or sidecar. */
export interface TelemetrySummary {
  readonly dialect: string;
  readonly records: number;
  readonly unreadRecords: number;
  /** Median time between records. */
  readonly spacingSeconds: number;
  readonly cadence: "per frame" | "per second" | "irregular";
  /** Share of the clip the records speak for, 0 to 1. */
  readonly coverage: number;
  /** Set when not every record was read: `one a second`. */
  readonly sampled?: string;
  /** Holes longer than twice the spacing, at most 64. */
  readonly gaps: readonly { readonly fromSeconds: number; readonly toSeconds: number }[];
  /** Time of the first record after the first picture. */
  readonly lagSeconds: number;
  /** End of the last record. */
  readonly endSeconds: number;
  /** First and last clock in the records, as written, without zone unless the record gives one. */
  readonly firstClock?: string;
  readonly lastClock?: string;
  /** Clock time that passed between first and last record, in seconds. */
  readonly clockSpanSeconds?: number;
  /** Smallest step of the clock as written, in seconds (0.001 for milliseconds, 1 for whole seconds). */
  readonly clockStepSeconds?: number;
  /** Whether the clock is a satellite's (UTC) or the camera's own. */
  readonly clockSource?: "satellite" | "camera";
  /** Keys that fill no fact, known to the dialect or not, with their first value. */
  readonly unknownKeys: Readonly<Record<string, string>>;
  /** Values that could not be read, counted by fact; the rest of their records was used. */
  readonly damagedValues?: Readonly<Record<string, number>>;
  /** Doubts and damage in plain words, one sentence each: a tail cut off, axes told apart by order, a clock that jumps. */
  readonly remarks?: readonly string[];
}

/** Mastering display and content light level, as the picture's makers state it. */
export interface Mastering {
  readonly maximumNits?: number;
  readonly minimumNits?: number;
  readonly maximumContentNits?: number;
  readonly maximumFrameAverageNits?: number;
}

/** One entry of an edit list. */
export interface EditEntry {
  readonly durationSeconds: Seconds;
  /** Start in the media; undefined for an empty edit (a delay). */
  readonly mediaSeconds?: Seconds;
  readonly speed: Ratio;
}

/** Everything goodgate may know of one clip; every key is a fact a rule can ask for. */
export interface FactValues {
  /** Container family: `iso-bmff`, `matroska`, `mpeg-ts`, `mxf`, `avi`, or the reader's own word. */
  readonly container: string;
  /** `whole` when every box and sample lies inside the file; a damaged reading says what is missing. */
  readonly structure: "whole";
  readonly fileBytes: number;
  readonly codec: string;
  readonly sampleEntry: string;
  readonly profile: string;
  readonly bitDepth: number;
  /** `4:2:0`, `4:2:2`, `4:4:4`, `4:0:0`. */
  readonly chroma: string;
  /** Rate at which the file plays. */
  readonly frameRate: Rate;
  /** Rate at which the scene was captured, when a source says or proves it. */
  readonly captureRate: Rate;
  /** Rate the codec's own header states, a hint only. */
  readonly codecRate: Rate;
  readonly timing: Timing;
  readonly frames: number;
  /** Time the shown pictures last, edit list honoured. */
  readonly durationSeconds: Seconds;
  /** Time of the first shown picture on the file's own clock. */
  readonly startSeconds: Seconds;
  /** Time of the media itself, edit list not applied. */
  readonly mediaSeconds: Seconds;
  readonly headerSeconds: Seconds;
  /** Time from the start whose samples all lie inside the file; less than the media time when the file is cut short. */
  readonly usableSeconds: Seconds;
  readonly editList: readonly EditEntry[];
  readonly width: number;
  readonly height: number;
  readonly pixelAspect: Ratio;
  /** Clean aperture in pixels. */
  readonly cleanAperture: { readonly width: Ratio; readonly height: Ratio };
  /** Clockwise turn for display: 0, 90, 180, 270, or another number as stated. */
  readonly rotationDegrees: number;
  readonly mirrored: boolean;
  /** `progressive`, `top field first`, `bottom field first`, `interlaced`. */
  readonly scan: string;
  /** Names of ITU-T H.273 code points as widely used in code: `bt709`, `bt2020`. */
  readonly primaries: string;
  /** `bt709`, `smpte2084` (PQ), `arib-std-b67` (HLG). */
  readonly transfer: string;
  readonly matrix: string;
  readonly fullRange: boolean;
  readonly mastering: Mastering;
  readonly timecode: Timecode;
  readonly createdAt: CreationTime;
  readonly sound: Sound;
  readonly textTracks: readonly ExtraTrack[];
  readonly dataTracks: readonly ExtraTrack[];
  /** Frames that can be decoded alone. */
  readonly syncSamples: { readonly count: number; readonly firstFrame: number; readonly longestGapSeconds: number };
  readonly bitRate: { readonly averageBitsPerSecond: number; readonly peakBitsPerSecond?: number };
  /** First and last byte of the samples in the file. */
  readonly dataExtent: { readonly firstByte: number; readonly endByte: number };
  readonly location: Position;
  /** Published metadata keys and their text. */
  readonly metadata: Readonly<Record<string, string>>;
  readonly cameraMaker: string;
  readonly cameraModel: string;
  readonly serialNumber: string;

  readonly telemetry: TelemetrySummary;
  readonly shutterSeconds: Series<Seconds>;
  readonly iso: Series<number>;
  readonly fNumber: Series<number>;
  /** Exposure bias in stops. */
  readonly exposureBias: Series<number>;
  readonly whiteBalanceKelvin: Series<number>;
  /** Neutral density in stops, when declared. */
  readonly ndStops: Series<number>;
  /** Gain in decibels, never converted to ISO. */
  readonly gainDecibels: Series<number>;
  /** Shutter angle in degrees, when stated as such. */
  readonly shutterAngle: Series<number>;
  readonly focalLength35mm: Series<number>;
  readonly digitalZoom: Series<number>;
  readonly colourMode: Series<string>;
  /** Flown path: thinned to at most 512 points. */
  readonly path: readonly (Position & { readonly atSeconds: number })[];
  /** Height over the take-off point in metres. */
  readonly heightMetres: Series<number>;
  /** Gimbal or aircraft heading in degrees. */
  readonly yawDegrees: Series<number>;

  /** There, read or absent, whenever the pictures were asked. */
  readonly lookedAt: LookedAt;
  /** Shutter angle at the rate of the file, from the blur of moving pictures. */
  readonly measuredAngle: MeasuredAngle;
  readonly noise: MeasuredNoise;
  readonly noiseBeforeCoding: MeasuredNoiseBeforeCoding;
  readonly repeats: MeasuredRepeats;
  /** Light that pulses in the pictures. */
  readonly flicker: MeasuredFlicker;
  /** Clipping and brightness of the pictures. */
  readonly pictureLevels: MeasuredExposure;
  /** Change of exposure on the same content. */
  readonly exposureDrift: MeasuredDrift;
  /** Tilt of the horizon, where the pictures show a straight one. */
  readonly horizon: MeasuredHorizon;
  /** Rows of two times in one picture. */
  readonly combing: MeasuredCombing;
  readonly sharpness: MeasuredSharpness;
  /** How fast the picture moves as a whole. */
  readonly motion: MeasuredMotion;
  /** Black stretches, and stretches in which nothing changes. */
  readonly stillness: { readonly black: readonly Stretch[]; readonly frozen: readonly Stretch[] };
}

/** The name of a fact. */
export type FactName = keyof FactValues;

/** Every fact of one clip, each read, absent or damaged. A fact not listed was not looked for. */
export type Facts = { readonly [Name in FactName]?: Reading<FactValues[Name]> };

/** Units of facts for reports; a fact not listed has none. */
export const factUnits: Partial<Record<FactName, string>> = {
  fileBytes: "bytes",
  frameRate: "frames/s",
  captureRate: "frames/s",
  codecRate: "frames/s",
  frames: "frames",
  durationSeconds: "s",
  startSeconds: "s",
  mediaSeconds: "s",
  headerSeconds: "s",
  usableSeconds: "s",
  width: "pixels",
  height: "pixels",
  rotationDegrees: "degrees",
  bitDepth: "bits",
  shutterSeconds: "s",
  iso: "ISO",
  fNumber: "f-number",
  exposureBias: "stops",
  whiteBalanceKelvin: "K",
  ndStops: "stops",
  gainDecibels: "dB",
  shutterAngle: "degrees",
  focalLength35mm: "mm",
  heightMetres: "m",
  yawDegrees: "degrees",
};

/** Facts that only the pictures tell. */
export const pictureFacts = [
  "lookedAt",
  "measuredAngle",
  "noise",
  "noiseBeforeCoding",
  "repeats",
  "flicker",
  "pictureLevels",
  "exposureDrift",
  "horizon",
  "combing",
  "sharpness",
  "motion",
  "stillness",
] as const satisfies readonly FactName[];

/** Facts that are series over the clip. */
export const seriesFacts = [
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
  "heightMetres",
  "yawDegrees",
] as const satisfies readonly FactName[];
