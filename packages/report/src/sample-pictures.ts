import type { FactName, FactValues } from "@goodgate/model";
import { read } from "@goodgate/model";
import { reportFacts } from "./facts.ts";
import { sampleReport } from "./sample-report.ts";
import type { ClipReport, Report } from "./schema.ts";

/*
 * The invented report as if the pictures had been asked: three stretches of the first clip, all of the sixth, whose
 * shutter nobody recorded. Values are made up.
 */

const every = (from: number, to: number, step: number): number[] =>
  Array.from({ length: Math.floor((to - from) / step) }, (_, place) => from + place * step);
const stretches = [
  { fromSeconds: 0, toSeconds: 3 },
  { fromSeconds: 5, toSeconds: 8 },
  { fromSeconds: 9.5, toSeconds: 12.5 },
];
const looks = stretches.flatMap(({ fromSeconds, toSeconds }) => every(fromSeconds, toSeconds, 0.5));

/** What the pictures of the first clip say. */
export const samplePictures = {
  lookedAt: { seconds: 9, ofSeconds: 12.5, stretches },
  measuredAngle: {
    degrees: 172,
    low: 160,
    high: 185,
    pairs: 40,
    stretches: [
      { fromSeconds: 0, toSeconds: 1, degrees: 168, pixelsPerFrame: 20 },
      { fromSeconds: 6, toSeconds: 7, degrees: 175, pixelsPerFrame: 24 },
    ],
  },
  noise: {
    sigmaPercent: 0.7,
    signalToNoiseDecibels: 37,
    stopsOverReference: -0.4,
    fineSigmaPercent: 0.6,
    perLevel: [10, 30, 50, 70].map((brightnessPercent) => ({
      brightnessPercent,
      sigmaPercent: 0.5 + brightnessPercent / 200,
      signalToNoiseDecibels: 37,
      blocks: 100,
    })),
  },
  pictureLevels: {
    clippedShare: 0.02,
    crushedShare: 0,
    mostClipped: { atSeconds: 6, share: 0.06 },
    mostCrushed: { atSeconds: 0, share: 0 },
    meanPercent: 45,
    darkestPercent: 40,
    brightestPercent: 62,
    jumps: [{ atSeconds: 6, changePercent: 12, changeStops: 0.4 }],
    codes: {
      bitDepth: 10,
      least: 64,
      most: 940,
      belowNarrowShare: 0,
      aboveNarrowShare: 0,
      outsideToleratedShare: 0,
    },
    ribbon: looks.map((atSeconds) => ({
      atSeconds,
      meanPercent: atSeconds < 6 ? 42 : 54,
      clippedShare: atSeconds >= 6 && atSeconds < 8 ? 0.06 : 0,
      crushedShare: 0,
    })),
  },
  exposureDrift: {
    changeStops: 0.4,
    fromSeconds: 5,
    toSeconds: 8,
    ribbon: looks.map((atSeconds) => ({ atSeconds, stops: atSeconds >= 6 && atSeconds < 8 ? 0.4 : 0 })),
  },
  horizon: {
    tiltDegrees: 1.6,
    lowDegrees: 0.2,
    highDegrees: 2.4,
    looks: looks.length,
    ribbon: looks.map((atSeconds) => ({ atSeconds, tiltDegrees: atSeconds < 5 ? 0.2 : 2.2 })),
  },
  motion: {
    medianWidthsPerSecond: 0.2,
    peakWidthsPerSecond: 0.4,
    peakAtSeconds: 0.5,
    vibrationPercent: 0.05,
    secondsPerPoint: 0.5,
    ribbon: looks.map((atSeconds, place) => ({
      atSeconds,
      widthsPerSecond: place % 2 === 0 ? 0.2 : 0.4,
      acrossWidthsPerSecond: 0.2,
      downWidthsPerSecond: 0,
    })),
  },
  stillness: {
    black: [{ fromSeconds: 11.5, toSeconds: 12.5 }],
    frozen: [{ fromSeconds: 9.5, toSeconds: 10.6 }],
  },
} as const satisfies Partial<FactValues>;

/** A clip as if its pictures had been asked, and had answered this. */
export function withPictures(clip: ClipReport, values: Partial<FactValues>): ClipReport {
  const origin = { kind: "measured", file: clip.name, place: "part of it looked at", reader: "ffmpeg" } as const;
  const facts = Object.entries(values).map(([name, value]) => [name as FactName, read(value, origin)] as const);
  const told = reportFacts(Object.fromEntries(facts) as never, { positions: true, own: clip.name });
  const asked = Object.keys(values).flatMap((name) => (told[name] === undefined ? [] : [[name, told[name]] as const]));
  return { ...clip, facts: { ...clip.facts, ...Object.fromEntries(asked) } };
}

/** The sample report with pictures that were asked. */
export function seenReport(): Report {
  const report = sampleReport();
  const clips = report.clips.map((clip, place): ClipReport => {
    if (place === 0) return withPictures(clip, samplePictures);
    if (place !== 5) return clip;
    const whole = { seconds: 10, ofSeconds: 10, stretches: [{ fromSeconds: 0, toSeconds: 10 }] };
    const blur = { ...samplePictures.measuredAngle, degrees: 43, low: 38, high: 48 };
    return {
      ...withPictures(clip, { lookedAt: whole, measuredAngle: blur }),
      uses: clip.uses.map((use) => ({ ...use, angleDegrees: 42.85, angleOrigin: "measured" as const })),
    };
  });
  return { ...report, clips };
}
