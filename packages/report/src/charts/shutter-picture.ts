import { toNumber } from "@goodgate/model";
import type { ClipReport, Report } from "../schema.ts";
import { clipTimeAxis, plotLeft, plotRight, stopAxis } from "./axes.ts";
import { type Picture, pictureWidth, polyline, rect, stepLine, strokes, text } from "./picture.ts";
import { clipSeconds, factNumber, factPoints, numberFrom, ratioFrom, short, shutterText, span } from "./values.ts";

const height = 150;
const top = 12;
const bottom = 126;

/** The angles the brief lets pass, in degrees: the wanted one and the tolerance in stops either way. */
export function allowedAngles(brief: Report["brief"]): {
  readonly wanted: number;
  readonly least: number;
  readonly most: number;
} {
  const wanted = numberFrom(brief.items["shutterAngleDegrees"]) ?? 180;
  const stops = numberFrom(brief.items["shutterToleranceStops"]) ?? 0.5;
  // A shutter cannot be open longer than the frame.
  return { wanted, least: wanted / 2 ** stops, most: Math.min(360, wanted * 2 ** stops) };
}

/**
 * Degrees of angle the viewer sees for one second of open shutter when the clip is used as planned: 360 times the rate
 * of the pictures that reach the screen. Undefined when the rates are not known.
 */
export function viewedDegreesPerSecond(clip: ClipReport, brief: Report["brief"]): number | undefined {
  const capture = factNumber(clip, "captureRate") ?? factNumber(clip, "frameRate");
  const file = factNumber(clip, "frameRate");
  const timeline = numberFrom(brief.items["timelineRate"]);
  if (capture === undefined || file === undefined || timeline === undefined || timeline <= 0) return undefined;
  const speed = ratioFrom(clip.plan.speed);
  const step = ((speed === undefined ? 1 : toNumber(speed)) * file) / timeline;
  return (360 * capture) / Math.max(1, step);
}

/**
 * The angle in degrees that motion blur gives, when the planned use is judged by it: nothing was recorded, or the blur
 * contradicts the record. Undefined when the record counts.
 */
export const judgedBlur = (clip: ClipReport): number | undefined =>
  clip.uses.find(({ use, angleOrigin }) => use === clip.plan.use && angleOrigin === "measured")?.angleDegrees;

/** The shutter angle through the clip against the band the brief allows; undefined when no shutter was read. */
export function shutterPicture(clip: ClipReport, brief: Report["brief"]): Picture | undefined {
  const perSecond = viewedDegreesPerSecond(clip, brief);
  const points = factPoints(clip, "shutterSeconds");
  if (perSecond === undefined || points.length === 0) return undefined;
  const angles = points.map(([seconds, open]) => [seconds, open * perSecond] as const).filter(([, a]) => a > 0);
  const extent = span(angles.map(([, angle]) => angle));
  if (extent === undefined) return undefined;
  const allowed = allowedAngles(brief);
  const seconds = clipSeconds(clip);
  const y = stopAxis(Math.min(extent.least, allowed.least) / 1.4, Math.max(extent.most, 360), bottom, top);
  const { x, marks } = clipTimeAxis(seconds, bottom);
  const shown = angles.map(([at, angle]) => [x.at(Math.min(at, seconds)), y.at(angle)] as const);
  const labelled = [360, 180, 90, 45, 22.5, 11.25, 5.6, 2.8].filter((angle) => y.at(angle) < bottom - 4);
  const inside = extent.least >= allowed.least * 0.999 && extent.most <= allowed.most * 1.001;
  const opens = span(points.map(([, open]) => open));
  const range =
    extent.most - extent.least < 0.5
      ? `${short(extent.most, 0)}° throughout (${shutterText(opens?.most ?? 0)} s)`
      : `${short(extent.least, 0)}° to ${short(extent.most, 0)}° (${shutterText(opens?.least ?? 0)} to ${shutterText(opens?.most ?? 0)} s)`;
  const blur = judgedBlur(clip);
  const band = `${short(allowed.least, 0)}° to ${short(allowed.most, 0)}°`;
  return {
    id: "shutter",
    title: "Shutter angle on the timeline",
    says:
      blur === undefined
        ? `${range}; the brief allows ${band}: ${inside ? "inside the band" : "outside the band"}.`
        : `Recorded ${range}, but blur says ${short(blur, 0)}° (second line); the brief allows ${band}.`,
    width: pictureWidth,
    height,
    marks: [
      rect("band", plotLeft, y.at(allowed.most), plotRight - plotLeft, y.at(allowed.least) - y.at(allowed.most)),
      strokes("bound", [
        [plotLeft, y.at(allowed.most), plotRight, y.at(allowed.most)],
        [plotLeft, y.at(allowed.least), plotRight, y.at(allowed.least)],
      ]),
      strokes(
        "grid",
        labelled.map((angle) => [plotLeft, y.at(angle), plotRight, y.at(angle)]),
      ),
      ...labelled.map((angle) => text("num end", plotLeft - 5, y.at(angle) + 4, `${short(angle, 0)}°`)),
      text("small end", plotRight - 3, y.at(allowed.least) - 4, "allowed"),
      ...marks,
      ...(blur === undefined
        ? []
        : [
            polyline("data second", [
              [plotLeft, y.at(blur)],
              [plotRight, y.at(blur)],
            ]),
            text("small", plotLeft + 3, y.at(blur) - 4, "from blur"),
          ]),
      shown.length > 1
        ? stepLine("data", shown, plotRight)
        : polyline("data", [
            [plotLeft, shown[0]?.[1] ?? 0],
            [plotRight, shown[0]?.[1] ?? 0],
          ]),
    ],
  };
}
