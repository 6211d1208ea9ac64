export { type FfmpegProgram, findFfmpeg, likelyFfmpeg } from "./find-ffmpeg.ts";
export { measureClip } from "./measure-clip.ts";
export type {
  CannotTell,
  ClipOutline,
  Coverage,
  Measured,
  MeasuredAngle,
  MeasuredCombing,
  MeasuredDrift,
  MeasuredExposure,
  MeasuredFlicker,
  MeasuredHorizon,
  Measurement,
  MeasuredMotion,
  MeasuredNoise,
  MeasuredNoiseBeforeCoding,
  MeasuredRepeats,
  MeasuredSharpness,
  MeasureOptions,
  NoiseLevel,
  Stretch,
} from "./measurement.ts";
export { samplingPlan } from "./sampling.ts";
