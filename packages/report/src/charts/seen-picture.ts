import type { MeasuredAngle, MeasuredMotion, MeasuredNoise } from "@goodgate/model";
import type { ClipReport } from "../schema.ts";
import { axis, clipTimeAxis, plotLeft, plotRight, stopAxis, valueAxis } from "./axes.ts";
import { type Mark, type Picture, pictureWidth, rect, shapes, stepLine, strokes, text } from "./picture.ts";
import { clipSeconds, factNumber, factParts, factPoints, short } from "./values.ts";

/** Room of one ribbon with its heading, and of its plot. */
const ribbonHeight = 84;
const headingHeight = 16;
/** Half a ribbon's worth of time stands for one speed. */
const speedSeconds = 0.5;
/** Angles marked at the left. */
const marked = [360, 180, 90, 45, 22.5];

const parts = <T>(clip: ClipReport, name: string): Partial<T> | undefined =>
  factParts(clip, name) as Partial<T> | undefined;

/**
 * What the pictures said, beside what was declared: motion and shutter angle through the clip, noise by brightness.
 * Undefined when nothing was asked of the pictures or they could tell nothing.
 */
export function seenPicture(clip: ClipReport): Picture | undefined {
  const motion = parts<MeasuredMotion>(clip, "motion");
  const angle = parts<MeasuredAngle>(clip, "measuredAngle");
  const noise = parts<MeasuredNoise>(clip, "noise");
  const ribbons: ((top: number, bottom: number) => readonly Mark[])[] = [];
  const says: string[] = [];
  const seconds = clipSeconds(clip);
  const x = clipTimeAxis(seconds, 0).x;

  // First, because its axis is brightness: the ribbons below share the time axis at the foot.
  if (noise?.perLevel !== undefined && noise.perLevel.length > 0) {
    const { perLevel } = noise;
    const most = Math.max(0.1, ...perLevel.map((each) => each.sigmaPercent));
    says.push(`noise ${short(noise.sigmaPercent ?? 0, 2)} % of full scale`);
    ribbons.push((top, bottom) => {
      const y = axis(0, most, bottom, top + headingHeight);
      const across = axis(0, 100, plotLeft, plotRight);
      return [
        text("small", plotLeft, top + 10, "Noise, % of full scale, from dark to bright"),
        ...valueAxis(y, y.ticks(2), 1),
        strokes("axis", [[plotLeft, bottom, plotRight, bottom]]),
        text("small end", plotRight, top + headingHeight + 8, "by brightness, not by time"),
        ...perLevel.map((each) =>
          rect(
            "bar",
            across.at(each.brightnessPercent) - 4,
            y.at(each.sigmaPercent),
            8,
            bottom - y.at(each.sigmaPercent),
          ),
        ),
      ];
    });
  }

  if (motion?.ribbon !== undefined && motion.ribbon.length > 0) {
    const { ribbon } = motion;
    const most = Math.max(0.1, ...ribbon.map((each) => each.widthsPerSecond));
    says.push(`motion up to ${short(most, 2)} picture widths a second`);
    ribbons.push((top, bottom) => {
      const y = axis(0, most, bottom, top + headingHeight);
      return [
        text("small", plotLeft, top + 10, "Motion, picture widths a second"),
        ...valueAxis(y, y.ticks(2), 2),
        // Where nothing was looked at the line is broken.
        ...ribbon.map((each) =>
          stepLine(
            "data",
            [[x.at(each.atSeconds), y.at(each.widthsPerSecond)]],
            x.at(Math.min(seconds, each.atSeconds + speedSeconds)),
          ),
        ),
      ];
    });
  }

  if (angle?.stretches !== undefined && angle.degrees !== undefined) {
    const { stretches, low = angle.degrees, high = angle.degrees, degrees } = angle;
    const rate = factNumber(clip, "captureRate") ?? factNumber(clip, "frameRate") ?? 0;
    const declared = factPoints(clip, "shutterSeconds").map(([at, open]) => [at, open * rate * 360] as const);
    says.push(
      `angle from blur ${short(degrees, 0)}° (${short(low, 0)}° to ${short(high, 0)}°)${declared.length > 0 ? `, declared ${short(declared[0]?.[1] ?? 0, 0)}°` : ""}`,
    );
    ribbons.push((top, bottom) => {
      const all = [...stretches.map((each) => each.degrees), ...declared.map(([, value]) => value), low, high];
      const y = stopAxis(Math.max(2, Math.min(...all) / 1.3), Math.max(360, ...all), bottom, top + headingHeight);
      return [
        text("small", plotLeft, top + 10, "Angle from blur (points) and as declared (line), degrees"),
        rect("band", plotLeft, y.at(high), plotRight - plotLeft, y.at(low) - y.at(high)),
        ...valueAxis(
          y,
          marked.filter((value) => y.at(value) <= bottom && y.at(value) >= top),
        ),
        ...(declared.length === 0
          ? []
          : [
              stepLine(
                "data",
                declared.map(([at, value]) => [x.at(Math.min(at, seconds)), y.at(value)] as const),
                plotRight,
              ),
            ]),
        shapes(
          "point",
          "clean",
          stretches.map((each) => [x.at((each.fromSeconds + each.toSeconds) / 2), y.at(each.degrees)] as const),
        ),
      ];
    });
  }

  if (ribbons.length === 0) return undefined;
  const bottom = ribbons.length * ribbonHeight;
  return {
    id: "seen",
    title: "What the pictures say",
    says: `${says.join("; ")}.`,
    width: pictureWidth,
    height: bottom + 24,
    marks: [
      ...ribbons.flatMap((draw, place) => draw(place * ribbonHeight, (place + 1) * ribbonHeight - 8)),
      ...clipTimeAxis(seconds, bottom).marks,
    ],
  };
}
