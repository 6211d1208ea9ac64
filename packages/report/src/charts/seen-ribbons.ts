import type { ClipReport } from "../schema.ts";
import { type Axis, axis, plotLeft, plotRight, stopAxis, valueAxis } from "./axes.ts";
import { type Mark, place, rect, shapes, stepLine, strokes, text } from "./picture.ts";
import { type Held, held, records } from "./seen-values.ts";
import { clipSeconds, factNumber, factParts, factPoints, numberFrom, short } from "./values.ts";

/** One ribbon: what it says in words, and its marks between two heights. */
export interface Ribbon {
  readonly says: string;
  readonly draw: (x: Axis, top: number, bottom: number) => readonly Mark[];
}

/** Room for the heading of a ribbon. */
const headingHeight = 16;
const heading = (top: number, words: string): Mark => text("small", plotLeft, top + 10, words);
/** Angles marked at the left, the usual one first: where there is no room for all, it stays. */
const marked = [180, 45, 360, 90, 22.5];
/** Below this a drift is a flat line, and said rather than drawn. */
const leastDriftStops = 0.1;

/** The ribbons a clip's facts allow, in reading order. */
export const seenRibbons = (clip: ClipReport): readonly Ribbon[] =>
  [angleRibbon(clip), motionRibbon(clip), levelRibbon(clip), driftRibbon(clip), horizonRibbon(clip)].filter(
    (ribbon) => ribbon !== undefined,
  );

/** Lengths of time at their values; a new line where time was not looked at. */
function heldLines(look: string, list: readonly Held[], x: Axis, y: Axis): readonly Mark[] {
  const runs: Held[][] = [];
  for (const each of list) {
    const last = runs.at(-1)?.at(-1);
    if (last !== undefined && each.from - last.to < 1e-6) runs.at(-1)?.push(each);
    else runs.push([each]);
  }
  return runs.map((run) =>
    stepLine(
      look,
      run.map(({ from, value }) => [x.at(from), y.at(value)] as const),
      x.at(run.at(-1)?.to ?? 0),
    ),
  );
}

const ribbonOf = (clip: ClipReport, fact: string, key: string): readonly Held[] =>
  held(
    records<string>(factParts(clip, fact)?.["ribbon"], "atSeconds", key).map(
      (point) => [point["atSeconds"] ?? 0, point[key] ?? 0] as const,
    ),
    clip,
  );

function angleRibbon(clip: ClipReport): Ribbon | undefined {
  const angle = factParts(clip, "measuredAngle");
  const degrees = numberFrom(angle?.["degrees"]);
  if (angle === undefined || degrees === undefined) return undefined;
  const [low, high] = [numberFrom(angle["low"]) ?? degrees, numberFrom(angle["high"]) ?? degrees];
  const stretches = records(angle["stretches"], "fromSeconds", "toSeconds", "degrees");
  const rate = factNumber(clip, "captureRate") ?? factNumber(clip, "frameRate") ?? 0;
  const seconds = clipSeconds(clip);
  const recorded = factPoints(clip, "shutterSeconds")
    .map(([at, open]) => [at, open * rate * 360] as const)
    .filter(([, value]) => value > 0);
  const record = recorded.length === 0 ? "none recorded" : `recorded ${short(recorded[0]?.[1] ?? 0, 0)}°`;
  return {
    says: `angle from blur ${short(degrees, 0)}° (${short(low, 0)}° to ${short(high, 0)}°), ${record}`,
    draw: (x, top, bottom) => {
      const all = [...stretches.map((each) => each.degrees), ...recorded.map(([, value]) => value), low, high, 180];
      const y = stopAxis(Math.max(2, Math.min(...all) / 1.3), Math.max(360, ...all), bottom, top + headingHeight);
      return [
        heading(top, recorded.length === 0 ? "Angle ° from blur" : "Angle °: points from blur, line as recorded"),
        rect("band", plotLeft, y.at(high), plotRight - plotLeft, y.at(low) - y.at(high)),
        ...valueAxis(
          y,
          marked.filter((value) => y.at(value) <= bottom && y.at(value) >= top),
        ),
        ...(recorded.length === 0
          ? []
          : [
              stepLine(
                "data",
                recorded.map(([at, value]) => [x.at(Math.min(at, seconds)), y.at(value)] as const),
                plotRight,
              ),
            ]),
        shapes(
          "point",
          "clean",
          stretches.map((each) => [x.at((each.fromSeconds + each.toSeconds) / 2), y.at(each.degrees)] as const),
        ),
      ];
    },
  };
}

function motionRibbon(clip: ClipReport): Ribbon | undefined {
  const points = ribbonOf(clip, "motion", "widthsPerSecond");
  if (points.length === 0) return undefined;
  const fastest = Math.max(...points.map(({ value }) => value));
  return {
    says: `motion up to ${short(fastest, 2)} picture widths a second`,
    draw: (x, top, bottom) => {
      const y = axis(0, Math.max(0.1, 1.15 * fastest), bottom, top + headingHeight);
      return [
        heading(top, "Motion, picture widths a second"),
        ...valueAxis(y, y.ticks(2), 2),
        ...heldLines("data", points, x, y),
      ];
    },
  };
}

function levelRibbon(clip: ClipReport): Ribbon | undefined {
  const points = ribbonOf(clip, "pictureLevels", "meanPercent");
  if (points.length === 0) return undefined;
  const values = points.map(({ value }) => value);
  const [least, most] = [Math.min(...values), Math.max(...values)].map((value) => short(value, 0));
  const clipped = ribbonOf(clip, "pictureLevels", "clippedShare").filter(({ value }) => value > 0.001);
  const worst = Math.max(0, ...clipped.map(({ value }) => value));
  const lost = worst > 0 ? `, up to ${short(100 * worst)} % clipped` : "";
  return {
    says: `mean brightness ${least === most ? least : `${least} to ${most}`} %${lost}`,
    draw: (x, top, bottom) => {
      const y = axis(0, 100, bottom, top + headingHeight);
      return [
        heading(top, worst > 0 ? "Line: mean brightness %. Columns: clipped %" : "Mean brightness %"),
        ...valueAxis(y, [0, 50, 100]),
        ...clipped.map(({ from, to, value }) =>
          rect("lost", x.at(from), y.at(100 * value), x.at(to) - x.at(from), bottom - y.at(100 * value)),
        ),
        ...heldLines("data", points, x, y),
      ];
    },
  };
}

function driftRibbon(clip: ClipReport): Ribbon | undefined {
  const points = ribbonOf(clip, "exposureDrift", "stops");
  if (points.length === 0) return undefined;
  const [least, most] = [Math.min(0, ...points.map((p) => p.value)), Math.max(0, ...points.map((p) => p.value))];
  if (most - least < leastDriftStops) return { says: "exposure steady", draw: () => [] };
  return {
    says: `exposure drifts by ${short(most - least, 2)} stops`,
    draw: (x, top, bottom) => {
      const y = axis(Math.min(-0.35, least), Math.max(0.35, most), bottom, top + headingHeight);
      return [
        heading(top, "Drift of exposure, stops"),
        ...valueAxis(y, y.ticks(3), 1),
        strokes("axis", [[plotLeft, y.at(0), plotRight, y.at(0)]]),
        ...heldLines("data", points, x, y),
      ];
    },
  };
}

function horizonRibbon(clip: ClipReport): Ribbon | undefined {
  const points = ribbonOf(clip, "horizon", "tiltDegrees");
  const tilt = numberFrom(factParts(clip, "horizon")?.["tiltDegrees"]);
  if (points.length === 0 || tilt === undefined) return undefined;
  const most = Math.max(3.5, ...points.map(({ value }) => Math.abs(value)));
  return {
    says: `horizon ${short(Math.abs(tilt))}° off level`,
    draw: (x, top, bottom) => {
      const y = axis(-most, most, bottom, top + headingHeight);
      return [
        heading(top, "Horizon °, above 0 the right side is low"),
        rect("band", plotLeft, y.at(1), plotRight - plotLeft, place(y.at(-1) - y.at(1))),
        ...valueAxis(y, [0, Math.floor(most), -Math.floor(most)]),
        ...heldLines("data", points, x, y),
      ];
    },
  };
}
