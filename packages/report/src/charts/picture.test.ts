import { expect, test } from "vitest";
import { outline, polyline, rect, shapes, stepLine, strokes } from "./picture.ts";

const d = (mark: { readonly kind: string }): string => (mark as { d?: string }).d ?? "";

test("a step line holds each value until the next point and ends at the edge", () => {
  expect(
    d(
      stepLine(
        "data",
        [
          [0, 10],
          [5, 10],
          [7, 20],
        ],
        30,
      ),
    ),
  ).toBe("M0,10H7V20H30");
  expect(d(stepLine("data", [], 30))).toBe("");
});

test("strokes are written with the shortest letters", () => {
  expect(
    d(
      strokes("axis", [
        [0, 1, 9, 1],
        [3, 0, 3, 4],
        [0, 0, 2, 2],
      ]),
    ),
  ).toBe("M0,1H9M3,0V4M0,0L2,2");
});

test("lines have a tenth of a unit and boxes no negative size", () => {
  expect(
    d(
      polyline("data", [
        [0.123, 1.56],
        [2, 3],
      ]),
    ),
  ).toBe("M0.1,1.6L2,3");
  expect(rect("bar", 1.26, 2, -5, 3)).toEqual({ kind: "rect", look: "bar", box: [1.3, 2, 0, 3] });
});

test("every verdict has an outline of its own but clean and unknown, which are filled and hollow", () => {
  const outlines = (["clean", "workable", "unknown", "reshoot"] as const).map((shape) => shapes("at", shape, [[1, 1]]));
  expect(new Set(outlines.map((mark) => d(mark))).size).toBe(3);
  expect(new Set(outlines.map(({ look }) => look)).size).toBe(4);
});

test("path data that is not numbers and drawing letters is not drawn", () => {
  expect(outline("M0,1H9a3,3 0 1 0 6,0z")).toBe("M0,1H9a3,3 0 1 0 6,0z");
  expect(outline('M0,0"/><script>')).toBe("");
  expect(outline("MNaN,1")).toBe("");
});
