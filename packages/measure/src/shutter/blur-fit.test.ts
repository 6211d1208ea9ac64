import { expect, test } from "vitest";
import { randomNumbers } from "../../truth/scenes.ts";
import { pictureKernel } from "../picture-kernel.ts";
import { allowedAngles, angleEvidence, triedDegrees } from "./blur-fit.ts";
import { bandEdges, bands, bins, type BlurSpectrum, comparedEdges } from "./blur-spectrum.ts";

const resolution = 1.2 / 512;

/** Power that a box of `length` pixels leaves: the square of its transform, sin(πLf) / (πLf), from any handbook. */
const boxPower = (frequency: number, length: number): number => {
  const a = Math.PI * frequency * length;
  return a === 0 ? 1 : (Math.sin(a) / a) ** 2;
};

interface Wanted {
  readonly step: number;
  readonly degrees: number;
  /** Terms behind each cell, whose mean power then varies as chance has it; without, the power is exact. */
  readonly terms?: number;
  /** Whether a cell holds nothing. */
  readonly empty?: (band: number, bin: number) => boolean;
  readonly light?: number;
}

/** A texture that falls as textures do (power by frequency to the 2.4), blurred, with noise under it. */
function spectrumOf({ step, degrees, terms, empty = () => false, light = 1 }: Wanted): BlurSpectrum {
  const random = randomNumbers(11);
  const [power, count] = [new Float64Array(bands * bins), new Float64Array(bands * bins)];
  const length = (step * degrees) / 360;
  for (let band = 0; band < bands; band += 1) {
    const across = ((bandEdges[band] ?? 0) + (bandEdges[band + 1] ?? 0)) / 2;
    for (let bin = 0; bin < bins; bin += 1) {
      const u = bin / (2 * bins);
      const gain =
        0.5 * boxPower(u, length) + 0.25 * (boxPower(u + resolution, length) + boxPower(u - resolution, length));
      const mean = light * (50 * (Math.hypot(u, across) / 0.1) ** -2.4 * gain + 0.2);
      // The power of one term of a noisy spectrum is spread as an exponential: Brillinger, Time Series, theorem 5.2.6.
      let sum = 0;
      for (let i = 0; i < (terms ?? 0); i += 1) sum -= Math.log(1 - random());
      if (empty(band, bin)) continue;
      power[band * bins + bin] = terms === undefined ? mean : (mean * sum) / terms;
      count[band * bins + bin] = terms ?? 40;
    }
  }
  const none = new Float64Array(comparedEdges.length - 1);
  return { step, power, count, along: none, across: none, pairs: 4 };
}

const topOf = (evidence: Float64Array): number => triedDegrees[evidence.indexOf(Math.max(...evidence))] ?? Number.NaN;

test.each([
  [12.4, 180],
  [12.4, 270],
  [20.3, 90],
  [20.3, 180],
  [33.7, 60],
  [33.7, 180],
  [33.7, 345],
])("at %f pixels a frame the blur of %i degrees explains the spectrum best", (step, degrees) => {
  expect(topOf(angleEvidence(spectrumOf({ step, degrees }), resolution))).toBe(degrees);
  const noisy = angleEvidence(spectrumOf({ step, degrees, terms: 30 }), resolution);
  expect(Math.abs(topOf(noisy) - degrees)).toBeLessThanOrEqual(5);
  expect(Math.max(...noisy)).toBeGreaterThan(15);
});

test("cells and bands that hold nothing take no part", () => {
  const empty = (band: number, bin: number): boolean => band > 3 || (bin * 7) % 3 === 0;
  const holes = spectrumOf({ step: 20.3, degrees: 180, terms: 30, empty });
  const evidence = angleEvidence(holes, resolution);
  expect(topOf(evidence)).toBe(180);
  // What stands in a cell without terms is nothing that was seen.
  const wild = { ...holes, power: holes.power.map((power, i) => (holes.count[i] === 0 ? 1e6 : power)) };
  expect(angleEvidence(wild, resolution)).toEqual(evidence);
  expect(angleEvidence(spectrumOf({ step: 20.3, degrees: 180, empty: () => true }), resolution)).toEqual(
    new Float64Array(triedDegrees.length),
  );
});

test("a picture without blur speaks for no length, and against long ones", () => {
  const evidence = angleEvidence(spectrumOf({ step: 20.3, degrees: 0, terms: 30 }), resolution);
  expect(Math.max(...evidence)).toBeLessThan(15);
  expect(evidence[triedDegrees.indexOf(180)]).toBeLessThan(-15);
});

test("how bright the picture is changes nothing where the blur fits", () => {
  const about = { step: 20.3, degrees: 180, terms: 30 };
  const evidence = angleEvidence(spectrumOf(about), resolution);
  const bright = angleEvidence(spectrumOf({ ...about, light: 40 }), resolution);
  expect(topOf(bright)).toBe(topOf(evidence));
  expect(Math.max(...bright)).toBeCloseTo(Math.max(...evidence), 1);
});

test("what a blur leaves between two frequencies is the mean over them", () => {
  for (const [from, to, length] of [
    [0.06, 0.1, 0.3],
    [0.1, 0.15, 7.4],
    [0.28, 0.36, 35],
    [0, 1e-9, 1],
  ] as const) {
    let sum = 0;
    for (let i = 0; i < 16; i += 1) sum += boxPower(from + ((to - from) * (i + 0.5)) / 16, length);
    expect(pictureKernel().calls.meanGain(from, to, length)).toBeCloseTo(sum / 16, 13);
  }
});

test("a blur that would have left less than there is cannot be true", () => {
  const [step, across] = [33.7, 1];
  for (const left of [0.05, 0.3, 2]) {
    const along = Float64Array.from(comparedEdges.slice(1), () => left);
    const chunk = { ...spectrumOf({ step, degrees: 180 }), along, across: along.map(() => across) };
    const floor = 8 * chunk.power.reduce((a, b) => Math.min(a, b));
    const expected = triedDegrees.map((degrees) =>
      comparedEdges.slice(1).every((to, range) => {
        const from = comparedEdges[range] ?? 0;
        let mean = 0;
        for (let i = 0; i < 1000; i += 1)
          mean += boxPower(from + ((to - from) * (i + 0.5)) / 1000, (step * degrees) / 360);
        return left - floor <= (14 * across * mean) / 1000;
      }),
    );
    expect(allowedAngles(chunk)).toEqual(expected);
  }
});
