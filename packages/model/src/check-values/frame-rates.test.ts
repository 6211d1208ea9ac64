import { expect, test } from "vitest";
import { nearestStandardRate, parseRate, rate, rateLabel } from "../quantities.ts";
import { divide, equal, multiply, partsPerMillion, ratio, toNumber } from "../ratio.ts";
import {
  labelsPerDay,
  labelsPerSecondOf,
  labelsSkippedPerMinute,
  timecodeFrame,
  timecodeLabel,
  timecodeSeconds,
} from "../timecode.ts";
import rows from "./frame-rates.json" with { type: "json" };
import { type CheckRow, fraction, mismatches, number, rowTitle } from "./row.ts";

const frameOf = (label: string, labelsPerSecond: number): number => {
  const frame = timecodeFrame(label, labelsPerSecond);
  if (frame === undefined) throw new Error(`${label} is no label`);
  return frame;
};

function answer({ given, expect: wanted }: CheckRow): Record<string, unknown> {
  if ("subcarrier_mhz" in given) {
    const lines = divide(fraction(given["subcarrier_mhz"]), fraction(given["subcarrier_multiple_of_line"]));
    const frames = divide(multiply(lines, ratio(1_000_000)), fraction(given["lines"]));
    return { frame_rate: equal(frames, rate(30000, 1001)) ? parseRate("29.97") : frames };
  }
  if ("names_for" in given) {
    const names = wanted["accept"] as readonly string[];
    return { accept: names.filter((name) => equal(parseRate(name) ?? rate(1), fraction(given["names_for"]))) };
  }
  if ("nominal_rate" in given) {
    return { labels_skipped_per_minute: labelsSkippedPerMinute(number(given["nominal_rate"])) };
  }
  if ("container_rate" in given) {
    const stated = fraction(given["container_rate"]);
    const nearest = nearestStandardRate(stated);
    if (nearest === undefined) return {};
    return {
      nearest_family_label: rateLabel(nearest),
      error_ppm: partsPerMillion(stated, nearest),
      equals_family_exactly: equal(stated, nearest),
    };
  }
  if ("decimal" in wanted) {
    const value = parseRate(String(given["label"]));
    return value === undefined
      ? {}
      : { rate: value, decimal: toNumber(value), frame_ms: toNumber(divide(ratio(1000), value)) };
  }
  const at = fraction(given["rate"]);
  const perSecond = labelsPerSecondOf(at);
  const drops = given["drop_frame"] === true;
  if (typeof given["frame"] === "number") {
    const label = timecodeLabel(given["frame"], perSecond, drops);
    // The way back must lead to the same frame.
    return { label: timecodeFrame(label, perSecond) === given["frame"] ? label : `not the label of ${label}` };
  }
  if (typeof given["label"] === "string") {
    const label = given["label"];
    const frame = timecodeFrame(label, perSecond);
    return {
      label: frame === undefined ? undefined : timecodeLabel(frame + 1, perSecond, true),
      valid: frame !== undefined,
      frames: frame,
      real_seconds: timecodeSeconds(label, at),
    };
  }
  const tenMinutes = frameOf("00:10:00;00", perSecond);
  const hour = frameOf("01:00:00;00", perSecond);
  const day = labelsPerDay(perSecond, true);
  const minute = number(given["minute_index"] ?? 0);
  const begins = minute === 0 ? "00:00:00;00" : `00:0${minute}:00;02`;
  return {
    frames: tenMinutes,
    labels_in_minute: frameOf(`00:0${minute + 1}:00;02`, perSecond) - frameOf(begins, perSecond),
    labels_skipped: perSecond * 3600 - hour,
    time_of_skipped_labels_s: toNumber(divide(ratio(perSecond * 3600 - hour), at)),
    labels: day,
    real_frames: toNumber(multiply(ratio(86400), at)),
    label_clock_minus_real_ms: (toNumber(divide(ratio(day), at)) - 86400) * 1000,
  };
}

for (const row of rows as readonly CheckRow[]) {
  test(rowTitle(row), () => {
    expect(mismatches(row, answer(row))).toEqual([]);
  });
}
