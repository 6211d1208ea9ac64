import { expect, test } from "vitest";
import { combingOf, scanCounts } from "./combing.ts";
import { cannotTell, type Measured, type MeasuredMotion } from "./measurement.ts";

test("the counts are read from the line that ffmpeg prints, with and without the level's name", () => {
  const said = "Single frame detection: TFF:    12 BFF:     3 Progressive:    45 Undetermined:     7";
  const counts = { topFirst: 12, bottomFirst: 3, progressive: 45 };
  expect(scanCounts(`[Parsed_idet_2 @ 0x19ba7d00] [info] ${said}`)).toEqual(counts);
  expect(scanCounts(`[Parsed_idet_2 @ 0x19ba7d00] ${said}`)).toEqual(counts);
  expect(scanCounts(`[info] ${said.replace("Single", "Multi")}`)).toBeUndefined();
});

const about = { width: 1920, frameRate: 25 };
const moving = (widthsPerSecond: number): Measured<MeasuredMotion> => ({
  state: "read",
  medianWidthsPerSecond: widthsPerSecond,
  peakWidthsPerSecond: widthsPerSecond,
  peakAtSeconds: 0,
  vibrationPercent: 0,
  secondsPerPoint: 0.5,
  ribbon: [],
});

test("stretches are added up, and the older rows are named", () => {
  const counts = [
    { topFirst: 1, bottomFirst: 5, progressive: 10 },
    { topFirst: 0, bottomFirst: 0, progressive: 14 },
  ];
  expect(combingOf(counts, moving(0.1), about)).toEqual({
    state: "read",
    combedShare: 0.2,
    judgedFrames: 30,
    firstField: "bottom",
  });
  expect(combingOf([{ topFirst: 0, bottomFirst: 0, progressive: 9 }], moving(0.1), about)).toEqual({
    state: "read",
    combedShare: 0,
    judgedFrames: 9,
  });
});

test("still pictures, and a run without its end, tell nothing", () => {
  expect(combingOf([], moving(0.1), about).state).toBe("cannot tell");
  expect(combingOf([{ topFirst: 0, bottomFirst: 0, progressive: 90 }], moving(0), about).state).toBe("cannot tell");
  const lost = cannotTell("no texture");
  expect(combingOf([{ topFirst: 0, bottomFirst: 0, progressive: 90 }], lost, about).state).toBe("cannot tell");
});
