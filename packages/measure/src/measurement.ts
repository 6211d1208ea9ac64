import type {
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
} from "@goodgate/model";

export type {
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
  NoiseLevel,
  Stretch,
} from "@goodgate/model";

/** A question the pictures do not answer, and why. */
export interface CannotTell {
  readonly state: "cannot tell";
  readonly why: string;
}

/** An answer from the pictures, or why there is none. */
export type Measured<T> = ({ readonly state: "read" } & T) | CannotTell;

/** An answer that is missing, with its reason. */
export const cannotTell = (why: string): CannotTell => ({ state: "cannot tell", why });

/** What was looked at. What lies outside is unknown. */
export interface Coverage {
  readonly lookedSeconds: number;
  readonly ofSeconds: number;
  readonly frames: number;
  readonly stretches: readonly Stretch[];
  /** Why less was looked at than meant, when it was: what ffmpeg said, or a time limit. */
  readonly fault?: string;
  /** Version of the ffmpeg that decoded, in its own words; left out when what was started said none. */
  readonly version?: string;
}

/** What the pictures of one clip say. Plain data. */
export interface Measurement {
  readonly coverage: Coverage;
  readonly shutterAngle: Measured<MeasuredAngle>;
  readonly noise: Measured<MeasuredNoise>;
  readonly noiseBeforeCoding: Measured<MeasuredNoiseBeforeCoding>;
  readonly repeats: Measured<MeasuredRepeats>;
  readonly flicker: Measured<MeasuredFlicker>;
  readonly exposure: Measured<MeasuredExposure>;
  readonly drift: Measured<MeasuredDrift>;
  readonly horizon: Measured<MeasuredHorizon>;
  readonly combing: Measured<MeasuredCombing>;
  /** Stretches of black picture of half a second or more. */
  readonly black: readonly Stretch[];
  /** Stretches in which nothing at all changes, of 0.7 s or more. */
  readonly frozen: readonly Stretch[];
  readonly sharpness: Measured<MeasuredSharpness>;
  readonly motion: Measured<MeasuredMotion>;
}

/** What is known of the clip beforehand, from its container. */
export interface ClipOutline {
  readonly frameRate: number;
  readonly durationSeconds: number;
  readonly width: number;
  readonly height: number;
  /** Default 8. */
  readonly bitDepth?: number;
  /** Default false: codes 16 to 235. */
  readonly fullRange?: boolean;
  /** `bt709`, `smpte2084`, `arib-std-b67`; brightness shares are of the signal whatever it is. */
  readonly transfer?: string;
  readonly rotation?: number;
  readonly mainsHertz?: number;
}

/** How to look. */
export interface MeasureOptions {
  readonly mode: "sample" | "all";
  readonly signal: AbortSignal;
  /** Path of the ffmpeg to start. */
  readonly ffmpeg: string;
}
