import { line } from "d3-shape";

/** One thing drawn. `look` is a class the page's style gives colour, width and dash; no mark carries a colour itself. */
export type Mark =
  | { readonly kind: "rect"; readonly look: string; readonly box: readonly [number, number, number, number] }
  | { readonly kind: "path"; readonly look: string; readonly d: string }
  | {
      readonly kind: "text";
      readonly look: string;
      readonly x: number;
      readonly y: number;
      readonly text: string;
    };

/** A bar that moves over a picture: one place a timeline frame, in picture units, in the time the frames take. */
export interface Motion {
  /** Letters, digits and hyphens only; equal names are equal motions. */
  readonly name: string;
  readonly places: readonly number[];
  readonly seconds: number;
}

/** A moving bar with its top and height. */
export interface Mover {
  readonly motion: Motion;
  readonly top: number;
  readonly height: number;
}

/** A picture as data: drawn by one template, so that every text in it is escaped by the template engine. */
export interface Picture {
  /** Which picture it is, in kebab case. */
  readonly id: string;
  readonly title: string;
  /** What it shows, in words and numbers, for those who do not see it; also printed under it. */
  readonly says: string;
  /** How to read it, when that is not plain; left out on paper. */
  readonly hint?: string;
  readonly width: number;
  readonly height: number;
  readonly marks: readonly Mark[];
  readonly movers?: readonly Mover[];
}

/** Width of every picture in its own units: a phone's text column, so that letters stay near their nominal size. */
export const pictureWidth = 336;

/** A coordinate with at most one decimal, which is a tenth of a pixel at nominal size. */
export const place = (value: number): number => Math.round(value * 10) / 10;

/** A box with rounded corners of its numbers, never of negative size. */
export const rect = (look: string, x: number, y: number, width: number, height: number): Mark => ({
  kind: "rect",
  look,
  box: [place(x), place(y), place(Math.max(0, width)), place(Math.max(0, height))],
});

/** A word or number at a place; `look` may hold `end` or `mid` for its anchor. */
export const text = (look: string, x: number, y: number, words: string): Mark => ({
  kind: "text",
  look,
  x: place(x),
  y: place(y),
  text: words,
});

/** Straight lines from place to place, each pair its own stroke. */
export const strokes = (look: string, pairs: readonly (readonly [number, number, number, number])[]): Mark => ({
  kind: "path",
  look,
  d: pairs
    .map(([x1, y1, x2, y2]) => {
      const from = `M${place(x1)},${place(y1)}`;
      if (x1 === x2) return `${from}V${place(y2)}`;
      return y1 === y2 ? `${from}H${place(x2)}` : `${from}L${place(x2)},${place(y2)}`;
    })
    .join(""),
});

/** A line through points. */
export const polyline = (look: string, points: readonly (readonly [number, number])[]): Mark => ({
  kind: "path",
  look,
  d: line<readonly [number, number]>().digits(1)([...points].map(([x, y]) => [x, y])) ?? "",
});

/** A line that holds each value until the next point, as recorded settings do; it ends at `endX`. */
export function stepLine(look: string, points: readonly (readonly [number, number])[], endX: number): Mark {
  let d = "";
  let lastY = Number.NaN;
  for (const [x, y] of points) {
    if (d === "") d = `M${place(x)},${place(y)}`;
    else if (place(y) !== lastY) d += `H${place(x)}V${place(y)}`;
    lastY = place(y);
  }
  return { kind: "path", look, d: d === "" ? "" : `${d}H${place(endX)}` };
}

/** Path data as it may stand in a page: a path with anything but numbers and drawing letters is not drawn at all. */
export const outline = (d: string): string => (/^[MmLlHhVvAaZz\d.,\- ]*$/.test(d) ? d : "");

/** Shapes that stand for verdicts wherever points are drawn: a meaning never hangs on colour alone. */
export type Shape = "clean" | "workable" | "unknown" | "reshoot";

/** One path with a shape at each of many places: disc, upward triangle, ring, filled square with arms. */
export function shapes(look: string, shape: Shape, places: readonly (readonly [number, number])[], size = 3): Mark {
  const s = size;
  const outlines: Record<Shape, string> = {
    clean: `m${-s},0a${s},${s} 0 1 0 ${2 * s},0a${s},${s} 0 1 0 ${-2 * s},0z`,
    workable: `m${-s - 1},${s}h${2 * s + 2}l${-s - 1},${-2 * s - 1}z`,
    unknown: `m${-s},0a${s},${s} 0 1 0 ${2 * s},0a${s},${s} 0 1 0 ${-2 * s},0z`,
    reshoot: `m${-s - 1},${-s - 1}l${2 * s + 2},${2 * s + 2}m0,${-2 * s - 2}l${-2 * s - 2},${2 * s + 2}`,
  };
  return {
    kind: "path",
    look: `${look} at-${shape}`,
    d: places.map(([x, y]) => `M${place(x)},${place(y)}${outlines[shape]}`).join(""),
  };
}
