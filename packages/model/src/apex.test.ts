import { expect, test } from "vitest";
import {
  apertureValue,
  evOfIlluminance,
  evOfLuminance,
  fNumberOfApertureValue,
  illuminanceOfEv,
  luminanceOfEv,
  secondsOfTimeValue,
  speedValue,
  timeValue,
} from "./apex.ts";
import { sceneEv } from "./light.ts";
import { seconds } from "./quantities.ts";

test("aperture value and time value add up to the exposure value at ISO 100", () => {
  const [fNumber, shutterSeconds] = [2.8, seconds(1, 50)];
  expect(apertureValue(fNumber) + timeValue(shutterSeconds)).toBeCloseTo(
    sceneEv({ fNumber, shutterSeconds, iso: 100 }),
    12,
  );
  expect(speedValue(100) - speedValue(50)).toBeCloseTo(1, 12);
});

test("the ways back lead to the start", () => {
  expect(fNumberOfApertureValue(apertureValue(5.6))).toBeCloseTo(5.6, 12);
  expect(secondsOfTimeValue(timeValue(seconds(1, 320)))).toBeCloseTo(1 / 320, 12);
  expect(evOfLuminance(luminanceOfEv(13.5))).toBeCloseTo(13.5, 12);
  expect(evOfIlluminance(illuminanceOfEv(9.25))).toBeCloseTo(9.25, 12);
  expect(evOfLuminance(luminanceOfEv(13.5, 14), 14)).toBeCloseTo(13.5, 12);
});
