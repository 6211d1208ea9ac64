import { expect, test } from "vitest";
import { cropPercent, tiltedFor } from "./horizon-tilted.ts";

const looks = (...tilts: readonly (number | undefined)[]) =>
  tilts.flatMap((tiltDegrees, half) => (tiltDegrees === undefined ? [] : [{ atSeconds: half / 2, tiltDegrees }]));

test("a tilt counts from more than two seconds on, and its middle is told", () => {
  expect(tiltedFor(looks(2, 2, 2, 2, 2), 1)).toEqual([]);
  expect(tiltedFor(looks(0, 1.5, 2, 2, 2.5, 4, 2), 1)).toEqual([
    { fromSeconds: 0.5, toSeconds: 3, degrees: 2, right: true },
  ]);
});

test("one look without a line breaks nothing, two do, and so does the other side", () => {
  expect(tiltedFor(looks(-2, -2, -2, undefined, -2, -2), 1)).toEqual([
    { fromSeconds: 0, toSeconds: 2.5, degrees: 2, right: false },
  ]);
  expect(tiltedFor(looks(2, 2, 2, undefined, undefined, 2, 2, 2), 1)).toEqual([]);
  expect(tiltedFor(looks(2, 2, 2, -2, -2, -2), 1)).toEqual([]);
});

test("outside check: the crop holds the corners of the frame inside the turned picture (plane geometry)", () => {
  for (const aspect of [16 / 9, 4 / 3, 1, 9 / 16]) {
    for (const degrees of [0.5, 1, 3, 8]) {
      const turn = (degrees * Math.PI) / 180;
      const scale = 1 + cropPercent(degrees, aspect) / 100;
      // Each corner of the frame, seen from the turned picture: inside, and one of them on its edge.
      const reach = [1, -1].flatMap((side) => {
        const [x, y] = [aspect / 2, side / 2];
        const along = Math.abs(x * Math.cos(turn) + y * Math.sin(turn)) / ((scale * aspect) / 2);
        const up = Math.abs(y * Math.cos(turn) - x * Math.sin(turn)) / (scale / 2);
        return [along, up];
      });
      expect(Math.max(...reach)).toBeCloseTo(1, 9);
    }
  }
});
