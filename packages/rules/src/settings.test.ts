import { completeBrief, rate, rateLabel, seconds, shutterLabel, type StatedBrief } from "@goodgate/model";
import { expect, test } from "vitest";
import { settings, thirdStopIso, worthwhileRates } from "./settings.ts";

const rows = (stated: StatedBrief, light: number | undefined, fNumber?: number) =>
  new Map(settings(completeBrief(stated), light, fNumber).map((row) => [rateLabel(row.captureRate), row]));

test("rates worth using are the timeline's own and faster ones of its family", () => {
  expect(worthwhileRates(rate(25)).map(rateLabel)).toEqual(["25", "30", "48", "50", "60", "100", "120", "200"]);
  expect(worthwhileRates(rate(30000, 1001)).map(rateLabel)).toEqual(["29.97", "47.952", "59.94", "119.88"]);
});

test("full sun at f/2.8 and ISO 100 needs six stops of ND at 25 (EV 15, sunny 16)", () => {
  const at25 = rows({ timelineRate: rate(25) }, 15, 2.8).get("25");
  // 15 − (2·log2(2.8) + log2(50)) = 6.39 stops.
  expect(at25?.idealNdStops).toBeCloseTo(6.39, 2);
  expect([at25?.ndFactor, at25?.iso, at25?.possible]).toEqual([64, 100, true]);
  expect(at25 && shutterLabel(at25.shutterSeconds)).toMatch(/^1\/(50|60)$/);
});

test("with filters that are too weak the row says what cannot be had", () => {
  const at25 = rows({ timelineRate: rate(25), ndFactors: [4] }, 15, 2.8).get("25");
  expect(at25?.possible).toBe(false);
  expect(at25?.cannot[0]).toMatch(/^too bright for 180°.*needs ND64/);
  expect(at25?.ndFactor).toBe(4);
  expect(at25?.says).toContain("not possible");
});

test("a filter that needs more ISO is taken before one that leaves the angle", () => {
  // At 60 and f/2.8 EV 14.5 needs 4.6 stops: ND16 leaves 0.6 over the tolerance, ND64 asks for ISO 250.
  const at60 = rows({ timelineRate: rate(25), ndFactors: [8, 16, 64], isoCeiling: 800 }, 14.5, 2.8).get("60");
  expect([at60?.ndFactor, at60?.iso, at60?.possible]).toEqual([64, 250, true]);
  const low = rows({ timelineRate: rate(25), ndFactors: [8, 16, 64], isoCeiling: 160 }, 14.5, 2.8).get("60");
  expect([low?.possible, low?.cannot.length]).toEqual([false, 1]);
});

test("in dim light ISO goes up, and past the ceiling the row says so", () => {
  const dim = rows({ timelineRate: rate(25), isoCeiling: 800, mainsHertz: 50 }, 6, 2.8);
  // EV 6 at f/2.8 and 1/50: 100·2^(8.61 − 6) = ISO 612, nearest third stop 640.
  expect([dim.get("25")?.iso, dim.get("25")?.possible]).toEqual([640, true]);
  expect(dim.get("50")?.cannot.join()).toContain("over the ceiling of 800");
});

test("without a ceiling, what no small camera has is not proposed as if it could be set", () => {
  const night = rows({ timelineRate: rate(25) }, -5, 2.8).get("25");
  expect(night?.cannot).toEqual([`too dark: ISO ${night?.iso} is more than small cameras have`]);
  // EV 2 at f/2.8 and 1/50: ISO 9800, which many have.
  expect(rows({ timelineRate: rate(25) }, 2, 2.8).get("25")?.cannot).toEqual([]);
});

test("under lamps the shutter collects whole pulses, and rates without such a shutter say so", () => {
  const dim = rows({ timelineRate: rate(25), mainsHertz: 50, artificialLight: "yes" }, 10, 2.8);
  expect(dim.get("60") && shutterLabel(dim.get("60")?.shutterSeconds ?? seconds(1))).toBe("1/100");
  // EV 10 is 0.4 stops too bright at 1/100: ND2 and ISO 160 keep the whole pulses, a shorter shutter would not.
  expect([dim.get("60")?.ndFactor, dim.get("60")?.iso, dim.get("60")?.possible]).toEqual([2, 160, true]);
  expect(dim.get("120")?.cannot.join()).toContain("no shutter is safe under 50 Hz lamps");
  expect(dim.get("25")?.mainsSafeHertz).toContain(50);
});

test("without a light or an f-number only the shutter is told", () => {
  for (const some of [rows({ timelineRate: rate(25) }, undefined, 2.8), rows({ timelineRate: rate(25) }, 12)]) {
    const at25 = some.get("25");
    expect([at25?.iso, at25?.ndFactor, at25?.possible]).toEqual([undefined, undefined, true]);
    expect(at25?.says).toBe("25 fps 1/50: real time 180°");
  }
});

test("uses name the angle each one shows", () => {
  const some = rows({ timelineRate: rate(25) }, undefined);
  expect(some.get("50")?.uses).toEqual(["real time 90°", "slow to 50 % 180°"]);
  expect(some.get("60")?.uses).toEqual(["slow to 41.67 % 180°"]);
});

test("ISO is named as the third-stop scale has it", () => {
  expect([100, 118, 130, 612, 5000].map(thirdStopIso)).toEqual([100, 125, 125, 640, 5120]);
});

test("the shutter is one that a usual dial has: 1/100 at 48, 1/50 at 24", () => {
  const at = (timeline: number, capture: string) =>
    shutterLabel(rows({ timelineRate: rate(timeline) }, undefined).get(capture)?.shutterSeconds ?? seconds(1));
  expect([at(25, "48"), at(24, "24"), at(25, "50"), at(25, "200")]).toEqual(["1/100", "1/50", "1/100", "1/400"]);
});
