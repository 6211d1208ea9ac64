import { expect, test } from "vitest";
import { ribbonOf } from "./ribbon.ts";

test("a ribbon keeps all points while they fit, and then evenly spread ones", () => {
  const ribbon = ribbonOf<number>(8);
  for (let n = 0; n < 8; n += 1) ribbon.add(n);
  expect(ribbon.points()).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
  for (let n = 8; n < 1000; n += 1) ribbon.add(n);
  const points = ribbon.points();
  expect(points.length).toBeLessThanOrEqual(8);
  expect(points.length).toBeGreaterThanOrEqual(4);
  const gaps = points.slice(1).map((point, i) => point - (points[i] ?? 0));
  expect(Math.max(...gaps)).toBeLessThanOrEqual(2 * Math.min(...gaps));
});
