import FFT from "fft.js";
import { expect, test } from "vitest";
import { randomNumbers } from "../truth/scenes.ts";
import { transformLine } from "./line-transform.ts";

test.each([2, 4, 8, 128, 1024, 8192])("a line of %i is transformed as fft.js does, to the last digit", (length) => {
  const random = randomNumbers(length);
  for (let round = 0; round < 2; round += 1) {
    const values = Float64Array.from({ length: 2 * length }, () => random() - 0.5);
    const expected = new Float64Array(2 * length);
    new FFT(length).transform(expected, values);
    expect(transformLine(values)).toEqual(expected);
  }
});
