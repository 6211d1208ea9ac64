import { scaleUtc } from "d3-scale";
import type { ClipReport, Report } from "../schema.ts";
import { axis, type Axis, plotLeft, plotRight, stopAxis, valueAxis } from "./axes.ts";
import { type Mark, type Picture, pictureWidth, rect, type Shape, shapes, strokes, text } from "./picture.ts";
import { factNumber, grouped, lightPoints, numberFrom, readFact, short, span, valueAt } from "./values.ts";
import { allowedAngles, judgedBlur, viewedDegreesPerSecond } from "./shutter-picture.ts";

interface Moment {
  readonly at: number;
  readonly shape: Shape;
  readonly light?: number;
  readonly iso?: number;
  readonly angle?: number;
  /** Whether the angle was read from motion blur, not from the record. */
  readonly fromBlur?: boolean;
}

const panel = 62;
const gap = 24;

/** A start as the report writes it: ISO 8601, with or without a zone. */
const isoStart = /^(\d{4}-\d\d-\d\d)[T ](\d\d:\d\d(?::\d\d(?:\.\d+)?)?)(Z|[+-]\d\d:?\d\d)?/;

/** When a clip began, as the clip itself writes it; undefined when not known or not to be believed. */
export function startOf(
  clip: Pick<ClipReport, "facts">,
): { readonly milliseconds: number; readonly day: string; readonly time: string } | undefined {
  const created = readFact(clip, "createdAt");
  if (typeof created?.value !== "string" || created.text?.includes("not to be believed") === true) return undefined;
  const match = isoStart.exec(created.value);
  if (match === null) return undefined;
  const [, day = "", time = ""] = match;
  // The clip's own wall clock, whatever its zone: clips of one card share it.
  const milliseconds = Date.parse(`${day}T${time}Z`);
  return Number.isFinite(milliseconds) ? { milliseconds, day, time } : undefined;
}

function moment(clip: ClipReport, brief: Report["brief"]): Moment | undefined {
  const at = startOf(clip)?.milliseconds;
  if (at === undefined) return undefined;
  const points = lightPoints(clip);
  const light = points[Math.floor(points.length / 2)]?.[1] ?? valueAt(points, 0);
  const iso = factNumber(clip, "iso");
  const open = factNumber(clip, "shutterSeconds");
  const perSecond = viewedDegreesPerSecond(clip, brief);
  const blur = judgedBlur(clip);
  const angle = blur ?? (open === undefined || perSecond === undefined ? undefined : open * perSecond);
  return {
    at,
    shape: clip.verdict,
    ...(light === undefined ? {} : { light }),
    ...(iso === undefined || iso <= 0 ? {} : { iso }),
    ...(angle === undefined || angle <= 0 ? {} : { angle, fromBlur: blur !== undefined }),
  };
}

/** Light and settings over the day, one point for each clip; undefined when fewer than two clips have a clock. */
export function dayPicture(report: Pick<Report, "clips" | "brief">): Picture | undefined {
  const moments = report.clips.flatMap((clip) => moment(clip, report.brief) ?? []);
  const times = span(moments.map(({ at }) => at));
  if (times === undefined || moments.length < 2) return undefined;
  const x = scaleUtc()
    .domain([times.least, Math.max(times.most, times.least + 60_000)])
    .range([plotLeft + 6, plotRight - 6]);
  const marks: Mark[] = [];
  const said: string[] = [];
  let top = 18;
  const draw = (
    title: string,
    values: readonly (readonly [Moment, number])[],
    y: (from: number, to: number) => Axis,
    ticks: (of: Axis) => readonly number[],
    under: (of: Axis) => readonly Mark[] = () => [],
  ): void => {
    if (values.length === 0) return;
    const scale = y(top + panel, top);
    marks.push(text("small", plotLeft, top - 5, title), ...under(scale), ...valueAxis(scale, ticks(scale)));
    for (const shape of ["clean", "workable", "unknown", "reshoot"] as const) {
      const places = values.filter(([of]) => of.shape === shape).map(([of, v]) => [x(of.at), scale.at(v)] as const);
      if (places.length > 0) marks.push(shapes("at", shape, places));
    }
    top += panel + gap;
  };
  const lights = pick(moments, "light");
  const bright = span(lights.map(([, value]) => value));
  if (bright !== undefined) {
    draw(
      "Light, EV at ISO 100",
      lights,
      (from, to) => axis(bright.least - 1, bright.most + 1, from, to),
      (of) => of.ticks(4).filter(Number.isInteger),
    );
    said.push(`light EV ${short(bright.least)} to ${short(bright.most)}`);
  }
  const gains = pick(moments, "iso");
  const gain = span(gains.map(([, value]) => value));
  if (gain !== undefined) {
    const ceiling = numberFrom(report.brief.items["isoCeiling"]);
    draw(
      "ISO",
      gains,
      (from, to) => stopAxis(Math.min(gain.least, 100) / 1.2, Math.max(gain.most, 400, ceiling ?? 0) * 1.2, from, to),
      () => [100, 400, 1600, 6400, 25600].filter((value) => value <= Math.max(gain.most, 400) * 1.2),
      (of) =>
        ceiling === undefined ? [] : [strokes("bound", [[plotLeft, of.at(ceiling), plotRight, of.at(ceiling)]])],
    );
    said.push(`ISO ${short(gain.least)} to ${short(gain.most)}`);
  }
  const angles = pick(moments, "angle");
  const angle = span(angles.map(([, value]) => value));
  if (angle !== undefined) {
    const allowed = allowedAngles(report.brief);
    draw(
      "Shutter angle on the timeline, degrees",
      angles,
      (from, to) => stopAxis(Math.min(angle.least, allowed.least) / 1.2, Math.max(angle.most, 360) * 1.1, from, to),
      (of) => [360, 180, 90, 45, 22.5, 11, 5.6].filter((v, i) => i % 2 === 1 && of.at(v) < top + panel),
      (of) => [
        rect("band", plotLeft, of.at(allowed.most), plotRight - plotLeft, of.at(allowed.least) - of.at(allowed.most)),
      ],
    );
    const blurred = angles.filter(([{ fromBlur }]) => fromBlur === true).length;
    const whence = blurred === 0 ? "" : ` (${grouped(blurred)} from motion blur)`;
    said.push(`shutter angle ${short(angle.least, 0)}° to ${short(angle.most, 0)}°${whence}`);
  }
  if (said.length === 0) return undefined;
  const bottom = top - gap + 8;
  const ticks = x.ticks(4);
  const days = (times.most - times.least) / 86_400_000;
  const format = x.tickFormat(4, days > 2 ? "%m-%d" : "%H:%M");
  marks.push(
    strokes("axis", [
      [plotLeft, bottom, plotRight, bottom],
      ...ticks.map((t) => [x(t), bottom, x(t), bottom + 4] as const),
    ]),
  );
  // A label too near the edge would be cut by the frame.
  for (const tick of ticks) {
    if (x(tick) > plotLeft + 12 && x(tick) < plotRight - 12)
      marks.push(text("num mid", x(tick), bottom + 17, format(tick)));
  }
  const without = report.clips.length - moments.length;
  return {
    id: "day",
    title: "Light and settings over the day",
    says: `${grouped(moments.length)} clips by start time as recorded: ${said.join(", ")}.${
      without === 0 ? "" : ` ${grouped(without)} without a usable clock ${without === 1 ? "is" : "are"} not drawn.`
    }`,
    width: pictureWidth,
    height: bottom + 24,
    marks,
  };
}

const pick = (moments: readonly Moment[], name: "light" | "iso" | "angle"): readonly (readonly [Moment, number])[] =>
  moments.flatMap((of) => {
    const value = of[name];
    return value === undefined ? [] : [[of, value] as const];
  });
