import { expect, test } from "vitest";
import { axis, clipTimeAxis, plotLeft, plotRight, stopAxis, valueAxis } from "./axes.ts";

test("a span of no width is given some, so that a constant stands in the middle", () => {
  expect(axis(5, 5, 0, 100).at(5)).toBe(50);
  expect(axis(0, 0, 0, 100).at(0)).toBe(50);
});

test("on a stop axis every doubling has the same height", () => {
  const y = stopAxis(100, 1600, 0, 80);
  expect([100, 200, 400, 800, 1600].map((iso) => Math.round(y.at(iso)))).toEqual([0, 20, 40, 60, 80]);
  expect(y.ticks(9).length).toBeGreaterThan(3);
});

test("the time axis runs from edge to edge with at most twelve times", () => {
  for (const seconds of [0.04, 1, 29.97, 600, 7200, 90_000]) {
    const { x, marks } = clipTimeAxis(seconds, 100);
    expect([x.at(0), x.at(seconds)]).toEqual([plotLeft, plotRight]);
    const times = marks.filter(({ kind }) => kind === "text");
    expect(times.length).toBeGreaterThanOrEqual(1);
    expect(times.length).toBeLessThanOrEqual(12);
  }
});

test("a value axis has a number and a line for each value", () => {
  const marks = valueAxis(axis(0, 10, 100, 0), [0, 5, 10]);
  expect(marks.filter(({ kind }) => kind === "text").map((mark) => (mark as { text: string }).text)).toEqual([
    "0",
    "5",
    "10",
  ]);
});

test("a number without room for it is left out, with its line", () => {
  const marks = valueAxis(axis(0, 10, 100, 0), [0, 1, 2, 9, 10]);
  expect(marks.flatMap((mark) => (mark.kind === "text" ? [mark.text] : []))).toEqual(["0", "2", "9"]);
});
