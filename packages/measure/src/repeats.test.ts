import { expect, test } from "vitest";
import { randomNumbers } from "../truth/scenes.ts";
import type { ConversionLook } from "./conversion.ts";
import { countRepeats, type FrameRun, repeatsOf } from "./repeats.ts";

/** Differences of moving pictures: near 6 codes, with chance; a repeat differs by what coding changes. */
function run(frames: number, repeated: (frame: number) => boolean, seed = 1): FrameRun {
  const random = randomNumbers(seed);
  const differences = Float64Array.from({ length: frames }, (_, n) =>
    n === 0 ? Number.NaN : repeated(n) ? 0.3 * random() : 5 + 2 * random(),
  );
  const none = new Float64Array(frames).fill(Number.NaN);
  return { fromSeconds: 10, differences, across: none, down: none, mixes: [] };
}

const held = (from: number, to: number) => (frame: number) =>
  Math.floor((frame * from) / to) === Math.floor(((frame - 1) * from) / to);

test.each([
  [24, 30],
  [25, 30],
  [30, 60],
  [24, 60],
  [25, 50],
  [24, 120],
  [30, 120],
  [48, 60],
])("%i pictures a second inside %i are found", (from, to) => {
  const found = repeatsOf([countRepeats(run(240, held(from, to)), to)], to, []);
  expect(found).toMatchObject({ state: "read", pattern: "regular", trueFramesPerSecond: from });
});

test("single repeats are placed", () => {
  const found = repeatsOf(
    [
      countRepeats(
        run(90, (n) => n === 30 || n === 61),
        30,
      ),
    ],
    30,
    [],
  );
  expect(found).toMatchObject({ state: "read", pattern: "single" });
  expect(found.state === "read" && found.repeatedAtSeconds).toEqual([11, 10 + 61 / 30]);
});

test("clean motion has none, whatever its speed does", () => {
  for (let seed = 1; seed < 20; seed += 1) {
    expect(
      repeatsOf(
        [
          countRepeats(
            run(200, () => false, seed),
            30,
          ),
        ],
        30,
        [],
      ),
    ).toMatchObject({ pattern: "none" });
  }
  const differences = Float64Array.from({ length: 120 }, (_, n) => 8 * Math.abs(Math.sin(n / 20)));
  const none = new Float64Array(120).fill(Number.NaN);
  const slowing: FrameRun = { fromSeconds: 0, differences, across: none, down: none, mixes: [] };
  expect(repeatsOf([countRepeats(slowing, 30)], 30, [])).toMatchObject({ pattern: "none", repeatedShare: 0 });
});

test("still pictures and short runs are refused", () => {
  const still: FrameRun = { ...run(90, () => false), differences: new Float64Array(90).fill(0.3) };
  expect(repeatsOf([countRepeats(still, 30)], 30, []).state).toBe("cannot tell");
  expect(
    repeatsOf(
      [
        countRepeats(
          run(6, () => false),
          30,
        ),
      ],
      30,
      [],
    ).state,
  ).toBe("cannot tell");
  expect(repeatsOf([], 30, []).state).toBe("cannot tell");
});

test("a step of twice the motion is a drop, a pan that starts is not", () => {
  const random = randomNumbers(9);
  const across = Float64Array.from({ length: 80 }, (_, n) => (n === 40 ? 12 : n === 60 ? 18.2 : 6 + 0.3 * random()));
  const down = new Float64Array(80);
  expect(countRepeats({ ...run(80, () => false), across, down }, 20).droppedAtSeconds).toEqual([12, 13]);
  const starting = Float64Array.from({ length: 80 }, (_, n) => n * 0.4);
  expect(countRepeats({ ...run(80, () => false), across: down, down: starting }, 20).droppedAtSeconds).toEqual([]);
});

test("the share of mixes is told when enough frames were judged and few are in doubt", () => {
  const mixes = Array.from({ length: 80 }, (_, n) => ({ share: 0.5, left: n % 4 === 2 ? 0.3 : 30, span: 100 }));
  const told = (more: Partial<FrameRun>, conversions: readonly ConversionLook[] = []) =>
    repeatsOf([countRepeats({ ...run(80, () => false), ...more }, 30)], 30, conversions);
  const found = told({ mixes });
  expect(found.state === "read" ? found.blendedShare : undefined).toBeCloseTo(0.25, 1);
  expect(told({ mixes: mixes.slice(0, 8) })).not.toHaveProperty("blendedShare");
  // Beside frames that turn round, what comes near to a mix may as well be real.
  const doubtful = mixes.map((mix, n) => (n % 4 === 2 ? mix : { ...mix, share: 1.2 }));
  expect(told({ mixes: doubtful })).not.toHaveProperty("blendedShare");
  // No mixes of neighbours are none only where a conversion of the rate is ruled out.
  const real = mixes.map((mix) => ({ ...mix, left: 30 }));
  expect(told({ mixes: real })).not.toHaveProperty("blendedShare");
  expect(told({ mixes: real }, [{ state: "open" }])).not.toHaveProperty("blendedShare");
  expect(told({ mixes: real }, [{ state: "none" }])).toMatchObject({ blendedShare: 0 });
  const converted = { state: "found", fromFramesPerSecond: 24, mixedShare: 0.8 } as const;
  expect(told({ mixes: real }, [converted])).toMatchObject({ blendedShare: 0.8, mixedFromFramesPerSecond: 24 });
});

test("mixes in every second place were made from half the rate", () => {
  const mixes = Array.from({ length: 80 }, (_, n) => ({ share: 0.5, left: n % 2 === 1 ? 0.3 : 30, span: 100 }));
  const found = repeatsOf([countRepeats({ ...run(80, () => false), mixes }, 30)], 30, []);
  expect(found).toMatchObject({ mixedFromFramesPerSecond: 15 });
});
