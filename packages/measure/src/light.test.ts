import { expect, test } from "vitest";
import { lightOf } from "./light.ts";

test.each([
  // ITU-R BT.709: 18 % grey stands at 0.409 of the signal.
  ["bt709", 0.409, 0.18, 3],
  // ITU-R BT.2100 PQ: 100 cd/m² of 10 000 at 0.508; ITU-R BT.2408 gives 203 cd/m² at 58 %.
  ["smpte2084", 0.508, 0.01, 4],
  ["smpte2084", 0.58, 0.0203, 3],
  // ITU-R BT.2408: HLG puts a reflectance of 18 % grey at 38 %, of 100 % at 75 %; their light differs by 100 / 18.
  ["arib-std-b67", 0.75, 0.265, 2],
  ["iec61966-2-1", 0.5, 0.214, 3],
])("%s: signal %f is light %f", (transfer, signal, light, digits) => {
  expect(lightOf(transfer)?.(signal)).toBeCloseTo(light, digits);
});

test.each(["bt709", "smpte2084", "arib-std-b67", "iec61966-2-1"])("%s rises without a break from 0 to 1", (name) => {
  const curve = lightOf(name);
  let before = -1;
  for (let i = 0; i <= 1000; i += 1) {
    const light = curve?.(i / 1000) ?? Number.NaN;
    expect(light).toBeGreaterThanOrEqual(before);
    expect(light - before).toBeLessThan(before < 0 ? 2 : 0.02);
    before = light;
  }
  expect(before).toBeCloseTo(1, 3);
});

test("a curve that is not known gives none", () => {
  expect(lightOf("film")).toBeUndefined();
  expect(lightOf(undefined)).toBeUndefined();
});
