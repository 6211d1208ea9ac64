import { expect, test } from "vitest";
import { lossOf } from "./conversion-pattern.ts";
import { pieceWidth } from "./frame-layout.ts";
import { alongOf, gatherDetail } from "./picture-detail.ts";

const rows = 144;

function gathered(of: (x: number, y: number) => number, across: number, down: number) {
  const samples = new Uint16Array(pieceWidth * rows);
  for (let y = 0; y < rows; y += 1) for (let x = 0; x < 256; x += 1) samples[y * pieceWidth + x] = of(x, y);
  const steps = (value: number) => new Float64Array(12).fill(value);
  const gatherer = gatherDetail(rows, 12);
  for (let k = 0; k < 12; k += 1) gatherer.add(samples, 100, steps(across), steps(down));
  return gatherer.seen;
}

test("a slope of 3 codes across and 4 down has 5 along it and none across", () => {
  const { detail, light } = gathered((x, y) => 100 + 3 * x + 4 * y, 1, 0);
  expect(light.length).toBe(12);
  expect(detail.length).toBe(12);
  const [first] = detail;
  if (first === undefined) throw new Error("no detail");
  expect(alongOf(first, 0.6, 0.8)).toBeCloseTo(25, 6);
  expect(alongOf(first, -0.8, 0.6)).toBeCloseTo(0, 6);
});

test.each([1, 2, 4, 8])(
  "a wave of 20 pixels mixed with itself %i pixels on loses what the shift theorem says",
  (moved) => {
    const { ghosts } = gathered((x) => Math.round(2000 + 1900 * Math.cos((2 * Math.PI * x) / 20)), 3.3, 0);
    // |1 + e^(−2πifD)|² / 4 = cos²(πfD) of the power is left.
    const [along] = lossOf(ghosts, 1, 0)(moved);
    expect(along).toBeCloseTo(Math.min(0.95, Math.sin((Math.PI * moved) / 20) ** 2), 1);
  },
);

test("pictures that stand still, or whose motion is not known, are not mixed with themselves", () => {
  expect(gathered((x) => x % 7, 0, 0).ghosts).toEqual([]);
  expect(gathered((x) => x % 7, Number.NaN, Number.NaN).ghosts).toEqual([]);
});
