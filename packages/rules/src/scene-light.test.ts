import { completeBrief, rate } from "@goodgate/model";
import { expect, test } from "vitest";
import { oneOver, steps } from "./example-facts.ts";
import { exampleClip } from "./run-example.ts";
import { sceneLight } from "./scene-light.ts";

const light = (facts: object, ndFactors?: readonly number[]) =>
  sceneLight(
    exampleClip({ facts }).facts,
    completeBrief({ timelineRate: rate(25), ...(ndFactors === undefined ? {} : { ndFactors }) }),
    rate(25),
  );

test("full sun: 1/2000 at f/2.8 and ISO 100 is EV 14, 5.3 stops too bright for 1/50 (EV = 2·log2 N − log2 t)", () => {
  const sun = light({ shutterSeconds: oneOver(2000), iso: steps(100), fNumber: steps(2.8) }, [8, 16, 64]);
  expect(sun).toEqual({
    typicalEv: 13.94,
    leastEv: 13.94,
    mostEv: 13.94,
    overStops: 5.32,
    idealNdFactor: 32,
    ndFactorAtHand: 64,
  });
});

test("light over the records, from the darkest to the brightest", () => {
  const moved = light({ shutterSeconds: oneOver(50, 100, 100), iso: steps(800, 800, 400), fNumber: steps(2.8) });
  // f/2.8: 2·log2(2.8) = 2.97. 1/50 at ISO 800: 2.97 + 5.64 − 3; 1/100 at ISO 400: 2.97 + 6.64 − 2.
  expect([moved?.leastEv, moved?.mostEv, moved?.idealNdFactor, moved?.ndFactorAtHand]).toEqual([
    5.61,
    7.61,
    1,
    undefined,
  ]);
  expect(moved?.overStops).toBeLessThan(0);
});

test("a declared filter is added back, and without an f-number there is no light", () => {
  const bare = light({ shutterSeconds: oneOver(50), iso: steps(100), fNumber: steps(4) });
  const filtered = light({ shutterSeconds: oneOver(50), iso: steps(100), fNumber: steps(4), ndStops: steps(3) });
  expect((filtered?.typicalEv ?? 0) - (bare?.typicalEv ?? 0)).toBeCloseTo(3, 9);
  expect(light({ shutterSeconds: oneOver(50), iso: steps(100) })).toBeUndefined();
});
