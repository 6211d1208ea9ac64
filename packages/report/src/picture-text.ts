import type {
  FactName,
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
} from "@goodgate/model";

/** Below this, noise is lost in the rounding of code values. */
const leastNoisePercent = 0.05;
const short = (value: number, digits = 1): string => String(Number(value.toFixed(digits)));
const percent = (share: number): string => `${short(share * 100)} %`;
const times = (list: readonly number[]): string =>
  list.length === 0
    ? ""
    : ` at ${list
        .slice(0, 6)
        .map((at) => short(at))
        .join(", ")}${list.length > 6 ? " …" : ""} s`;
const stretches = (word: string, list: readonly Stretch[]): string =>
  list.length === 0
    ? `no ${word} stretch`
    : `${word} ${list
        .slice(0, 4)
        .map(({ fromSeconds, toSeconds }) => `${short(fromSeconds)} to ${short(toSeconds)} s`)
        .join(", ")}`;

/** What the pictures say of one fact, as a person reads it; undefined for a fact that is not asked of pictures. */
export function pictureText(name: FactName, value: unknown): string | undefined {
  switch (name) {
    case "lookedAt": {
      const { seconds, ofSeconds, stretches: parts } = value as LookedAt;
      const places = parts.length === 1 ? "in one stretch" : `in ${parts.length} stretches`;
      return `${short(seconds)} of ${short(ofSeconds)} s, ${places}`;
    }
    case "measuredAngle": {
      const { degrees, low, high, pairs } = value as MeasuredAngle;
      return `${short(degrees, 0)}°, ${short(low, 0)} to ${short(high, 0)} with 95 % confidence, from ${pairs} pairs of frames`;
    }
    case "noise": {
      const { sigmaPercent, signalToNoiseDecibels, stopsOverReference } = value as MeasuredNoise;
      if (sigmaPercent < leastNoisePercent) return `under ${leastNoisePercent} % of full scale: none to be seen`;
      const stops = `${Math.abs(Number(stopsOverReference.toFixed(1)))} stops ${stopsOverReference > 0 ? "noisier" : "cleaner"} than 0.8 %`;
      return `${short(sigmaPercent, 2)} % of full scale, ${short(signalToNoiseDecibels, 0)} dB, like ISO noise ${stops}`;
    }
    case "noiseBeforeCoding": {
      const { sigmaPercent, lowPercent, highPercent, lostDecibels } = value as MeasuredNoiseBeforeCoding;
      return `${short(sigmaPercent, 2)} % of full scale, ${short(lowPercent, 2)} to ${short(highPercent, 2)} % with 95 % confidence; coding took ${short(lostDecibels)} dB`;
    }
    case "repeats": {
      const { pattern, repeatedShare, trueFramesPerSecond, repeatedAtSeconds, droppedAtSeconds } =
        value as MeasuredRepeats;
      const { blendedShare, mixedFromFramesPerSecond } = value as MeasuredRepeats;
      const repeated =
        pattern === "none"
          ? "no repeated frames"
          : `${percent(repeatedShare)} repeated${pattern === "regular" ? `, really ${short(trueFramesPerSecond ?? 0, 3)} a second` : times(repeatedAtSeconds)}`;
      const from = mixedFromFramesPerSecond === undefined ? "" : ` from ${short(mixedFromFramesPerSecond, 3)} a second`;
      const dropped = droppedAtSeconds.length === 0 ? "" : `; jumps${times(droppedAtSeconds)}`;
      return `${repeated}${dropped}${blendedShare === undefined ? "; mixed ones could not be told" : blendedShare > 0 ? `; ${percent(blendedShare)} blended${from}` : ""}`;
    }
    case "flicker": {
      const { found, hertz, amplitudePercent, mainsHertz, bandsPerPicture, leastSeenPercent } =
        value as MeasuredFlicker;
      if (!found) return `none over ${short(leastSeenPercent)} %`;
      const bands = (bandsPerPicture ?? 0) > 0 ? `, ${short(bandsPerPicture ?? 0)} bands a picture` : "";
      return `${short(amplitudePercent ?? 0)} % at ${short(hertz ?? 0, 2)} Hz${bands}${mainsHertz === undefined ? "" : `, fits ${mainsHertz} Hz mains`}`;
    }
    case "pictureLevels": {
      const { clippedShare, crushedShare, meanPercent, darkestPercent, brightestPercent } = value as MeasuredExposure;
      return `${percent(clippedShare)} clipped, ${percent(crushedShare)} crushed, mean ${short(meanPercent, 0)} % (${short(darkestPercent, 0)} to ${short(brightestPercent, 0)} %)`;
    }
    case "exposureDrift": {
      const { changeStops, fromSeconds, toSeconds } = value as MeasuredDrift;
      return `at most ${short(Math.abs(changeStops), 2)} stops ${changeStops < 0 ? "darker" : "brighter"}, ${short(fromSeconds)} to ${short(toSeconds)} s`;
    }
    case "horizon": {
      const { tiltDegrees, lowDegrees, highDegrees } = value as MeasuredHorizon;
      return `tilted by ${short(tiltDegrees)}° (${short(lowDegrees)} to ${short(highDegrees)}°), ${tiltDegrees < 0 ? "left" : "right"} side lower`;
    }
    case "combing": {
      const { combedShare, judgedFrames, firstField } = value as MeasuredCombing;
      const first = firstField === undefined ? "" : `, ${firstField} rows first`;
      return `${percent(combedShare)} of ${judgedFrames} moving frames combed${first}`;
    }
    case "sharpness": {
      const { detailDecibels, softest } = value as MeasuredSharpness;
      return `fine detail ${short(detailDecibels)} dB, softest ${short(softest.dropDecibels)} dB below at ${short(softest.atSeconds)} s`;
    }
    case "motion": {
      const { medianWidthsPerSecond, peakWidthsPerSecond, peakAtSeconds, vibrationPercent } = value as MeasuredMotion;
      return `median ${short(medianWidthsPerSecond, 2)}, peak ${short(peakWidthsPerSecond, 2)} picture widths a second at ${short(peakAtSeconds)} s; shake ${short(vibrationPercent, 2)} % of the width`;
    }
    case "stillness": {
      const { black, frozen } = value as { readonly black: readonly Stretch[]; readonly frozen: readonly Stretch[] };
      return `${stretches("black", black)}, ${stretches("frozen", frozen)}`;
    }
    default:
      return undefined;
  }
}
