/** What a codec's own header (parameter set, sequence header, configuration record) says of the picture. */
export interface StreamHeader {
  /** The profile as ffprobe prints it. */
  profile?: string;
  bitDepth?: number;
  /** `4:2:0` and its kin. */
  chroma?: string;
  /** Shown size, cropping applied. */
  width?: number;
  height?: number;
  /** Width to height of one pixel. */
  pixelAspect?: readonly [number, number];
  /** Code points of ITU-T H.273; 2 is unspecified. */
  primaries?: number;
  transfer?: number;
  matrix?: number;
  fullRange?: boolean;
  /** Frames per second as numerator and denominator. */
  rate?: readonly [number, number];
  scan?: string;
  /** Bits of the two delays before `pic_struct` in H.264 picture timing messages; absent when they carry none. */
  pictureTimingSkip?: number;
  maximumNits?: number;
  minimumNits?: number;
  maximumContentNits?: number;
  maximumFrameAverageNits?: number;
}

/** Names of `chroma_format_idc` (ITU-T H.264, table 6-1; the same in H.265). */
export const chromaNames: readonly string[] = ["4:0:0", "4:2:0", "4:2:2", "4:4:4"];

/** Sample aspect ratios by `aspect_ratio_idc` 1 to 16 (ITU-T H.264, table E-1; H.273). */
export const aspectRatios: readonly (readonly [number, number])[] = [
  [0, 0],
  [1, 1],
  [12, 11],
  [10, 11],
  [16, 11],
  [40, 33],
  [24, 11],
  [20, 11],
  [32, 11],
  [80, 33],
  [18, 11],
  [15, 11],
  [64, 33],
  [160, 99],
  [4, 3],
  [3, 2],
  [2, 1],
];
