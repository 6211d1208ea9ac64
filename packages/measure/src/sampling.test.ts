import { expect, test } from "vitest";
import { samplingPlan } from "./sampling.ts";

const looked = (seconds: number): number =>
  samplingPlan({ durationSeconds: seconds }).reduce(
    (sum, { fromSeconds, toSeconds }) => sum + toSeconds - fromSeconds,
    0,
  );

test("short clips are looked at whole", () => {
  expect(samplingPlan({ durationSeconds: 5.2 })).toEqual([{ fromSeconds: 0, toSeconds: 5.2 }]);
});

test.each([8.5, 9.3, 20, 45, 61.7, 95, 400, 600, 3600.5])(
  "in %f s the stretches lie inside, in order, apart",
  (seconds) => {
    const plan = samplingPlan({ durationSeconds: seconds });
    expect(plan.length).toBeGreaterThanOrEqual(3);
    let end = 0;
    for (const { fromSeconds, toSeconds } of plan) {
      expect(fromSeconds).toBeGreaterThanOrEqual(end);
      expect(toSeconds).toBeGreaterThan(fromSeconds);
      expect(toSeconds).toBeLessThanOrEqual(seconds);
      end = toSeconds;
    }
    expect(Math.max(...plan.map(({ fromSeconds, toSeconds }) => toSeconds - fromSeconds))).toBeGreaterThanOrEqual(4);
  },
);

test("a long clip is looked at in a small share of it, spread over all of it", () => {
  expect(looked(600) / 600).toBeLessThan(0.04);
  expect(looked(60)).toBe(8);
  const plan = samplingPlan({ durationSeconds: 600 });
  expect(plan[0]?.fromSeconds).toBeLessThan(60);
  expect(plan.at(-1)?.toSeconds).toBeGreaterThan(540);
});
