import type { Degrees, Rate, Seconds } from "./quantities.ts";
import { toNumber } from "./ratio.ts";

/** Lens, sensor and picture of a camera that looks straight down. */
export interface DownwardView {
  readonly sensorWidthMillimetres: number;
  readonly focalLengthMillimetres: number;
  readonly widthPixels: number;
  readonly heightMetres: number;
}

/** Metres of level ground one pixel covers, looking straight down: sensor·height / (focal length·pixels). */
export const groundSampleMetres = (view: DownwardView): number =>
  (view.sensorWidthMillimetres * view.heightMetres) / (view.focalLengthMillimetres * view.widthPixels);

/** Pixels the ground moves from one frame to the next: speed / (rate · ground sample). */
export const displacementPixels = (metresPerSecond: number, capture: Rate, sampleMetres: number): number =>
  metresPerSecond / (toNumber(capture) * sampleMetres);

/** Pixels the ground smears while the shutter is open: speed · time / ground sample. */
export const blurPixels = (metresPerSecond: number, open: Seconds, sampleMetres: number): number =>
  (metresPerSecond * toNumber(open)) / sampleMetres;

/** Length of the blur as a share of the step between frames: angle / 360. 180 degrees give a half. */
export const blurShare = (angle: Degrees): number => toNumber(angle) / 360;

/**
 * Seconds in which a picture may pass its own width in a pan, at 24 frames/s and 180 degrees, without visible stepping.
 * A rule of thumb of camera makers' teaching pages: neither a limit nor a promise.
 */
export const panGuideSeconds = 7;

/** Pixels per frame of a pan that passes one picture width in `secondsPerWidth`. */
export const panPixelsPerFrame = (widthPixels: number, at: Rate, secondsPerWidth: number = panGuideSeconds): number =>
  widthPixels / (secondsPerWidth * toNumber(at));

/** Mean turn in degrees per second of a pan over a horizontal view of `viewDegrees` in `secondsPerWidth`. */
export const panDegreesPerSecond = (viewDegrees: number, secondsPerWidth: number = panGuideSeconds): number =>
  viewDegrees / secondsPerWidth;

/**
 * The turn in degrees per second at which the middle of the picture moves as fast as in such a pan: 2·tan(view/2) per
 * time, more than the mean on a wide lens that keeps straight lines straight.
 */
export function panDegreesPerSecondAtCentre(viewDegrees: number, secondsPerWidth: number = panGuideSeconds): number {
  const half = (viewDegrees / 2) * (Math.PI / 180);
  return (2 * Math.tan(half) * (180 / Math.PI)) / secondsPerWidth;
}

/** Horizontal view in degrees of a lens by its focal length on the 36 mm wide film frame: 2·atan(18/f). */
export const viewDegreesOf35mm = (focalLength35mm: number): number =>
  2 * Math.atan(18 / focalLength35mm) * (180 / Math.PI);

/** Smear of a turn during the exposure, in minutes of arc. */
export const turnBlurArcMinutes = (degreesPerSecond: number, open: Seconds): number =>
  degreesPerSecond * toNumber(open) * 60;
