import { expect, test } from "vitest";
import { apertureValue, fNumberOfApertureValue, secondsOfTimeValue, timeValue } from "../apex.ts";
import { framesDuration } from "../quantities.ts";
import { equal, fromNumber, invert, multiply, ratio, toNumber } from "../ratio.ts";
import { markedShutterSeconds, shutterAngle, shutterTime, stopsFromAngle } from "../shutter.ts";
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";
import rows from "./shutter.json" with { type: "json" };

function answer({ given, expect: wanted }: CheckRow): Record<string, unknown> {
  if ("nominal_shutter" in given) {
    const marked = fraction(given["nominal_shutter"]);
    const exact = fromNumber(secondsOfTimeValue(Math.round(timeValue(marked))));
    return exact === undefined ? {} : { exact_shutter: exact, error_stops: stopsFromAngle(marked, exact) };
  }
  if ("nominal_f" in given) {
    const marked = number(given["nominal_f"]);
    const value = apertureValue(marked);
    if (!("exact_f" in wanted)) return { av: value };
    const whole = Math.round(value);
    return { av: whole, exact_f: fNumberOfApertureValue(whole), error_stops: value - whole };
  }
  if (given["series"] === "third-stop shutter denominators") {
    const nominal = wanted["nominal"] as readonly number[];
    return { nominal: nominal.filter((n) => markedShutterSeconds.some((time) => equal(time, ratio(1, n)))) };
  }
  if ("series" in given) return { exact: Array.from({ length: 31 }, (_, third) => fNumberOfApertureValue(third / 3)) };
  const at = fraction(given["fps"]);
  if ("angle_deg" in given) {
    const time = shutterTime(at, fraction(given["angle_deg"]));
    return { shutter_s: time, shutter_denominator: invert(time) };
  }
  const frame = framesDuration(1, at);
  return {
    frame_ms: toNumber(multiply(frame, ratio(1000))),
    angle_deg: "shutter_s" in given && shutterAngle(at, fraction(given["shutter_s"])),
    max_exposure_s: frame,
    max_angle: shutterAngle(at, frame),
  };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row))).toEqual([]);
  });
}
