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

test("shaking from frame to frame is vibration, a slow sway is not", () => {
  const shaken = gatherMotion(30);
  const swaying = gatherMotion(30);
  for (let n = 0; n < 300; n += 1) {
    shaken.add(n / 30, 0.004 * (n % 2 === 0 ? 1 : -1), 0);
    swaying.add(n / 30, 0.004 * Math.sin((2 * Math.PI * n) / 120), 0);
  }
  const [a, b] = [shaken.result(), swaying.result()];
  expect(a.state === "read" && a.vibrationPercent > 0.3).toBe(true);
  expect(b.state === "read" && b.vibrationPercent < 0.05).toBe(true);
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
