import { expect, test } from "vitest";
import { holding } from "./stillness.ts";

test("stretches of enough length are kept, a gap ends one", () => {
  const black = holding(0.5);
  for (let n = 0; n < 100; n += 1) black.add((n >= 10 && n < 25) || (n >= 40 && n < 50), n / 25, (n + 1) / 25);
  expect(black.stretches()).toEqual([{ fromSeconds: 0.4, toSeconds: 1 }]);
  const apart = holding(0.5);
  for (let n = 0; n < 10; n += 1) apart.add(true, n / 25, (n + 1) / 25);
  for (let n = 0; n < 10; n += 1) apart.add(true, 9 + n / 25, 9 + (n + 1) / 25);
  expect(apart.stretches()).toEqual([]);
});

test("one frame that a key frame has changed does not end a frozen stretch, a longer break does", () => {
  const frozen = holding(0.7, 0.045);
  for (let n = 0; n < 60; n += 1) frozen.add(n !== 15 && n < 40, n / 25, (n + 1) / 25);
  expect(frozen.stretches()).toEqual([{ fromSeconds: 0, toSeconds: 1.6 }]);
  const broken = holding(0.7, 0.045);
  for (let n = 0; n < 60; n += 1) broken.add(n !== 15 && n !== 16 && n < 40, n / 25, (n + 1) / 25);
  expect(broken.stretches()).toEqual([{ fromSeconds: 0.68, toSeconds: 1.6 }]);
});
