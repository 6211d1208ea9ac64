import { expect, test } from "vitest";
import { gatherMotion } from "./apparent-motion.ts";

test("median and peak speed in widths a second, with the place of the peak", () => {
  const motion = gatherMotion(30);
  for (let n = 0; n < 300; n += 1) motion.add(n / 30, n >= 240 && n < 270 ? 0.02 : 0.005, 0);
  const found = motion.result();
  if (found.state !== "read") throw new Error(found.why);
  expect(found.medianWidthsPerSecond).toBeCloseTo(0.15);
  expect(found.peakWidthsPerSecond).toBeCloseTo(0.6);
  expect(Math.abs(found.peakAtSeconds - 8)).toBeLessThan(0.6);
  expect(found.vibrationPercent).toBeLessThan(0.3);
});

test.each([
  [30, 12, 0.004],
  [60, 9.7, 0.002],
  [60, 20, 0.001],
  [25, 11, 0.003],
])("at %i frames/s a shake of %f Hz is read as the root mean square of its place", (fps, hertz, amplitude) => {
  const motion = gatherMotion(fps);
  const place = (n: number): number => amplitude * Math.sin((2 * Math.PI * hertz * n) / fps) + 0.01 * n;
  for (let n = 1; n < 10 * fps; n += 1) motion.add(n / fps, place(n) - place(n - 1), 0);
  const found = motion.result();
  if (found.state !== "read") throw new Error(found.why);
  // A sine of amplitude a has a root mean square of a / √2.
  expect(Math.abs(found.vibrationPercent / ((100 * amplitude) / Math.SQRT2) - 1)).toBeLessThan(0.1);
});

test("swaying, turning ever faster and uneven flying are no vibration", () => {
  const motion = gatherMotion(30);
  for (let n = 0; n < 300; n += 1) motion.add(n / 30, 0.004 * Math.sin((2 * Math.PI * n) / 30) + n * 1e-5, 0.002);
  const found = motion.result();
  expect(found.state === "read" && found.vibrationPercent < 0.02).toBe(true);
});

test("the ribbon says which way the content moves, and how long a point stands for", () => {
  const motion = gatherMotion(30);
  for (let n = 0; n < 60; n += 1) motion.add(n / 30, -0.003, 0.004);
  const found = motion.result();
  if (found.state !== "read") throw new Error(found.why);
  expect(found.secondsPerPoint).toBe(0.5);
  expect(found.ribbon[0]?.acrossWidthsPerSecond).toBeCloseTo(-0.09);
  expect(found.ribbon[0]?.downWidthsPerSecond).toBeCloseTo(0.12);
  expect(found.ribbon[0]?.widthsPerSecond).toBeCloseTo(0.15);
});

test("memory stays bounded and pictures that do not move as one are refused", () => {
  const long = gatherMotion(30);
  for (let n = 0; n < 60_000; n += 1) long.add(n / 30, 0.001, 0);
  const found = long.result();
  expect(found.state === "read" && found.ribbon.length <= 1024).toBe(true);
  const lost = gatherMotion(30);
  for (let n = 0; n < 100; n += 1) lost.add(n / 30, n % 5 === 0 ? 0.01 : undefined, 0);
  expect(lost.result().state).toBe("cannot tell");
  expect(gatherMotion(30).result().state).toBe("cannot tell");
});
