import { scaleLinear } from "d3-scale";
import { type Mark, pictureWidth, strokes, text } from "./picture.ts";
import { clockText, short } from "./values.ts";

/** Left edge of every plot, room for a number of five characters. */
export const plotLeft = 44;
/** Right edge of every plot. */
export const plotRight = pictureWidth - 10;

/** A scale from a span of numbers to picture units. */
export interface Axis {
  at(value: number): number;
  ticks(count: number): readonly number[];
}

/** A linear scale; a span of no width gets some, so that a constant stands in the middle. */
export function axis(least: number, most: number, from: number, to: number): Axis {
  const wide = most > least ? 0 : Math.max(1, Math.abs(most)) / 2;
  const scale = scaleLinear()
    .domain([least - wide, most + wide])
    .range([from, to]);
  return { at: (value) => scale(value), ticks: (count) => scale.ticks(count) };
}

/** Marks of a time axis through a clip at height `y`: a line, ticks and times as minutes and seconds. */
export function clipTimeAxis(seconds: number, y: number): { readonly x: Axis; readonly marks: readonly Mark[] } {
  const x = axis(0, seconds, plotLeft, plotRight);
  const step = [0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600].find((s) => seconds / s <= 5);
  const every = step ?? seconds / 4;
  const times: number[] = [];
  for (let place = 0; place * every <= seconds * 1.0001 && place < 12; place += 1) times.push(place * every);
  return {
    x,
    marks: [
      strokes("axis", [[plotLeft, y, plotRight, y], ...times.map((t) => tick(x.at(t), y))]),
      ...times.map((t, place) => text(timeLook(place, x.at(t)), x.at(t), y + 15, clockText(t))),
    ],
  };
}

/** A label at an edge leans inwards, so that the frame does not cut it. */
const timeLook = (place: number, x: number): string =>
  place === 0 ? "num" : x > plotRight - 16 ? "num end" : "num mid";

const tick = (x: number, y: number): readonly [number, number, number, number] => [x, y, x, y + 4];

/** Height a number needs, so that its neighbour stays readable; larger letters on paper counted in. */
const numberHeight = 15;

/** Marks of a value axis at the left: a number and a faint line across for each value that has room; the first go first. */
export function valueAxis(y: Axis, values: readonly number[], digits = 0): readonly Mark[] {
  const kept: number[] = [];
  for (const value of values) {
    if (kept.every((other) => Math.abs(y.at(value) - y.at(other)) >= numberHeight)) kept.push(value);
  }
  return [
    strokes(
      "grid",
      kept.map((value) => [plotLeft, y.at(value), plotRight, y.at(value)]),
    ),
    ...kept.map((value) => text("num end", plotLeft - 5, y.at(value) + 4, short(value, digits))),
  ];
}

/** A logarithmic axis, where a stop is the same height everywhere; `values` are placed by their logarithm. */
export function stopAxis(least: number, most: number, from: number, to: number): Axis {
  const low = Math.log2(least);
  const high = Math.log2(most);
  const inner = axis(low, high, from, to);
  return {
    at: (value) => inner.at(Math.log2(Math.max(value, 1e-9))),
    ticks: (count) => {
      const every = Math.max(1, Math.ceil((high - low) / count));
      const marks: number[] = [];
      for (let stop = Math.ceil(low - 1e-9); stop <= high + 1e-9; stop += every) marks.push(2 ** stop);
      return marks;
    },
  };
}
