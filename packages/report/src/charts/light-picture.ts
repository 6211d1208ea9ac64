import type { ClipReport, Report } from "../schema.ts";
import { axis, clipTimeAxis, plotLeft, plotRight, stopAxis, valueAxis } from "./axes.ts";
import { type Mark, type Picture, pictureWidth, stepLine, strokes, text } from "./picture.ts";
import { clipSeconds, factPoints, lightPoints, numberFrom, type Point, short, span } from "./values.ts";

/** The ISO ceiling the report's own finding used for this clip, else the brief's. */
function ceilingOf(clip: ClipReport, brief: Report["brief"]): number | undefined {
  const found = clip.findings.find((finding) => finding.rule === "iso-ceiling");
  return numberFrom(found?.limit.value) ?? numberFrom(brief.items["isoCeiling"]);
}

/** ISO and the light of the scene through the clip; undefined when no ISO was read. */
export function lightPicture(clip: ClipReport, brief: Report["brief"]): Picture | undefined {
  const iso = factPoints(clip, "iso").filter(([, value]) => value > 0);
  const gain = span(iso.map(([, value]) => value));
  if (gain === undefined) return undefined;
  const seconds = clipSeconds(clip);
  const light = lightPoints(clip);
  const scene = span(light.map(([, value]) => value));
  const ceiling = ceilingOf(clip, brief);
  const isoTop = 22;
  const isoBottom = scene === undefined ? 126 : 80;
  const bottom = scene === undefined ? 126 : 168;
  const { x, marks } = clipTimeAxis(seconds, bottom);
  const placed = (points: readonly Point[], y: { at(value: number): number }) =>
    points.map(([at, value]) => [x.at(Math.min(at, seconds)), y.at(value)] as const);

  const isoAxis = stopAxis(
    Math.min(gain.least, 100) / 1.15,
    Math.max(gain.most * 1.2, ceiling ?? 0, 400),
    isoBottom,
    isoTop,
  );
  const isoMarks: Mark[] = [
    ...valueAxis(
      isoAxis,
      [100, 200, 400, 800, 1600, 3200, 6400, 12800, 25600].filter((value, place) => {
        const fits = isoAxis.at(value) >= isoTop - 1;
        return fits && (gain.most <= 1600 || place % 2 === 0);
      }),
    ),
    text("small", plotLeft, 12, "ISO"),
  ];
  if (ceiling !== undefined) {
    const y = isoAxis.at(ceiling);
    isoMarks.push(strokes("bound", [[plotLeft, y, plotRight, y]]));
    isoMarks.push(text("small end", plotRight - 3, gain.most > ceiling ? y + 13 : y - 4, `ceiling ${short(ceiling)}`));
  }
  isoMarks.push(stepLine("data", placed(iso, isoAxis), plotRight));

  const isoSays =
    gain.least === gain.most ? `ISO ${short(gain.most)} throughout` : `ISO ${short(gain.least)} to ${short(gain.most)}`;
  const limit = ceiling === undefined ? "no ceiling given" : `ceiling ${short(ceiling)}`;
  if (scene === undefined) {
    return {
      id: "light",
      title: "ISO through the shot",
      says: `${isoSays}, ${limit}. Light not known: it needs shutter, ISO and f-number.`,
      width: pictureWidth,
      height: bottom + 24,
      marks: [...isoMarks, ...marks],
    };
  }
  const middle = (scene.least + scene.most) / 2;
  // At least three stops high, so that a third of a stop does not look like a thunderstorm.
  const reach = Math.max(1.5, (scene.most - scene.least) / 2 + 0.5);
  const lightAxis = axis(middle - reach, middle + reach, bottom, isoBottom + 28);
  const lightSays =
    scene.most - scene.least < 0.05
      ? `light EV ${short(middle)}`
      : `light EV ${short(scene.least)} to ${short(scene.most)}`;
  return {
    id: "light",
    title: "ISO and light through the shot",
    says: `${isoSays}, ${limit}; ${lightSays} at ISO 100, as exposed for.`,
    width: pictureWidth,
    height: bottom + 24,
    marks: [
      ...isoMarks,
      text("small", plotLeft, isoBottom + 22, "Light, EV at ISO 100"),
      ...valueAxis(lightAxis, lightAxis.ticks(3).filter(Number.isInteger)),
      ...marks,
      stepLine("data second", placed(light, lightAxis), plotRight),
    ],
  };
}
