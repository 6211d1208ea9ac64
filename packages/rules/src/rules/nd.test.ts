import { rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { oneOver, steps } from "../example-facts.ts";
import { runExample } from "../run-example.ts";
import nd from "./nd.ts";

const shot = (inverse: number, ndStops?: number, ndFactors?: readonly number[]) =>
  runExample(nd, {
    title: "test",
    facts: {
      frameRate: rate(25),
      shutterSeconds: oneOver(inverse),
      iso: steps(100),
      ...(ndStops === undefined ? {} : { ndStops: steps(ndStops) }),
    },
    brief: { timelineRate: rate(25), ...(ndFactors === undefined ? {} : { ndFactors }) },
    expect: "note",
  }).findings[0];

test("four stops short need ND16", () => {
  expect(shot(800)?.says).toContain("4 stops of ND needed (ND16)");
});

test("what is fitted already is part of what is needed", () => {
  const found = shot(200, 3);
  expect(found?.says).toContain("5 stops of ND needed in all (ND32)");
  expect([found?.measured.value, found?.limit.value]).toEqual([3, 5]);
});

test("the filter at hand nearest to the need is named, and what it leaves", () => {
  expect(shot(800, undefined, [8, 64])?.says).toContain("at hand ND8, still 1 stop too bright");
  expect(shot(800, undefined, [4, 16])?.remedy).toBe("fit ND16");
});
