import { expect, test } from "vitest";
import { stepsEvery } from "./example-facts.ts";
import { fastestTurn } from "./turning.ts";

test("turning is taken the short way round", () => {
  const turn = fastestTurn(stepsEvery(1, 355, 5, 15, 25), 1);
  expect(turn?.degreesPerSecond).toBeCloseTo(10, 9);
});

test("the fastest second is found, with its time", () => {
  const turn = fastestTurn(stepsEvery(0.5, 0, 0, 0, 20, 40, 40, 40), 1);
  expect(turn?.degreesPerSecond).toBeCloseTo(40, 9);
  expect(turn?.atSeconds).toBe(1.5);
});

test("records shorter than the window say nothing", () => {
  expect(fastestTurn(stepsEvery(0.2, 0, 90), 1)).toBeUndefined();
});

test("records five seconds apart turn over five seconds", () => {
  expect(fastestTurn(stepsEvery(5, 0, 50, 100), 1)?.degreesPerSecond).toBeCloseTo(10, 9);
});

test("a heading held still does not turn", () => {
  expect(fastestTurn(stepsEvery(5, 90), 1)?.degreesPerSecond).toBe(0);
});
