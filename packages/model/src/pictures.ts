// What the pictures of a clip say of themselves, when they were asked.

/** A stretch of the clip, in seconds from the first shown picture. */
export interface Stretch {
  readonly fromSeconds: number;
  readonly toSeconds: number;
}

/** How much of a clip was looked at; what lies outside is not known. */
export interface LookedAt {
  readonly seconds: number;
  readonly ofSeconds: number;
  readonly stretches: readonly Stretch[];
}

/** Shutter angle from the blur of moving pictures, at the rate of the file. */
export interface MeasuredAngle {
  readonly degrees: number;
  /** Ends of the interval that holds the true angle nineteen times in twenty. */
  readonly low: number;
  readonly high: number;
  /** Pictures behind it: pairs of frames with enough motion and texture. */
  readonly pairs: number;
  /** The angle of each part that could be read alone. */
  readonly stretches: readonly (Stretch & { readonly degrees: number; readonly pixelsPerFrame: number })[];
}

/** Random noise of one brightness. Shares are of the signal range, black to white. */
export interface NoiseLevel {
  readonly brightnessPercent: number;
  readonly sigmaPercent: number;
  readonly signalToNoiseDecibels: number;
  readonly blocks: number;
}

/** Random noise in the pictures as they are decoded: what the camera's denoiser and the coding left. */
export interface MeasuredNoise {
  /** Median over brightness levels, deviation as a share of the signal range. */
  readonly sigmaPercent: number;
  /** The same at 10 to 40 % brightness, where it shows most; left out when the picture has no such areas. */
  readonly shadowSigmaPercent?: number;
  /** 20·log10(brightness / deviation) at the level nearest to middle grey. */
  readonly signalToNoiseDecibels: number;
  /**
   * Stops of ISO that photon noise would need to grow from the reference of 0.8 % to this: 2·log2(σ/0.8 %). Negative
   * when cleaner. Compares pictures, not cameras.
   */
  readonly stopsOverReference: number;
  /** Noise of the finest detail alone; well below the whole when coding has smoothed the picture. */
  readonly fineSigmaPercent: number;
  /** Noise that changes from frame to frame, from still pictures; frozen and coded noise is not in it. */
  readonly temporalSigmaPercent?: number;
  readonly perLevel: readonly NoiseLevel[];
}

/**
 * Random noise as it went into the codec, told from what came out and how the coding left its mark on it. Said only when
 * the coding left enough to tell; otherwise the fact is absent with the reason, and `MeasuredNoise` is what survived.
 */
export interface MeasuredNoiseBeforeCoding {
  /** Deviation as a share of the signal range. */
  readonly sigmaPercent: number;
  /** Ends of the interval that holds the true deviation nineteen times in twenty. */
  readonly lowPercent: number;
  readonly highPercent: number;
  /** What the coding took away, in decibels: 0 when nothing. */
  readonly lostDecibels: number;
}

/** Frames that repeat, are missing or are mixed. */
export interface MeasuredRepeats {
  /** Share of frames that repeat the one before, 0 to 1. */
  readonly repeatedShare: number;
  /** `none`, `regular` (the scene was captured at a lower rate) or `single` (here and there). */
  readonly pattern: "none" | "regular" | "single";
  /** Frames a second that are really new, when the pattern is regular; a standard rate when within 1.5 % of one. */
  readonly trueFramesPerSecond?: number;
  /** Times of repeated frames when they are single, at most 64. */
  readonly repeatedAtSeconds: readonly number[];
  /** Jumps as if frames were missing, at most 64: steps of twice the motion around them or more. */
  readonly droppedAtSeconds: readonly number[];
  /** Share of frames that mix two pictures; left out when moves were too slow, too short or too uneven to tell. */
  readonly blendedShare?: number;
  /** Pictures a second that were mixed to the clip's rate, when that was found. */
  readonly mixedFromFramesPerSecond?: number;
}

/** Light that pulses. */
export interface MeasuredFlicker {
  readonly found: boolean;
  /** Frequency in the file: the beat of lamp and frame rate. */
  readonly hertz?: number;
  /** Half of the swing of brightness, as a share of the mean; what is asked of code values, not of light. */
  readonly amplitudePercent?: number;
  /** Dark bands in one picture height, when rows differ in phase; 0 when the whole picture pulses at once. */
  readonly bandsPerPicture?: number;
  /** Mains frequency whose lamps would beat like this at the file's rate; inferred. */
  readonly mainsHertz?: 50 | 60;
  /** Weakest flicker that would have been seen. */
  readonly leastSeenPercent: number;
}

/** Clipping and brightness. */
export interface MeasuredExposure {
  /** Share of pixels at 98.5 % of the declared range or above, mean over frames, 0 to 1. */
  readonly clippedShare: number;
  /** Share of pixels at 1 % or below. */
  readonly crushedShare: number;
  readonly mostClipped: { readonly atSeconds: number; readonly share: number };
  readonly mostCrushed: { readonly atSeconds: number; readonly share: number };
  /** Mean brightness of the pictures as a share of the range. */
  readonly meanPercent: number;
  readonly darkestPercent: number;
  readonly brightestPercent: number;
  /**
   * Steps of mean brightness within a frame or two that stay, at most 64; cuts in the content look the same. In stops of
   * light too, when the transfer is one whose curve is known.
   */
  readonly jumps: readonly {
    readonly atSeconds: number;
    readonly changePercent: number;
    readonly changeStops?: number;
  }[];
  /** Code values of single pixels, none of them averaged. */
  readonly codes: MeasuredCodes;
  /** Level and clipping through what was looked at, at most 1024 points; each stands for the time to the next. */
  readonly ribbon: readonly {
    readonly atSeconds: number;
    readonly meanPercent: number;
    readonly clippedShare: number;
    readonly crushedShare: number;
  }[];
}

/** Luma code values as they are stored, whatever range is declared. Shares are of picked pixels, 0 to 1. */
export interface MeasuredCodes {
  readonly bitDepth: number;
  readonly least: number;
  readonly most: number;
  /** Share below the code of black and above that of white of narrow range (16 and 235, 64 and 940 in 10 bit). */
  readonly belowNarrowShare: number;
  readonly aboveNarrowShare: number;
  /** Share outside what EBU R 103 lets pass: 5 to 246 in 8 bit, 20 to 984 in 10 bit. */
  readonly outsideToleratedShare: number;
}

/**
 * Change of exposure on the same content: neighbouring pictures are laid over each other by their motion and compared in
 * linear light, so that a pan from dark to bright ground is no change.
 */
export interface MeasuredDrift {
  /** Widest change within one unbroken part, in stops; negative when it darkens. */
  readonly changeStops: number;
  readonly fromSeconds: number;
  readonly toSeconds: number;
  /** Stops against the beginning of each unbroken part, at most 1024 points. */
  readonly ribbon: readonly { readonly atSeconds: number; readonly stops: number }[];
}

/** A straight line between a bright, even sky and the ground. Hills, trees and houses are refused, not averaged. */
export interface MeasuredHorizon {
  /** Median tilt in degrees of the picture as stored: positive when the right side lies lower. */
  readonly tiltDegrees: number;
  /** A tenth of the looks lie below and a tenth above. */
  readonly lowDegrees: number;
  readonly highDegrees: number;
  /** Looks that found the line, twice a second. */
  readonly looks: number;
  readonly ribbon: readonly { readonly atSeconds: number; readonly tiltDegrees: number }[];
}

/** Rows of two times woven into one picture, among frames that move. */
export interface MeasuredCombing {
  /** Share of the judged frames that are combed, 0 to 1. */
  readonly combedShare: number;
  /** Frames that move enough to be judged. */
  readonly judgedFrames: number;
  /** Which rows are older, when frames are combed. */
  readonly firstField?: "top" | "bottom";
}

/** Fine detail across the motion, against coarse detail. */
export interface MeasuredSharpness {
  /** Power of fine (0.15 to 0.35 cycles per pixel) against coarse (0.02 to 0.1) detail, median. */
  readonly detailDecibels: number;
  /** Where it is lowest, and how far below the median. */
  readonly softest: { readonly atSeconds: number; readonly dropDecibels: number };
}

/** How fast the picture moves as a whole. */
export interface MeasuredMotion {
  readonly medianWidthsPerSecond: number;
  readonly peakWidthsPerSecond: number;
  readonly peakAtSeconds: number;
  /** Shaking above 8 Hz: root mean square of the picture's place, both ways together, in percent of its width. */
  readonly vibrationPercent: number;
  /** Time that one point of the ribbon stands for: the time above a limit is the number of points above it times this. */
  readonly secondsPerPoint: number;
  /**
   * Speed of what was looked at, at most 1024 points; `across` is positive when the content moves to the right, `down`
   * when it moves down. Both are velocities of the content, in picture widths a second.
   */
  readonly ribbon: readonly {
    readonly atSeconds: number;
    readonly widthsPerSecond: number;
    readonly acrossWidthsPerSecond: number;
    readonly downWidthsPerSecond: number;
  }[];
}
